// A hole by its numbers: what people type, and what it means.
/** @typedef {import("../records").DrawingState} DrawingState */
/** A bend as typed. @typedef {{at: string, side: "left" | "right", degrees: string}} TypedBend */
/** A hole as typed. @typedef {{number: string, par: string, length: string, index: string, bends: TypedBend[]}} TypedHole */
/** A hole as the server reads it. @typedef {{number: number, par: number, length_yd: number, stroke_index: number | null,
 *   bends: {at_yd: number, side: "left" | "right", degrees: number}[]}} HoleRecord */
import { numberIn } from "./form_parts.js";

const MOST = 36;
const INDEX = 18;

/** The numbers of the holes that are drawn. @param {Pick<DrawingState, "features" | "holes">} state */
export function drawnNumbers({ features, holes }) {
  const lines = [...features.values()].filter(({ kind }) => kind === "line");
  return new Set([...holes.map(({ hole }) => hole), ...lines.map(({ tags, hole }) => Number(tags.ref ?? hole))]);
}

/** The number of the next hole: that in view where it is not drawn, or the first free one.
 * @param {Pick<DrawingState, "features" | "holes" | "hole">} state */
export function nextNumber(state) {
  const drawn = drawnNumbers(state);
  if (state.hole !== null && !drawn.has(state.hole)) return state.hole;
  for (let i = 1; i <= MOST; i++) if (!drawn.has(i)) return i;
  return MOST;
}

/** @param {string} text @param {number} least @param {number} most */
function whole(text, least, most) {
  const value = numberIn(text);
  return value !== null && Number.isInteger(value) && value >= least && value <= most ? value : null;
}

/** @param {string} text @param {number} least @param {number} most */
function within(text, least, most) {
  const value = numberIn(text);
  return value !== null && value >= least && value <= most ? value : null;
}

/** The hole that was typed, or what is wrong with it, in one line. @param {TypedHole} typed @param {Set<number>} drawn
 * @returns {HoleRecord | string} */
export function holeBy({ number: no, par: strokes, length, index, bends }, drawn) {
  const number = whole(no, 1, MOST);
  if (number === null) return `The number of a hole is 1 to ${MOST}.`;
  if (drawn.has(number)) return `Hole ${number} is drawn already: give another number, or take its line away first.`;
  const par = whole(strokes, 3, 6);
  if (par === null) return "Par is 3, 4, 5 or 6.";
  const length_yd = within(length, 50, 1000);
  if (length_yd === null) return "Type the length from the back tee in yards, 50 to 1000.";
  const stroke_index = index.trim() === "" ? null : whole(index, 1, INDEX);
  if (index.trim() !== "" && stroke_index === null) return `The stroke index is 1 to ${INDEX}, or nothing.`;
  const read = [];
  for (const bend of bends) {
    const at_yd = within(bend.at, 1, length_yd - 1);
    if (at_yd === null) return `A bend lies at so many yards from the back tee, under ${length_yd}.`;
    const degrees = within(bend.degrees, 1, 120);
    if (degrees === null) return "A bend turns by 1 to 120 degrees.";
    read.push({ at_yd, side: bend.side, degrees });
  }
  return { number, par, length_yd, stroke_index, bends: read.sort((a, b) => a.at_yd - b.at_yd) };
}
