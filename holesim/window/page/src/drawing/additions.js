// What is added to a drawing by hand.
/** @typedef {import("../records").DrawingState} DrawingState */
/** @typedef {import("../records").Geometry} Geometry */
/** @typedef {import("../records").Feature} Feature */
/** @typedef {import("../records").Change} Change */
import { shifted } from "./shapes.js";

const MOST = 36; // holes of one course

/** The number that a new line of a hole gets: that of the hole in view, or else the first free one.
 * @param {Pick<DrawingState, "features" | "hole">} state @returns {string} */
export function freeNumber({ features, hole }) {
  const lines = [...features.values()].filter(({ kind }) => kind === "line");
  const taken = new Set(lines.map(({ tags, hole: number }) => tags.ref ?? String(number)));
  const all = Array.from({ length: MOST }, (_, i) => String(i + 1));
  return [String(hole ?? 1), ...all].find((number) => !taken.has(number)) ?? "";
}

/** What adds a shape; a course's name that has no outline yet is given one.
 * @param {Pick<DrawingState, "features" | "hole">} state @param {import("./kinds.js").Tool} tool @param {Geometry} geometry
 * @returns {Change} */
export function addedBy(state, { kind }, geometry) {
  const bare = [...state.features.values()].find((one) => one.kind === "boundary" && one.geometry === null);
  if (kind === "boundary" && bare !== undefined) return { id: bare.id, geometry };
  const tags = /** @type {Record<string, string>} */ (kind === "line" ? { ref: freeNumber(state) } : {});
  return { add: { kind, geometry, tags } };
}

/** A copy of a feature some way off; numbers and names, which are of one alone, are not copied.
 * @param {Feature} feature @param {import("../records").Point} by [m] @returns {Change} */
export function copyOf({ kind, geometry, tags }, [dx, dy]) {
  const kept = Object.fromEntries(Object.entries(tags).filter(([key]) => key !== "ref" && key !== "name"));
  return { add: { kind, geometry: shifted(/** @type {Geometry} */ (geometry), dx, dy), tags: kept } };
}
