// Taking hold of what is selected: its corners, the middles of its edges, the whole of it; by hand or by arrow keys.
/** @typedef {import("../records").Geometry} Geometry */
/** @typedef {import("../records").Point} Point */
/** @typedef {import("./drawing_map.js").Hand} Hand */
/** @typedef {import("./drawing_map.js").DrawingMap} DrawingMap */
/** @typedef {{what: "corner", run: number, corner: number, fresh: boolean} | {what: "move", from: Point}} Grip */
import { handleAt, handlesOf, reach } from "./hits.js";
import { nameOf } from "./kinds.js";
import { insertCorner, moveCorner, removeCorner, rounded, runsOf, shifted } from "./shapes.js";

const NUDGE_MS = 500; // arrow keys pressed within this are one step

/** @param {import("./drawing_store.js").Drawing} drawing @param {() => DrawingMap | null} view */
export function createHold(drawing, view) {
  /** @type {Grip | null} */ let grip = null;
  /** What is selected, as the hand has it now. @type {Geometry | null} */ let held = null;
  /** The corner that keys move and remove. @type {{run: number, corner: number} | null} */ let corner = null;
  /** @type {ReturnType<typeof setTimeout> | undefined} */ let nudging;

  const redraw = () => view()?.redraw();
  const selected = () => {
    const { features, selected: id } = drawing.get();
    return id === null ? null : features.get(id) ?? null;
  };

  /** Send what the hand or the keys have made of what is selected. @param {string} did */
  function send(did) {
    const feature = selected();
    clearTimeout(nudging);
    nudging = undefined;
    if (feature !== null && held !== null && held !== feature.geometry) {
      drawing.edit(`${nameOf(feature)} ${did}`, [{ id: feature.id, geometry: held }]);
    }
    held = null;
    redraw();
  }

  /** @param {{run: number, corner: number} | null} next */
  function choose(next) {
    corner = next;
    drawing.set({ message: "" }); // the panel shows what can be done with a corner
    redraw();
  }

  return {
    selected,
    held: () => held,
    corner: () => corner,
    grip: () => grip,
    choose,

    /** @param {Hand} hand @returns {boolean} whether there is something to hold */
    down(hand) {
      const map = view();
      const feature = selected();
      if (feature?.geometry == null || map === null) return false;
      const pixel = (/** @type {Point} */ place) => map.pixel(place) ?? /** @type {Point} */ ([0, 0]);
      const found = handleAt(handlesOf(feature.geometry, pixel, map.size()), hand.pixel, reach(hand.pointer));
      if (found === null) return false;
      if ("corner" in found) {
        const { run, corner: at } = found.corner;
        grip = { what: "corner", run, corner: at, fresh: false };
        choose({ run, corner: at });
      } else if ("middle" in found) {
        const { run, after } = found.middle;
        held = insertCorner(feature.geometry, run, after, rounded(hand.place));
        grip = { what: "corner", run, corner: after + 1, fresh: true };
        choose({ run, corner: after + 1 });
      } else {
        grip = { what: "move", from: hand.place };
        choose(null);
      }
      return true;
    },
    /** @param {Hand} hand */
    drag(hand) {
      const geometry = selected()?.geometry;
      if (geometry == null || grip === null) return;
      if (grip.what === "corner") held = moveCorner(held ?? geometry, grip.run, grip.corner, rounded(hand.place));
      else held = shifted(geometry, hand.place[0] - grip.from[0], hand.place[1] - grip.from[1]);
      redraw();
    },
    up() {
      const done = grip;
      grip = null;
      if (done !== null) send(done.what === "move" || selected()?.geometry?.type === "Point" ? "moved" : done.fresh ? "corner added" : "corner moved");
    },
    cancel() {
      if (grip?.what === "corner" && grip.fresh) corner = null;
      grip = held = null;
      redraw();
    },
    /** Send what arrow keys have moved. */
    settle() {
      if (nudging !== undefined) send(corner === null ? "moved" : "corner moved");
    },
    /** Move the corner that is chosen, or the whole shape. @param {Point} by [m] */
    nudge([dx, dy]) {
      const geometry = held ?? selected()?.geometry;
      if (geometry == null) return false;
      if (corner === null) held = shifted(geometry, dx, dy);
      else {
        const [x, y] = runsOf(geometry)[corner.run].points[corner.corner];
        held = moveCorner(geometry, corner.run, corner.corner, rounded([x + dx, y + dy]));
      }
      clearTimeout(nudging);
      nudging = setTimeout(this.settle, NUDGE_MS);
      redraw();
      return true;
    },
    /** Remove the corner that is chosen, or else the whole shape. */
    remove() {
      this.settle();
      const feature = selected();
      if (feature === null) return;
      const left = corner === null || feature.geometry === null ? null : removeCorner(feature.geometry, corner.run, corner.corner);
      corner = null;
      if (left === null) drawing.edit(`${nameOf(feature)} removed`, [{ id: feature.id, remove: true }]);
      else drawing.edit(`${nameOf(feature)} corner removed`, [{ id: feature.id, geometry: left }]);
    },
    /** Forget corner and grip: something else is selected. */
    forget() {
      this.settle();
      grip = held = corner = null;
      redraw();
    },
    /** Keep the corner only as long as the shape still has it. */
    check() {
      const geometry = selected()?.geometry;
      if (corner !== null && (geometry == null || corner.corner >= (runsOf(geometry)[corner.run]?.points.length ?? 0))) corner = null;
    },
  };
}
