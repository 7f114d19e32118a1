// The hole on its ground, tee at the foot and pin above it, to scale.
/** @typedef {import("./records").Opened} Opened */
/** @typedef {import("./records").Hole} Hole */
/** @typedef {import("./records").Tee} Tee */
/** @typedef {import("./records").Point} Point */
/** @typedef {import("./records").StrikeAnswer} StrikeAnswer */
import Feature from "ol/Feature.js";
import OLMap from "ol/Map.js";
import View from "ol/View.js";
import Circle from "ol/geom/Circle.js";
import LineString from "ol/geom/LineString.js";
import MultiPoint from "ol/geom/MultiPoint.js";
import MultiPolygon from "ol/geom/MultiPolygon.js";
import PointGeometry from "ol/geom/Point.js";
import Polygon from "ol/geom/Polygon.js";
import { defaults as usualInteractions } from "ol/interaction/defaults.js";
import VectorLayer from "ol/layer/Vector.js";
import Projection from "ol/proj/Projection.js";
import VectorSource from "ol/source/Vector.js";
import { YARD, arcs, bearing, pointAlong } from "./geometry.js";
import { ARC_STYLES, BARE, TEE_STYLE, groundStyle } from "./map_styles.js";
import { reducedMotion } from "./page_parts.js";

const FAR = 20_000; // m, past the edge of every course
const ROOM = 14; // m around what is fitted
const SIDE = 15; // m beside the line of play

/** @param {Point} one @param {Point} other [m] */
const apart = (one, other) => Math.hypot(one[0] - other[0], one[1] - other[1]);

/** The map of the course that is open.
 * @param {HTMLElement} target @param {() => void} moved called when the view has changed */
export function createHoleMap(target, moved) {
  const projection = new Projection({ code: "course", units: "m", extent: [-FAR, -FAR, FAR, FAR] });
  const ground = new VectorSource();
  const arcLines = new VectorSource();
  const places = new VectorSource();
  const quick = { updateWhileAnimating: true, updateWhileInteracting: true, renderBuffer: 400 };
  const map = new OLMap({
    target,
    controls: [],
    interactions: usualInteractions({ altShiftDragRotate: false, pinchRotate: false, zoomDuration: reducedMotion() ? 0 : 150 }),
    layers: [ground, arcLines, places].map((source) => new VectorLayer({ source, ...quick })),
    view: new View({ projection, center: [0, 0], resolution: 1 }),
  });
  let whole = /** @type {import("ol/coordinate").Coordinate[]} */ ([]); // of the hole
  let fitted = whole; // with its drives
  let margins = [24, 24, 24, 24];
  let byHand = false;
  map.on("postrender", moved);
  map.on("pointerdrag", () => void (byHand = true));
  target.addEventListener("wheel", () => void (byHand = true), { passive: true });
  target.addEventListener("keydown", () => void (byHand = true));

  function fit() {
    const size = map.getSize();
    if (fitted.length === 0 || size === undefined) return;
    byHand = false;
    map.getView().fit(new MultiPoint(fitted), { size, padding: margins });
  }

  map.on("change:size", () => {
    if (!byHand) fit();
  });

  return {
    /** Hear where the ground is tapped. @param {(at: Point) => void} hear */
    onTap: (hear) => void map.on("click", ({ coordinate }) => hear([coordinate[0], coordinate[1]])),

    /** @param {{course: Pick<Opened["course"], "bare" | "areas" | "boundary">}} opened */
    showCourse({ course }) {
      ground.clear();
      target.style.backgroundColor = BARE[course.bare] ?? BARE.rough;
      /** @type {Feature<import("ol/geom").Geometry>[]} */
      const features = course.areas.map((area) => {
        const feature = new Feature(new MultiPolygon(area.polygons));
        feature.setStyle(groundStyle(area.ground));
        return feature;
      });
      if (course.boundary !== null) {
        const sheet = [[-FAR, -FAR], [FAR, -FAR], [FAR, FAR], [-FAR, FAR], [-FAR, -FAR]];
        const outside = new Feature(new Polygon([sheet, ...course.boundary.map(([outer]) => outer)]));
        outside.setStyle(groundStyle("out"));
        features.push(outside);
      }
      ground.addFeatures(features);
    },

    /** @param {Hole} hole @param {Tee} tee */
    showHole(hole, tee) {
      const up = bearing(tee.at, hole.pin);
      const view = new View({
        projection, center: tee.at, resolution: 1, rotation: (-up * Math.PI) / 180,
        minResolution: 0.03, maxResolution: 4, constrainRotation: false, smoothResolutionConstraint: false,
      });
      map.setView(view);
      byHand = false;
      const { fromTee, toPin } = arcs(tee.length_yd, hole.par);
      const line = (/** @type {Point} */ centre, /** @type {number} */ yards, /** @type {number} */ middle) =>
        new LineString(Array.from({ length: 91 }, (_, i) => pointAlong(centre, middle - 90 + 2 * i, yards * YARD)));
      const styled = (/** @type {import("ol/geom").Geometry} */ geometry, /** @type {any} */ style) => {
        const feature = new Feature(geometry);
        feature.setStyle(style);
        return feature;
      };
      arcLines.clear();
      arcLines.addFeatures([
        ...fromTee.map((yards) => styled(line(tee.at, yards, up), ARC_STYLES.tee)),
        ...toPin.map((yards) => styled(line(hole.pin, yards, up + 180), ARC_STYLES.pin)),
      ]);
      places.clear();
      places.addFeature(styled(new PointGeometry(tee.at), TEE_STYLE));
      const start = tee.length_yd * YARD;
      const around = new Circle(hole.pin, ROOM + 4).getExtent();
      const ahead = hole.line.filter((place) => apart(place, hole.pin) <= start);
      whole = fitted = [
        pointAlong(tee.at, up + 180, ROOM), ...ahead, [around[0], around[1]], [around[2], around[3]],
        ...[-1, 1].map((side) => pointAlong(pointAlong(tee.at, up, start / 2), up + side * 90, 40)),
      ];
      fit();
    },

    /** Have where the drives finish in view, too, unless they are or the view was moved by hand.
     * @param {StrikeAnswer[]} strikes */
    fitDrives(strikes) {
      const finishes = strikes.flatMap(({ outlines }) => outlines.flatMap(({ polygons }) => polygons.flat(2)));
      const [width, height] = map.getSize() ?? [0, 0];
      const [top, right, bottom, left] = margins;
      const inView = finishes.every((place) => {
        const [x, y] = map.getPixelFromCoordinate(place) ?? [0, 0];
        return x >= left / 2 && x <= width - right && y >= top / 2 && y <= height - bottom;
      });
      if (byHand || inView) return;
      fitted = [...whole, ...finishes];
      fit();
    },

    /** Keep room at the edges [px]: top, right, bottom, left. @param {number[]} edges */
    setMargins(edges) {
      if (edges.join() === margins.join()) return;
      margins = edges;
      if (!byHand) fit();
    },

    /** What should stay in sight: the hole along its line, its green, where the drives finish.
     * @param {Hole} hole @param {Tee} tee @param {StrikeAnswer[]} strikes @returns {Point[]} in pixels */
    sights(hole, tee, strikes) {
      const ahead = hole.line.filter((place) => apart(place, hole.pin) < apart(tee.at, hole.pin));
      const line = new LineString([tee.at, ...ahead, hole.pin]);
      const along = Array.from({ length: 41 }, (_, i) => line.getCoordinateAt(i / 40));
      const beside = along.flatMap(([x, y]) => [-SIDE, 0, SIDE].map((off) => [x + off, y]));
      const finishes = strikes.flatMap(({ outlines }) => outlines.flatMap(({ polygons }) => polygons.flat(2)));
      return [...beside, ...finishes].map((place) => /** @type {Point} */ (map.getPixelFromCoordinate(place)));
    },

    /** Have the picture drawn again. */
    redraw: () => map.render(),
    /** Have the picture drawn at once, after it was hidden. */
    showAgain() {
      map.updateSize();
      map.renderSync();
    },
    fit,
    /** Zoom by steps. @param {number} steps */
    zoom(steps) {
      byHand = true;
      const view = map.getView();
      view.animate({ zoom: (view.getZoom() ?? 0) + steps, duration: reducedMotion() ? 0 : 150 });
    },
    /** @param {Point} place @returns {Point | null} in pixels */
    pixel: (place) => /** @type {Point | null} */ (map.getPixelFromCoordinate(place)),
    /** @param {Point} pixel @returns {Point} on the ground */
    place: (pixel) => /** @type {Point} */ (map.getCoordinateFromPixel(pixel)),
    /** Pixels of a metre. */
    scale: () => 1 / (map.getView().getResolution() ?? 1),
    size: () => /** @type {Point} */ (map.getSize() ?? [0, 0]),
  };
}
/** @typedef {ReturnType<typeof createHoleMap>} HoleMap */
