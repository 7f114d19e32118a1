// Hazards by their numbers, as a yardage book has them.
/** @typedef {import("../records").DrawingState} DrawingState */
/** @typedef {import("../records").Feature} Feature */
/** @typedef {import("../records").HoleNumbers} HoleNumbers */
/** @typedef {import("../records").Point} Point */
/** A hazard as typed. @typedef {{word: string, side: string, from: string, to: string, off: string, wide: string}} TypedHazard */
/** A hazard as the server reads it.
 * @typedef {{hole: number, side: string, from_yd: number, to_yd: number, off_yd: number | null, wide_yd: number | null}} HazardRecord */
/** A hazard of a hole with its numbers. @typedef {{feature: Feature, numbers: HoleNumbers}} Listed */
import { YARD } from "../geometry.js";
import { numberIn } from "./form_parts.js";
import { kindName } from "./kinds.js";
import { runsOf } from "./shapes.js";

/** Words offered where a hazard is typed; others are understood, too. */
export const WORDS = ["creek", "ditch", "pond", "lake", "bunker", "trees", "waste area", "out of bounds", "heavy rough"];

const NARROW = 20; // yd along the hole: water across it that is narrower is called a creek (our assumption)

/** What golfers call a feature. @param {Pick<Feature, "kind" | "geometry" | "tags" | "noted">} feature @param {Pick<HoleNumbers, "side" | "from_yd" | "to_yd">} numbers */
export function wordFor({ kind, geometry, tags, noted }, { side, from_yd, to_yd }) {
  if (noted?.word) return noted.word;
  if (kind === "out") return "out of bounds";
  if (kind !== "red" && kind !== "yellow") return kindName(kind);
  if (geometry?.type === "LineString" || tags.waterway !== undefined || (side === "across" && to_yd - from_yd < NARROW)) return "creek";
  return ["pond", "lake", "lagoon", "river"].includes(tags.water ?? "") ? tags.water : "water";
}

/** The word to send for a feature that is drawn anew: one that keeps its kind. @param {Pick<Feature, "kind" | "noted">} feature */
export const wordToSend = ({ kind, noted }) => noted?.word || (kind === "red" ? "red water" : kind === "yellow" ? "yellow water" : kind === "out" ? "out of bounds" : kindName(kind));

const yards = (/** @type {number} */ value) => String(Math.round(value));

/** A hazard with its numbers, in the words of a yardage book. @param {string} word @param {Pick<HoleNumbers, "side" | "from_yd" | "to_yd">} numbers */
export function hazardText(word, { side, from_yd, to_yd }) {
  if (side === "across") return `${word} ${yards(from_yd)}–${yards(to_yd)}`;
  if (word === "bunker") return `${word} ${side} ${yards(from_yd)}, carries ${yards(to_yd)}`;
  return `${word} ${side} ${yards(from_yd)}–${yards(to_yd)}`;
}

/** The hazards of a hole in the order of distance: those that are measured, and those noted that are not. @param {Pick<DrawingState, "features" | "holes">} state @param {number | null} hole
 * @returns {Listed[]} */
export function listed({ features, holes }, hole) {
  const measured = holes.find((one) => one.hole === hole)?.numbers ?? [];
  const known = new Set(measured.map(({ id }) => id));
  const noted = [...features.values()].flatMap(({ id, kind, noted: by }) =>
    (by === null || by.hole !== hole || known.has(id) ? [] : [{ id, kind, from_yd: by.from_yd, to_yd: by.to_yd, side: by.side }]));
  return [...measured, ...noted].flatMap((numbers) => {
    const feature = features.get(numbers.id);
    return feature === undefined ? [] : [{ feature, numbers }];
  }).sort((a, b) => a.numbers.from_yd - b.numbers.from_yd || a.numbers.to_yd - b.numbers.to_yd);
}

/** How far a shape lies off a line: its near side and how wide it is, square to the line [yd].
 * @param {Feature["geometry"]} geometry @param {Point[]} line */
export function besides(geometry, line) {
  let [near, far] = [Infinity, 0];
  for (const { points } of geometry === null ? [] : runsOf(geometry)) {
    for (const place of points) {
      const away = awayFrom(place, line);
      near = Math.min(near, away);
      far = Math.max(far, away);
    }
  }
  if (near === Infinity) return { off_yd: 0, wide_yd: 0 };
  return { off_yd: Math.round(near / YARD), wide_yd: Math.max(1, Math.round((far - near) / YARD)) };
}

/** @param {Point} place @param {Point[]} line */
function awayFrom([x, y], line) {
  let least = Infinity;
  for (let i = 1; i < line.length; i++) {
    const [[ax, ay], [bx, by]] = [line[i - 1], line[i]];
    const long = Math.hypot(bx - ax, by - ay) || 1;
    const along = ((x - ax) * (bx - ax) + (y - ay) * (by - ay)) / (long * long);
    const kept = Math.max(0, Math.min(1, along));
    least = Math.min(least, Math.hypot(x - ax - kept * (bx - ax), y - ay - kept * (by - ay)));
  }
  return least;
}

/** The hazard that was typed, or what is wrong with it, in one line. @param {TypedHazard} typed @param {number} hole
 * @returns {{word: string, noted: HazardRecord} | string} */
export function hazardBy({ word, side, from, to, off, wide }, hole) {
  if (word.trim() === "") return "Say what it is, such as creek, bunker, pond or trees.";
  const from_yd = numberIn(from);
  const to_yd = numberIn(to);
  if (from_yd === null || to_yd === null || from_yd < 0 || to_yd > 1000) return "Type from where to where it lies, in yards from the back tee.";
  if (to_yd <= from_yd) return `It must end farther out than it begins: ${to.trim()} yd is not beyond ${from.trim()} yd.`;
  const across = side === "across";
  const off_yd = across || off.trim() === "" ? null : numberIn(off);
  if (!across && off.trim() !== "" && (off_yd === null || off_yd < 0 || off_yd > 200)) return "Its near side lies 0 to 200 yards off the line of play; type nothing for the usual.";
  const wide_yd = wide.trim() === "" ? null : numberIn(wide);
  if (wide.trim() !== "" && (wide_yd === null || wide_yd < 1 || wide_yd > 400)) return "How wide it is, square to the line, is 1 to 400 yards; type nothing for the usual.";
  return { word: word.trim(), noted: { hole, side, from_yd, to_yd, off_yd, wide_yd } };
}

/** A listed hazard as it would be typed. @param {Listed} one @param {Point[] | null} line @returns {TypedHazard} */
export function typedFrom({ feature, numbers }, line) {
  const { noted } = feature;
  const text = (/** @type {number | null | undefined} */ value) => (value == null ? "" : String(Math.round(value * 10) / 10));
  if (noted !== null) {
    return { word: wordToSend(feature), side: noted.side, from: text(noted.from_yd), to: text(noted.to_yd), off: text(noted.off_yd), wide: text(noted.wide_yd) };
  }
  const across = numbers.side === "across" || line === null;
  const { off_yd, wide_yd } = across ? { off_yd: null, wide_yd: null } : besides(feature.geometry, line);
  return { word: wordToSend(feature), side: numbers.side, from: text(numbers.from_yd), to: text(numbers.to_yd), off: text(off_yd), wide: text(wide_yd) };
}
