// Taking answers into the state. An answer to a stale question is not taken, but for one while a hand moves.
/** @typedef {import("../records").State} State */
/** @typedef {import("../records").Question} Question */
/** @typedef {import("../records").Opened} Opened */
/** @typedef {import("../records").TeeAnswer} TeeAnswer */
/** @typedef {import("../records").Level} Level */
/** @typedef {Record<string, unknown>} Message */
import { ringKey, rowsKey, teeKey } from "./scheduler.js";
import { noRows } from "./state.js";

/** The state after an answer. @param {State} state @param {Question} question @param {string} key @param {Message} message
 * @returns {Partial<State>} */
export function takeAnswer(state, question, key, message) {
  if (message.replaced === true) return {};
  if (typeof message.error === "string") {
    return { said: message.error, failed: [...state.failed, JSON.stringify(question)] };
  }
  if (message.waiting === true) {
    const hole = Number(message.hole);
    return { waiting: [...new Set([...state.waiting, hole])], ready: state.ready.filter((one) => one !== hole) };
  }
  switch (question.ask) {
    case "open": return key === `open ${state.openId}` ? takeOpened(state, /** @type {any} */ (message)) : {};
    case "tee":
    case "aim": return takeTee(state, question, key, /** @type {any} */ (message));
    case "ring": return takeRing(state, key, /** @type {any} */ (message));
    case "hole":
    case "round": return takeRound(state, question, key, message);
    default: return {};
  }
}

/** @param {State} state @param {Opened} opened @returns {Partial<State>} */
function takeOpened(state, opened) {
  const { holes } = opened.course;
  const hole = holes.some((one) => one.hole === state.hole) ? state.hole : holes[0].hole;
  const names = new Set(holes.flatMap(({ tees }) => tees.map(({ name }) => name)));
  const tee = names.has(state.tee) ? state.tee : holes[0].tees[0].name;
  const before = state.opened;
  const same = before?.course.file === opened.course.file && before.course.name === opened.course.name
    && before.player.file === opened.player.file;
  return { opened, openedId: state.openId, hole, tee, held: null, answer: same ? state.answer : null };
}

/** @param {State} state @param {Question} question @param {string} key @param {TeeAnswer} value @returns {Partial<State>} */
function takeTee(state, question, key, value) {
  const passing = state.handDown && question.level === "moving" && state.openedId === state.openId
    && question.hole === state.hole && question.tee === state.tee;
  if (key !== teeKey(state) && !passing) return {};
  return { answer: { key, level: /** @type {Level} */ (question.level), value } };
}

/** @param {State} state @param {string} key @param {{points: import("../records").RingPoint[]}} answer
 * @returns {Partial<State>} */
function takeRing(state, key, { points }) {
  if (key !== ringKey(state)) return {};
  return { ring: { key, points: state.ring.key === key ? [...state.ring.points, ...points] : points } };
}

/** @param {State} state @param {Question} question @param {string} key @param {Message} answer @returns {Partial<State>} */
function takeRound(state, question, key, answer) {
  if (key !== rowsKey(state)) return {};
  const rows = state.rows.key === key ? state.rows : noRows(key);
  const level = /** @type {Level} */ (question.level);
  if (question.ask === "round") return { rows: { ...rows, round: { ...rows.round, [level]: answer } } };
  return { rows: { ...rows, [level]: { ...rows[level], [Number(question.hole)]: answer.row } } };
}

/** The state after something that was not asked for. @param {State} state @param {Message} message
 * @returns {Partial<State>} */
export function takeNews(state, message) {
  if (Array.isArray(message.ready)) {
    const ready = /** @type {number[]} */ (message.ready);
    return {
      ready: [...new Set([...state.ready, ...ready])],
      waiting: state.waiting.filter((hole) => !ready.includes(hole)),
    };
  }
  if (typeof message.changed === "string") {
    if (message.changed === state.drawn) return {};
    const own = typeof message.sha256 === "string" && state.ownSaves.includes(message.sha256);
    return { ...openAnew(state), ...(own ? {} : { said: `${message.changed} was changed outside this window and has been read again.` }) };
  }
  if (message.compiling === true) return { compiling: true };
  if (typeof message.job === "number") return {}; // who started the work hears of it (`jobs.js`)
  return typeof message.error === "string" ? { said: message.error } : {};
}

/** Open course and player again, with what is changed. @param {State} state
 * @param {Partial<Pick<State, "course" | "layout" | "player" | "options">>} [change] @returns {Partial<State>} */
export function openAnew(state, change = {}) {
  return { ...change, openId: state.openId + 1, held: null, ready: [], waiting: [], failed: [] };
}
