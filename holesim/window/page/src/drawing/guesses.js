// Tees and pins that the course file lacks and the check guesses: dashed marks that a click makes real.
/** @typedef {import("../records").Point} Point */
/** @typedef {import("../records").DrawingState} DrawingState */
/** @typedef {{kind: "tee" | "pin", hole: number, at: Point}} GuessedMark */
import { apart } from "./shapes.js";

/** @param {Pick<DrawingState, "holes" | "hole">} state @returns {GuessedMark[]} of the hole in view, or of all */
export function guessedMarks({ holes, hole }) {
  return holes.filter((one) => hole === null || one.hole === hole).flatMap((one) => [
    ...one.tees.filter(({ guessed }) => guessed).map(({ at }) => ({ kind: /** @type {const} */ ("tee"), hole: one.hole, at })),
    ...(one.pin_guessed && one.pin !== null ? [{ kind: /** @type {const} */ ("pin"), hole: one.hole, at: one.pin }] : []),
  ]);
}

/** The mark under a hand. @param {GuessedMark[]} marks @param {Point} hand [px] @param {(place: Point) => Point} pixel
 * @param {number} near [px] */
export function guessedAt(marks, hand, pixel, near) {
  return marks.find(({ at }) => apart(pixel(at), hand) <= near) ?? null;
}
