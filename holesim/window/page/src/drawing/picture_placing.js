// Placing a picture: two of its points whose distance is known, and where north is.
/** @typedef {import("../records").Picture} Picture */
/** @typedef {import("../records").Point} Point */
/** @typedef {import("../records").DrawingState} DrawingState */
/** What is known of a picture that is being placed; points in its pixels, `yards` and `degrees` as typed.
 * @typedef {{name: string, marks: Picture["marks"], first: Point | null, second: Point | null, northward: Point | null,
 *   known: boolean, yards: string, north: "up" | "point" | "bearing", degrees: string}} Placing */
import { YARD } from "../geometry.js";
import { numberIn } from "./form_parts.js";
import { layOf, marksBy, toGround } from "./picture_place.js";
import { apart, rounded } from "./shapes.js";

const LEAST = 8; // px between two points

/** @param {string} name @param {Picture["marks"]} marks how it lies until it is placed @param {boolean} known @returns {Placing} */
export const beginPlacing = (name, marks, known) =>
  ({ name, marks, first: null, second: null, northward: null, known, yards: "", north: "up", degrees: "" });

/** The back tee and the pin of the hole in view, where it has them. @param {Pick<DrawingState, "holes" | "hole">} state
 * @returns {{hole: number, tee: Point, pin: Point} | null} */
export function endsOf({ holes, hole }) {
  const found = holes.find((one) => one.hole === hole);
  const tee = found?.tees[0];
  if (found === undefined || tee === undefined || found.pin === null) return null;
  return { hole: found.hole, tee: tee.at, pin: found.pin };
}

/** How a picture lies by what is known of it, or what is missing, in one line.
 * @param {Placing} placing @param {{tee: Point, pin: Point} | null} ends @returns {Picture["marks"] | string} */
export function placedBy({ marks, first, second, northward, known, yards, north, degrees }, ends) {
  if (first === null || second === null) return "Click both points on the picture.";
  if (apart(first, second) < LEAST) return "The two points lie too near to one another: click two that are far apart.";
  if (known && ends !== null) return [{ pixel: first, at: rounded(ends.tee) }, { pixel: second, at: rounded(ends.pin) }];
  const far = numberIn(yards);
  if (far === null || far < 10 || far > 3000) return "Type how many yards lie between the two points, 10 to 3000.";
  const at = toGround(layOf(marks), first);
  const metres = far * YARD;
  if (north === "up") return marksBy(first, second, at, metres, { by: "up" });
  if (north === "bearing") {
    const angle = numberIn(degrees);
    if (angle === null || angle < -360 || angle > 360) return "Type the bearing from the first point to the second in degrees: 0 is north, 90 east.";
    return marksBy(first, second, at, metres, { by: "bearing", degrees: angle });
  }
  if (northward === null || apart(first, northward) < LEAST) return "Click towards north, some way from the first point.";
  return marksBy(first, second, at, metres, { by: "point", pixel: northward });
}
