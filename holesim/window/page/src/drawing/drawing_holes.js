// The holes of a drawing: their row of buttons, and what of each is drawn.
/** @typedef {import("../records").DrawingState} DrawingState */
/** @typedef {import("../records").Point} Point */
import { html, nothing, render } from "lit-html";
import { isOn } from "./hits.js";
import { apart, runsOf } from "./shapes.js";

const USUAL = 18;
const SAME = 1; // m, within which a pin is the one that the check speaks of

/** The numbers of the row: 1 to 18, and what is drawn beyond. @param {Pick<DrawingState, "features" | "holes">} state */
export function holeNumbers({ features, holes }) {
  const drawn = [...features.values()].filter(({ kind }) => kind === "line").map(({ tags }) => Number(tags.ref));
  const most = Math.max(USUAL, ...drawn.filter(Number.isInteger), ...holes.map(({ hole }) => hole));
  return Array.from({ length: Math.min(most, 36) }, (_, i) => i + 1);
}

/** The line of a hole, tee first: as drawn, or from what the check says of it. @param {DrawingState} state
 * @param {number} hole @returns {Point[] | null} */
export function lineOf({ features, holes }, hole) {
  const checked = holes.find((one) => one.hole === hole);
  const line = [...features.values()].find(({ id, kind, tags }) => kind === "line" && (id === checked?.line || tags.ref === String(hole)));
  const points = line?.geometry?.type === "LineString" ? line.geometry.coordinates : [];
  const pin = checked?.pin ?? points.at(-1);
  const tee = checked?.tees[0]?.at ?? points[0];
  if (tee === undefined || pin === undefined) return null;
  return [tee, ...points.slice(1, -1), pin];
}

/** The pin of a hole as it is drawn; none where it is guessed. @param {Pick<DrawingState, "features" | "holes">} state
 * @param {number | null} hole */
export function pinOf({ features, holes }, hole) {
  const checked = holes.find((one) => one.hole === hole);
  if (checked === undefined || checked.pin === null || checked.pin_guessed) return null;
  const at = checked.pin;
  return [...features.values()].find(({ kind, geometry }) => kind === "pin" && geometry?.type === "Point" && apart(geometry.coordinates, at) < SAME) ?? null;
}

/** What else of a hole should be in view: the green around its pin. @param {DrawingState} state @param {Point} pin @returns {Point[]} */
export function aroundHole({ features }, pin) {
  const greens = [...features.values()].filter((one) => one.kind === "green" && isOn(one, pin, 0));
  return greens.flatMap(({ geometry }) => (geometry === null ? [] : runsOf(geometry).flatMap(({ points }) => points)));
}

/** @param {HTMLElement} box @param {import("./drawing_store.js").Drawing} drawing @param {(hole: number | null) => void} show */
export function drawHoles(box, drawing, show) {
  const state = drawing.get();
  const lined = new Set(state.holes.map(({ hole }) => hole));
  for (const { kind, tags } of state.features.values()) if (kind === "line") lined.add(Number(tags.ref));
  const faulty = new Set(state.says.filter(({ kind }) => kind === "fault").map(({ hole }) => hole));
  const words = (/** @type {number} */ hole) => `hole ${hole}${lined.has(hole) ? "" : ", not drawn yet"}${faulty.has(hole) ? ", with a mistake" : ""}`;
  render(state.name === "" ? nothing : html`
    <button type="button" aria-pressed=${state.hole === null} @click=${() => show(null)}>whole course</button>
    ${holeNumbers(state).map((hole) => html`<button type="button" class="hole ${lined.has(hole) ? "" : "empty"} ${faulty.has(hole) ? "faulty" : ""}"
      aria-label=${words(hole)} aria-pressed=${state.hole === hole} @click=${() => show(hole)}>${hole}</button>`)}`, box);
}
