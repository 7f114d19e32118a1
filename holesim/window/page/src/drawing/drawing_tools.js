// The tools: what hands and keys do to the drawing. Each gesture is one step, drawn as it goes and sent at its end.
/** @typedef {import("../records").Point} Point */
/** @typedef {import("./drawing_map.js").Hand} Hand */
/** @typedef {import("./drawing_map.js").DrawingMap} DrawingMap */
import { YARD } from "../geometry.js";
import { addedBy, copyOf } from "./additions.js";
import { brushed } from "./brush.js";
import { guessedAt, guessedMarks } from "./guesses.js";
import { featuresAt, reach } from "./hits.js";
import { pinOf } from "./drawing_holes.js";
import { createHold } from "./hold.js";
import { nameOf, toolOf } from "./kinds.js";
import { apart, geometryOf, rounded, withHole } from "./shapes.js";
import { elevationTags } from "./tag_fields.js";

const SAME_CLICK = 4; // px
const COPIED = 16; // yd right and down on the screen

/** @param {import("./drawing_store.js").Drawing} drawing */
export function createTools(drawing) {
  /** @type {DrawingMap | null} */ let map = null;
  /** Corners of what is being drawn. @type {Point[]} */ let sketch = [];
  /** Where the hand hovers. @type {Point | null} */ let hover = null;
  /** @type {Point[] | null} */ let stroke = null;
  let brushYards = 12;
  /** The elevation of the spots that are set; none is typed yet. @type {number | null} */ let spotFeet = null;
  let pointer = "mouse";
  let clickedAt = /** @type {Point | null} */ (null);
  const hold = createHold(drawing, () => map);
  const { selected } = hold;

  const redraw = () => map?.redraw();
  const pixel = (/** @type {Point} */ place) => map?.pixel(place) ?? /** @type {Point} */ ([0, 0]);
  const tell = (/** @type {string} */ message) => drawing.set({ message });

  /** @param {number | null} id */
  function select(id) {
    hold.forget();
    drawing.set({ selected: id });
  }

  /** Take a tool in hand. @param {string} id */
  function take(id) {
    hold.settle();
    cancel();
    drawing.set({ tool: id, message: "" });
  }

  function cancel() {
    stroke = null;
    hold.cancel();
  }

  /** @param {import("../records").Change} change @param {string} says */
  function add(change, says) {
    hold.forget();
    const [id] = drawing.edit(says, [change]);
    drawing.set({ tool: "select", selected: id ?? ("id" in change ? change.id : null) });
  }

  /** End what is being drawn. */
  function finish() {
    const state = drawing.get();
    const points = sketch.filter((place, i) => i === 0 || apart(pixel(place), pixel(sketch[i - 1])) > (reach(pointer) / 2));
    const tool = toolOf(state.tool);
    const line = tool?.shape === "line";
    if (points.length < (line ? 2 : 3)) tell(line ? "A line needs two places." : "An outline needs three corners.");
    else if (tool !== null) add(addedBy(state, tool, geometryOf(tool.shape, points)), `${tool.name} drawn`);
    else cut(points);
  }

  /** @param {Point[]} points */
  function cut(points) {
    const feature = selected();
    const geometry = feature?.geometry == null ? null : withHole(feature.geometry, points);
    drawing.set({ tool: "select" });
    if (feature === null || geometry === null) tell("A hole must begin within the outline that is selected.");
    else drawing.edit(`hole cut into ${nameOf(feature)}`, [{ id: feature.id, geometry }]);
  }

  /** @param {Hand} hand */
  function click(hand) {
    const state = drawing.get();
    pointer = hand.pointer;
    const tool = toolOf(state.tool);
    if (tool?.shape === "point") setPoint(tool, rounded(hand.place));
    else if (tool !== null || state.tool === "cut") {
      const closes = sketch.length >= 3 && tool?.shape !== "line" && apart(pixel(sketch[0]), hand.pixel) <= reach(hand.pointer);
      if (closes) finish();
      else sketch = [...sketch, rounded(hand.place)];
      tell(closes ? drawing.get().message : ""); // has the buttons of the sketch shown
    } else if (state.tool === "select") pick(hand);
    redraw();
  }

  /** @param {import("./kinds.js").Tool} tool @param {Point} place */
  function setPoint(tool, place) {
    const state = drawing.get();
    const geometry = geometryOf("point", [place]);
    if (tool.kind === "spot") {
      if (spotFeet === null) tell("Type the elevation first.");
      else add({ add: { kind: "spot", geometry, tags: elevationTags(spotFeet) } }, "elevation set");
      return;
    }
    const pin = tool.kind === "pin" ? pinOf(state, state.hole) : null;
    if (pin === null) add(addedBy(state, tool, geometry), `${tool.name} set`);
    else {
      drawing.edit("pin moved", [{ id: pin.id, geometry }]);
      drawing.set({ tool: "select", selected: pin.id });
    }
  }

  /** Select what is under the hand; again at the same place, what is under that. @param {Hand} hand */
  function pick(hand) {
    const state = drawing.get();
    const guess = guessedAt(guessedMarks(state), hand.pixel, pixel, reach(hand.pointer));
    if (guess !== null) {
      add({ add: { kind: guess.kind, geometry: geometryOf("point", [guess.at]), tags: {} } }, `${guess.kind} set`);
      return;
    }
    const found = featuresAt(state.features.values(), hand.place, (reach(hand.pointer) / 2) * (map?.resolution() ?? 1));
    const again = clickedAt !== null && apart(clickedAt, hand.pixel) <= SAME_CLICK;
    const at = found.findIndex(({ id }) => id === state.selected);
    clickedAt = hand.pixel;
    select(found[again && at >= 0 ? (at + 1) % found.length : 0]?.id ?? null);
  }

  /** @param {Point[]} painted */
  function paintTrees(painted) {
    const feature = selected();
    const trees = feature?.kind === "trees" ? feature : null;
    try {
      const { geometry, grown } = brushed(painted, brushYards * YARD, trees?.geometry);
      if (grown && trees !== null) drawing.edit("trees grown", [{ id: trees.id, geometry }]);
      else {
        const [id] = drawing.edit("trees painted", [{ add: { kind: "trees", geometry, tags: {} } }]);
        drawing.set({ selected: id });
      }
    } catch {
      tell("This stroke makes no outline. Paint it again, a little off.");
    }
  }

  /** Metres east and north of yards right and down on the screen. @param {number} right @param {number} under @returns {Point} */
  function onGround(right, under) {
    const turn = map?.rotation() ?? 0;
    const [x, y] = [right * YARD, -under * YARD];
    return [x * Math.cos(turn) - y * Math.sin(turn), x * Math.sin(turn) + y * Math.cos(turn)];
  }

  drawing.subscribe((state, before) => {
    if (state.tool !== before.tool || state.name !== before.name) [sketch, hover, stroke] = [[], null, null];
    if (state.features !== before.features) hold.check();
    redraw();
  });

  return {
    attach: (/** @type {DrawingMap} */ to) => void (map = to),
    hands: {
      /** @param {Hand} hand */
      down(hand) {
        hold.settle();
        pointer = hand.pointer;
        const { tool } = drawing.get();
        if (tool === "brush") stroke = [hand.place];
        return tool === "brush" || (tool === "select" && hold.down(hand));
      },
      /** @param {Hand} hand */
      drag(hand) {
        if (stroke === null) hold.drag(hand);
        else stroke.push(hand.place);
        redraw();
      },
      up() {
        const painted = stroke;
        stroke = null;
        if (painted !== null) paintTrees(painted);
        else hold.up();
        redraw();
      },
      cancel, click,
      /** Two clicks in quick succession end a shape where they are at one place. @param {Hand} hand */
      end(hand) {
        const [one, other] = sketch.slice(-2);
        if (other !== undefined && apart(pixel(one), pixel(other)) <= reach(hand.pointer) / 2) finish();
      },
      hover: (/** @type {Hand} */ hand) => {
        hover = hand.place;
        if (sketch.length > 0 || drawing.get().tool === "brush") redraw();
      },
    },
    /** What is to be painted over the ground. */
    scene: () => ({ feature: selected(), held: hold.held(), corner: hold.corner(), sketch, hover, stroke, pointer, brush: brushYards * YARD }),
    select, take, finish,
    settle: hold.settle,
    remove: () => hold.remove(),
    corner: hold.corner,
    sketched: () => sketch.length,
    spotFeet: () => spotFeet,
    setSpotFeet: (/** @type {number | null} */ feet) => void (spotFeet = feet),
    brushWidth: () => brushYards,
    setBrushWidth: (/** @type {number} */ yards) => void (brushYards = yards),
    /** Put down the tool, or give up the place that is asked for. */
    stop() {
      if (map?.stopPicking() !== true) take("select");
    },
    /** Step back: give up the gesture, the corners drawn, the tool, the corner, what is selected. */
    escape() {
      if (map?.stopPicking()) return;
      if (hold.grip() !== null || stroke !== null) cancel();
      else if (sketch.length > 0) sketch = [];
      else if (drawing.get().tool !== "select") take("select");
      else if (hold.corner() !== null) hold.choose(null);
      else select(null);
      tell("");
    },
    /** Take back the last corner drawn. @returns {boolean} whether there was one */
    backSketch() {
      if (sketch.length === 0) return false;
      sketch = sketch.slice(0, -1);
      tell("");
      return true;
    },
    copy() {
      hold.settle();
      const feature = selected();
      if (feature?.geometry != null) add(copyOf(feature, onGround(COPIED, COPIED)), `${nameOf(feature)} copied`);
    },
    /** Move the corner that is chosen, or the whole shape, by yards on the screen. @param {number} right @param {number} under */
    nudge: (right, under) => drawing.get().tool === "select" && hold.nudge(onGround(right, under)),
  };
}
/** @typedef {ReturnType<typeof createTools>} Tools */
