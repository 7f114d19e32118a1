// What the check says, of the hole in view and of what is selected.
/** @typedef {import("../records").DrawingState} DrawingState */
/** @typedef {import("../records").Say} Say */

const NAMES = { fault: "wrong", guess: "guessed", gap: "missing" };
const ORDER = ["fault", "gap", "guess"];

/** @param {Say} say */
export const sayName = ({ kind }) => NAMES[kind];

/** What is said of the hole in view, or of the course as a whole: what is wrong first.
 * @param {Pick<DrawingState, "says" | "hole">} state */
export function saysInView({ says, hole }) {
  const here = says.filter((say) => hole === null || say.hole === null || say.hole === hole || say.kind === "fault");
  return here.sort((a, b) => ORDER.indexOf(a.kind) - ORDER.indexOf(b.kind));
}

/** What is said of one feature. @param {Pick<DrawingState, "says">} state @param {number} id */
export const saysOf = ({ says }, id) => says.filter(({ ids }) => ids.includes(id));
