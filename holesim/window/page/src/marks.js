// Colour, shape and word of each strike. Colours of Okabe and Ito, two of them darker: 3 to 1 on their white casing.
/** @typedef {import("./records").StrikeName} StrikeName */
/** @typedef {{colour: string, shape: string, sides: string}} Mark */
import { svg } from "lit-html";

const SHAPES = /** @type {Record<string, string>} */ ({
  up: "M0-7.5 7 5.5H-7Z",
  down: "M0 7.5 7-5.5H-7Z",
  square: "M-5.8-5.8H5.8V5.8H-5.8Z",
  circle: "M-6.2 0A6.2 6.2 0 1 1 6.2 0A6.2 6.2 0 1 1-6.2 0Z",
  diamond: "M0-7.5 7.5 0 0 7.5-7.5 0Z",
  pentagon: "M0-7 6.7-2.2 4.1 5.7H-4.1L-6.7-2.2Z",
  cross: "M-2.4-7H2.4V-2.4H7V2.4H2.4V7H-2.4V2.4H-7V-2.4H-2.4Z",
});
const DRIVER = /** @type {Record<string, Mark>} */ ({
  up: { colour: "#0072B2", shape: SHAPES.up, sides: "upward triangle" },
  down: { colour: "#D55E00", shape: SHAPES.down, sides: "downward triangle" },
  level: { colour: "#CC79A7", shape: SHAPES.square, sides: "square" },
});
const CLUBS = [
  { colour: "#000000", shape: SHAPES.circle, sides: "circle" },
  { colour: "#B97F00", shape: SHAPES.diamond, sides: "diamond" },
  { colour: "#009E73", shape: SHAPES.pentagon, sides: "pentagon" },
  { colour: "#3C95C9", shape: SHAPES.cross, sides: "cross" },
];

/** The mark of each strike shown: other clubs take theirs in the order of the player's bag, softer swings last.
 * @param {string[]} labels shown @param {StrikeName[]} bag @returns {Map<string, Mark>} */
export function marksOf(labels, bag) {
  const marks = new Map();
  let clubs = 0;
  for (const { label, club } of bag) {
    if (!labels.includes(label)) continue;
    marks.set(label, club === "driver" ? DRIVER[label] : CLUBS[clubs++ % CLUBS.length]);
  }
  for (const label of labels) {
    if (!marks.has(label)) marks.set(label, CLUBS[clubs++ % CLUBS.length]);
  }
  return marks;
}

/** The mark of one strike alone. @param {string} label @returns {Mark} */
export function markOf(label) {
  return DRIVER[label] ?? CLUBS[0];
}

/** A small picture of a mark. @param {Mark} mark */
export function markIcon(mark) {
  return svg`<svg class="mark" viewBox="-9 -9 18 18" aria-hidden="true"><path d=${mark.shape} fill=${mark.colour} /></svg>`;
}
