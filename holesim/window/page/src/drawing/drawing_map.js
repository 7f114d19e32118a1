// The map of a drawing: all that is not selected on one sheet, what is selected on another, and the hands on them.
/** @typedef {import("../records").Feature} Feature */
/** @typedef {import("../records").Point} Point */
/** What tools do with hands. `down` says whether the hand is taken; else it moves the view.
 * @typedef {object} Hands
 * @property {(at: Hand) => boolean} down @property {(at: Hand) => void} drag @property {(at: Hand) => void} up
 * @property {() => void} cancel @property {(at: Hand) => void} click @property {(at: Hand) => void} end
 * @property {(at: Hand) => void} hover */
/** Where a hand is: on the ground [m] and on the map [px]. @typedef {{place: Point, pixel: Point, pointer: string}} Hand */
import OLMap from "ol/Map.js";
import View from "ol/View.js";
import { fromExtent } from "ol/geom/Polygon.js";
import MultiPoint from "ol/geom/MultiPoint.js";
import DragPan from "ol/interaction/DragPan.js";
import KeyboardZoom from "ol/interaction/KeyboardZoom.js";
import MouseWheelZoom from "ol/interaction/MouseWheelZoom.js";
import PinchZoom from "ol/interaction/PinchZoom.js";
import PointerInteraction from "ol/interaction/Pointer.js";
import Projection from "ol/proj/Projection.js";
import { bearing } from "../geometry.js";
import { BARE } from "../map_styles.js";
import { reducedMotion } from "../page_parts.js";
import { createCanvasLayer } from "./canvas_layer.js";
import { PAINT_ORDER } from "./kinds.js";
import { paintFeature } from "./paint.js";
import { boxAround, boxOf, runsOf } from "./shapes.js";

const FAR = 20_000; // m
const ROOM = 34; // px around what is fitted
const VIEW = { minResolution: 0.02, maxResolution: 30, constrainRotation: false, smoothResolutionConstraint: false };

/** @param {HTMLElement} target @param {Hands} hands @param {(sheet: import("./paint.js").Sheet) => void} paintEdited
 * @param {() => void} moved called when the view has changed */
export function createDrawingMap(target, hands, paintEdited, moved) {
  const projection = new Projection({ code: "drawing", units: "m", extent: [-FAR, -FAR, FAR, FAR] });
  /** @type {Feature[]} */ let ground = [];
  const sheet = createCanvasLayer((on) => ground.forEach((feature) => paintFeature(on, feature)));
  const edited = createCanvasLayer(paintEdited);
  /** @type {{prompt: string, done: (place: Point | null) => void} | null} */ let pick = null;
  /** @type {((prompt: string) => void)[]} */ const prompted = [];
  let taken = false; // the hand that is down was taken by a tool

  /** @typedef {import("ol/MapBrowserEvent.js").default<any>} MapEvent */
  const pointerOf = (/** @type {MapEvent} */ { originalEvent }) => /** @type {PointerEvent} */ (originalEvent);
  /** @param {MapEvent} event @returns {Hand} */
  const handOf = (event) => ({
    place: /** @type {Point} */ (event.coordinate.slice(0, 2)), pixel: /** @type {Point} */ (event.pixel.slice(0, 2)),
    pointer: pointerOf(event).pointerType || "mouse",
  });
  const tools = new PointerInteraction({
    handleDownEvent(event) {
      const several = event.activePointers !== undefined && event.activePointers.length > 1;
      taken = pick === null && !several && pointerOf(event).button === 0 && hands.down(handOf(event));
      return taken;
    },
    handleDragEvent(event) {
      // A second finger takes the hand off the tool, and moves the view.
      if (tools.getPointerCount() > 1) hands.cancel();
      else hands.drag(handOf(event));
    },
    handleUpEvent(event) {
      hands.up(handOf(event));
      return false;
    },
    handleMoveEvent: (event) => hands.hover(handOf(event)),
  });
  const map = new OLMap({
    target, controls: [], moveTolerance: 3,
    interactions: [
      // Also by a second finger while a tool has the first.
      new DragPan({ condition: (event) => pointerOf(event).pointerType === "touch" || pointerOf(event).button === 0 }),
      new PinchZoom(), new MouseWheelZoom({ duration: reducedMotion() ? 0 : 150 }), new KeyboardZoom(), tools,
    ],
    layers: [sheet.layer, edited.layer],
    view: new View({ projection, center: [0, 0], resolution: 1, ...VIEW }),
  });
  target.style.backgroundColor = BARE.rough;
  map.on("postrender", moved);
  map.on("click", (event) => {
    if (taken) return;
    if (pick === null) hands.click(handOf(/** @type {any} */ (event)));
    else picked(/** @type {Point} */ (event.coordinate.slice(0, 2)));
  });
  map.on("dblclick", (event) => {
    if (pick === null) hands.end(handOf(/** @type {any} */ (event)));
  });

  /** @param {Point | null} place */
  function picked(place) {
    const asked = pick;
    pick = null;
    prompted.forEach((listener) => listener(""));
    asked?.done(place);
  }

  /** @param {import("ol/coordinate").Coordinate[] | number[]} places @param {number} rotation */
  function fit(places, rotation) {
    map.setView(new View({ projection, center: [0, 0], resolution: 1, rotation, ...VIEW }));
    const shape = typeof places[0] === "number" ? fromExtent(/** @type {number[]} */ (places)) : new MultiPoint(/** @type {any} */ (places));
    map.getView().fit(shape, { size: map.getSize(), padding: [ROOM, ROOM, ROOM, ROOM], minResolution: 0.12 });
  }

  return {
    /** Show all features but the one that is selected. @param {Iterable<Feature>} features @param {number | null} selected */
    show(features, selected) {
      const next = [...features].filter(({ id, geometry }) => id !== selected && geometry !== null)
        .sort((a, b) => PAINT_ORDER.indexOf(a.kind) - PAINT_ORDER.indexOf(b.kind));
      const same = next.length === ground.length
        && next.every((one, i) => one.geometry === ground[i].geometry && one.kind === ground[i].kind && one.tags === ground[i].tags && one.guessed === ground[i].guessed);
      ground = next;
      if (same) return;
      target.style.backgroundColor = next.some(({ kind }) => kind === "rough") ? BARE.heavy_rough : BARE.rough;
      sheet.again();
    },
    /** Paint what is selected again. */
    redraw: () => edited.again(),

    /** One click or tap on the map: its place, or null after Escape. A question asked before is given up.
     * @param {string} prompt what to click at @returns {Promise<Point | null>} */
    pickPoint(prompt) {
      picked(null);
      hands.cancel();
      return new Promise((done) => {
        pick = { prompt, done };
        prompted.forEach((listener) => listener(prompt));
      });
    },
    /** Give up what is asked. @returns {boolean} whether something was */
    stopPicking() {
      const asked = pick !== null;
      if (asked) picked(null);
      return asked;
    },
    /** @param {(prompt: string) => void} listener told of what to click at, and "" at the end */
    onPrompt: (listener) => void prompted.push(listener),

    /** Put a layer under all that is drawn, such as a picture. @param {import("ol/layer/Base.js").default} layer */
    addLayerUnder: (layer) => map.getLayers().insertAt(0, layer),
    /** @param {import("ol/layer/Base.js").default} layer */
    removeLayer: (layer) => void map.removeLayer(layer),
    /** Paint areas thinly, so that pictures under them are seen. @param {boolean} clear */
    seeThrough(clear) {
      sheet.setClear(clear);
      edited.setClear(clear);
    },

    /** Turn the view so that a hole is played upwards, and fit it. @param {Point[]} line tee first, pin last
     * @param {Point[]} [around] what should be in view besides */
    upright(line, around = []) {
      const [tee, pin] = [line[0], line[line.length - 1]];
      fit([...line, ...around], (-bearing(tee, pin) * Math.PI) / 180);
    },
    /** Fit all that is drawn, north up. @param {Iterable<Feature>} features */
    whole(features) {
      const box = boxAround([...features].map(({ geometry }) => geometry));
      if (box !== null) fit(box, 0);
    },
    /** Fit one feature without turning the view. @param {Feature} feature */
    nearTo({ geometry }) {
      if (geometry === null) return;
      map.getView().fit(new MultiPoint(runsOf(geometry).flatMap(({ points }) => points)), {
        size: map.getSize(), padding: [90, 90, 90, 90], minResolution: 0.12, duration: reducedMotion() ? 0 : 200,
      });
    },
    /** Have a feature in view: the view moves only if its middle is out of it. @param {Feature} feature */
    bringIn({ geometry }) {
      if (geometry === null) return;
      const [west, south, east, north] = boxOf(geometry);
      const middle = [(west + east) / 2, (south + north) / 2];
      const [x, y] = map.getPixelFromCoordinate(middle) ?? [-1, -1];
      const [width, height] = map.getSize() ?? [0, 0];
      if (x < 0 || y < 0 || x > width || y > height) map.getView().setCenter(middle);
    },
    /** @param {number} steps */
    zoom(steps) {
      const view = map.getView();
      view.animate({ zoom: (view.getZoom() ?? 0) + steps, duration: reducedMotion() ? 0 : 150 });
    },
    /** @param {Point} place @returns {Point | null} in pixels */
    pixel: (place) => /** @type {Point | null} */ (map.getPixelFromCoordinate(place)),
    /** @param {Point} pixel @returns {Point} on the ground */
    place: (pixel) => /** @type {Point} */ (map.getCoordinateFromPixel(pixel)),
    /** Metres of a pixel. */
    resolution: () => map.getView().getResolution() ?? 1,
    rotation: () => map.getView().getRotation(),
    size: () => /** @type {Point} */ (map.getSize() ?? [0, 0]),
    /** The map has been shown, or has another size. */
    resized: () => map.updateSize(),
    target,
  };
}
/** @typedef {ReturnType<typeof createDrawingMap>} DrawingMap */
