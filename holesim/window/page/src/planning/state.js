// The one store of the page, and pure functions of its state.
/** @typedef {import("../records").State} State */
/** @typedef {import("../records").Hole} Hole */
/** @typedef {import("../records").Tee} Tee */
/** @typedef {import("../records").Row} Row */
/** @typedef {import("../records").StrikeAnswer} StrikeAnswer */
/** @typedef {import("../records").TeeAnswer} TeeAnswer */
import { bearing, keptNear } from "../geometry.js";

/** @type {State} */
export const START = {
  view: "plan", drawn: "", connection: "opening", folder: null, said: "", compiling: false, course: "", layout: null, player: "", options: {},
  openId: 0, opened: null, openedId: -1, hole: 1, tee: "", wind: { mph: 0, from_deg: 0 },
  shown: { short: null, long: null }, held: null, handDown: false, changedAt: 0, ready: [], waiting: [], failed: [], ownSaves: [],
  answer: null, ring: { key: "", points: [] }, rows: noRows(""),
};

/** @param {string} key @returns {State["rows"]} */
export function noRows(key) {
  return { key, moving: {}, rest: {}, round: { moving: null, rest: null } };
}

/** A store that tells its listeners of changes. @param {State} initial */
export function createStore(initial) {
  let state = initial;
  /** @type {((state: State, before: State) => void)[]} */ const listeners = [];
  return {
    get: () => state,
    /** @param {Partial<State>} change */
    set(change) {
      const before = state;
      state = { ...state, ...change };
      for (const listener of listeners) listener(state, before);
    },
    /** @param {(state: State, before: State) => void} listener */
    subscribe: (listener) => void listeners.push(listener),
  };
}
/** @typedef {ReturnType<typeof createStore>} Store */

/** The hole that is shown. @param {State} state @returns {Hole | null} */
export function shownHole(state) {
  return state.opened?.course.holes.find(({ hole }) => hole === state.hole) ?? null;
}

/** The tee of a hole that goes by a name, or its longest. @param {Hole} hole @param {string} name @returns {Tee} */
export function teeOf(hole, name) {
  return hole.tees.find((tee) => tee.name === name) ?? hole.tees[0];
}

/** The bearing of the pin from the tee that is shown, which is up on the picture [deg]. @param {State} state */
export function upward(state) {
  const hole = shownHole(state);
  return hole === null ? 0 : bearing(teeOf(hole, state.tee).at, hole.pin);
}

/** @param {Hole | null} hole @returns {"short" | "long"} */
function kindOf(hole) {
  return hole?.par === 3 ? "short" : "long";
}

/** The last answer for the tee that is shown, of this wind or, until its answer is there, of the last one;
 * none while the hole is worked out anew. @param {State} state @returns {TeeAnswer | null} */
export function shownAnswer({ answer, hole, tee, waiting }) {
  if (waiting.includes(hole)) return null;
  return answer?.value.hole === hole && answer.value.tee === tee ? answer.value : null;
}

/** The labels picked to be shown on holes like this one; null for what fits. @param {State} state */
export function pickedLabels(state) {
  return state.shown[kindOf(shownHole(state))];
}

/** The driver's strikes. @param {State} state */
export function driverLabels(state) {
  const bag = state.opened?.player.strikes ?? [];
  return bag.filter(({ club }) => club === "driver").map(({ label }) => label);
}

/** The labels to ask for: those picked, and those that the choice is made among; null for what fits.
 * @param {State} state @returns {string[] | null} */
export function askedLabels(state) {
  const picked = pickedLabels(state);
  if (picked === null) return null;
  const answer = shownAnswer(state);
  const chosen = [answer?.choice, answer?.rival].filter((label) => label != null);
  const usual = kindOf(shownHole(state)) === "long" ? driverLabels(state) : chosen;
  return [...new Set([...usual, ...picked])];
}

/** The strikes drawn: those picked, or else the driver's and the choice; on a par 3 the choice and its rival.
 * @param {State} state @returns {StrikeAnswer[]} in the order of the bag */
export function drawnStrikes(state) {
  const answer = shownAnswer(state);
  if (answer === null || state.opened === null) return [];
  const picked = pickedLabels(state);
  const fits = (/** @type {StrikeAnswer} */ strike) => picked !== null
    ? picked.includes(strike.label)
    : strike.label === answer.choice
      || (answer.strikes.length <= 2 || shownHole(state)?.par === 3
        ? strike.label === answer.rival
        : strike.club === "driver");
  const bag = state.opened.player.strikes.map(({ label }) => label);
  const place = (/** @type {StrikeAnswer} */ { label }) => (bag.includes(label) ? bag.indexOf(label) : bag.length);
  return answer.strikes.filter(fits).sort((a, b) => place(a) - place(b));
}

/** Put a strike on the picture or take it off; the last one stays. @param {State} state @param {string} label
 * @returns {Partial<State>} */
export function toggleStrike(state, label) {
  const kind = kindOf(shownHole(state));
  const drawn = drawnStrikes(state).map((strike) => strike.label);
  const now = state.shown[kind] ?? (drawn.length === 0 && kind === "long" ? driverLabels(state) : drawn);
  // Softer swings are of one hole alone, and not picked for all.
  const picked = now.filter((other) => state.opened?.player.strikes.some((strike) => strike.label === other));
  const next = picked.includes(label) ? picked.filter((other) => other !== label) : [...picked, label];
  if (next.length === 0) return {};
  return { shown: { ...state.shown, [kind]: next }, held: null };
}

/** Change the wind, or the hole: aims go back to the best.
 * @param {Partial<Pick<State, "wind" | "hole" | "tee">>} change @param {number} now [ms] @returns {Partial<State>} */
export function moveTo(change, now) {
  return { ...change, held: null, changedAt: now };
}

/** The best heading for a strike, as it was when its aim was taken hold of. @param {State} state
 * @param {StrikeAnswer} strike @returns {number} [deg] */
export function bestHeading({ held }, strike) {
  return held?.label === strike.label ? held.best_deg : strike.best_heading_deg ?? strike.heading_deg;
}

/** Hold a strike's aim along a heading; another that was held goes back to its best. @param {State} state
 * @param {StrikeAnswer} strike @param {number} heading [deg] @param {number} now [ms] @returns {Partial<State>} */
export function holdAim(state, strike, heading, now) {
  const best_deg = bestHeading(state, strike);
  return { held: { label: strike.label, heading_deg: keptNear(heading, best_deg), best_deg }, changedAt: now };
}

/** Let the held aim go back to the best. @param {number} now [ms]
 * @returns {Partial<State>} */
export function releaseAim(now) {
  return { held: null, changedAt: now };
}

/** The hole some steps after the shown one, around the round. @param {State} state @param {number} steps */
export function holeAfter(state, steps) {
  const holes = state.opened?.course.holes ?? [];
  const at = holes.findIndex(({ hole }) => hole === state.hole);
  return holes.length === 0 ? state.hole : holes[(at + steps + holes.length) % holes.length].hole;
}

/** The names of all tees of the course, the longest first. @param {State} state */
export function teeNames(state) {
  /** @type {Map<string, number>} */ const longest = new Map();
  for (const { tees } of state.opened?.course.holes ?? []) {
    for (const tee of tees) longest.set(tee.name, Math.max(longest.get(tee.name) ?? 0, tee.length_yd));
  }
  return [...longest].sort((a, b) => b[1] - a[1]).map(([name]) => name);
}
