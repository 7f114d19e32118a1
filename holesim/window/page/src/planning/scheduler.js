// What to ask next. It follows from the state alone, so that a move cancels whatever it makes needless.
/** @typedef {import("../records").State} State */
/** @typedef {import("../records").Next} Next */
/** @typedef {import("../records").Question} Question */
/** @typedef {import("../records").Level} Level */
import { askedLabels, driverLabels, drawnStrikes, pickedLabels, shownAnswer, shownHole, teeOf } from "./state.js";

const REST_MS = 120; // after the last change
const HELD_REST_MS = 300; // while the hand is still down
export const RING_STEP = 15; // deg
const RING_PIECE = 4; // directions asked at once
const LEVELS = /** @type {Level[]} */ (["moving", "rest"]);

/** What the answer of the tee shown belongs to. @param {State} state */
export function teeKey(state) {
  const { openId, hole, tee, wind, held } = state;
  return JSON.stringify([openId, hole, tee, wind, pickedLabels(state), held, dayIsKnown(state)]);
}

/** Whether all holes have told which strike a golfer hits who keeps to one all day: each hole is then asked again.
 * @param {State} state */
function dayIsKnown(state) {
  if (state.opened?.player.can_choose !== false || state.rows.key !== rowsKey(state)) return false;
  return state.rows.round.rest !== null;
}

/** What the rows of the round belong to. @param {State} state */
export function rowsKey({ openId, tee, wind }) {
  return JSON.stringify([openId, tee, wind]);
}

/** The two strikes that the ring compares, in the order of the bag. @param {State} state @returns {string[]} */
export function ringPair(state) {
  const bag = state.opened?.player.strikes ?? [];
  const driver = driverLabels(state);
  if (shownHole(state)?.par !== 3 && driver.length > 1) return driver.slice(0, 2);
  const answer = shownAnswer(state);
  if (answer === null || answer.rival === null) return [];
  const two = [answer.choice, answer.rival];
  return bag.filter(({ label }) => two.includes(label)).map(({ label }) => label);
}

/** What the ring belongs to. @param {State} state */
export function ringKey(state) {
  const { openId, hole, tee, wind } = state;
  return JSON.stringify([openId, hole, tee, wind.mph, ringPair(state)]);
}

/** The question to ask next. @param {State} state @param {number} now [ms] @returns {Next} */
export function nextQuestion(state, now) {
  if (state.course === "" || state.player === "") return null;
  if (state.openedId !== state.openId) return unlessFailed(state, openQuestion(state), `open ${state.openId}`);
  const { wait, ...first } = teeQuestion(state, now);
  // While a course is drawn only the tee in view is planned.
  const all = wait === undefined && state.view === "plan";
  const next = first.next ?? (all ? ringQuestion(state) ?? roundQuestion(state) : null);
  return next ?? (wait === undefined ? null : { wait });
}

/** Whether work on a question at rest is given up for the next one. @param {Question} asked
 * @param {NonNullable<Next>} next */
export function givesWay(asked, next) {
  if (!("level" in asked) || asked.level !== "rest" || "wait" in next) return false;
  const { question } = next;
  return question.ask === "open" || ("level" in question && question.level === "moving");
}

/** @param {State} state @param {Question} question @param {string} key @returns {Next} */
function unlessFailed(state, question, key) {
  return state.failed.includes(JSON.stringify(question)) ? null : { question, key };
}

/** @param {State} state @returns {Question} */
function openQuestion({ course, layout, player, options }) {
  return { ask: "open", course, layout, player, options };
}

/** @param {State} state @param {number} now @returns {{next?: Next, wait?: number}} */
function teeQuestion(state, now) {
  const key = teeKey(state);
  const known = state.answer?.key === key ? state.answer.level : null;
  if (known === "rest" || state.waiting.includes(state.hole)) return {};
  // A held aim is answered from few drives alone.
  if (known !== null && state.held !== null) return {};
  const early = state.changedAt + (state.handDown ? HELD_REST_MS : REST_MS) - now;
  if (known === "moving" && early > 0) return { wait: early };
  const level = known === null ? "moving" : "rest";
  const where = { hole: state.hole, tee: state.tee, wind: state.wind, level };
  const aim = state.held;
  const question = aim === null
    ? { ask: "tee", ...where, strikes: askedLabels(state) }
    : {
      ask: "aim", ...where, label: aim.label, heading_deg: aim.heading_deg,
      strikes: askedLabels(state) ?? drawnStrikes(state).map(({ label }) => label),
    };
  const next = unlessFailed(state, question, key);
  return next === null ? {} : { next };
}

/** @param {State} state @returns {Next} */
function ringQuestion(state) {
  const strikes = ringPair(state);
  if (state.wind.mph === 0 || strikes.length < 2 || state.waiting.includes(state.hole)) return null;
  const key = ringKey(state);
  const known = state.ring.key === key ? state.ring.points.map((point) => point.from_deg) : [];
  const all = Array.from({ length: 360 / RING_STEP }, (_, i) => i * RING_STEP);
  const missing = all.filter((degrees) => !known.includes(degrees)).slice(0, RING_PIECE);
  if (missing.length === 0) return null;
  const { hole, tee, wind: { mph } } = state;
  return unlessFailed(state, { ask: "ring", hole, tee, mph, strikes, from_deg: missing }, key);
}

/** The rows and then the total of the round: from few drives, then, once the hand is up, from all.
 * @param {State} state @returns {Next} */
function roundQuestion(state) {
  const key = rowsKey(state);
  const rows = state.rows.key === key ? state.rows : null;
  const holes = state.opened?.course.holes ?? [];
  const at = holes.findIndex(({ hole }) => hole === state.hole);
  const ordered = [...holes.slice(at), ...holes.slice(0, at)].filter(({ hole }) => state.ready.includes(hole));
  for (const level of state.handDown ? LEVELS.slice(0, 1) : LEVELS) {
    for (const hole of ordered) {
      if (rows?.[level][hole.hole] !== undefined) continue;
      const question = { ask: "hole", hole: hole.hole, tee: teeOf(hole, state.tee).name, wind: state.wind, level };
      const next = unlessFailed(state, question, key);
      if (next !== null) return next;
    }
    // The total is asked for once all holes are answered.
    const whole = ordered.length === holes.length && holes.length > 0;
    if (whole && rows?.round[level] === null) {
      const next = unlessFailed(state, { ask: "round", tee: state.tee, wind: state.wind, level }, key);
      if (next !== null) return next;
    }
  }
  return null;
}
