import assert from "node:assert/strict";
import { test } from "node:test";
import { givesWay, nextQuestion, teeKey } from "../src/planning/scheduler.js";
import { openAnew, takeAnswer, takeNews } from "../src/planning/answers.js";
import { START, holdAim, moveTo } from "../src/planning/state.js";
import { opened, rowAnswer, strike, teeAnswer } from "./example.js";
/** @typedef {import("../src/records").State} State */
/** @typedef {import("../src/records").Question} Question */

/** The answer of a server that knows everything. @param {Question} question @returns {Record<string, unknown>} */
function answerTo(question) {
  const { ask, level, hole } = question;
  if (ask === "ring") {
    const directions = /** @type {number[]} */ (question.from_deg);
    return { points: directions.map((from_deg) => ({ from_deg, better: "up", saves: 0.1 })) };
  }
  if (ask === "hole") return { level, row: rowAnswer(Number(hole)) };
  if (ask === "round") return { level, rows: [], totals: [], day: null };
  return teeAnswer(/** @type {any} */ (level), Number(hole));
}

/** Ask and answer until nothing is left to ask. @param {State} state @param {number} now */
function settle(state, now) {
  const asked = [];
  for (let i = 0; i < 100; i++) {
    const next = nextQuestion(state, now);
    if (next === null || "wait" in next) return { state, asked, next };
    asked.push(next.question);
    state = { ...state, ...takeAnswer(state, next.question, next.key, answerTo(next.question)) };
  }
  throw new Error("never settles");
}

test("nothing is asked without a course and a player", () => {
  assert.equal(nextQuestion(START, 0), null);
  assert.equal(nextQuestion({ ...START, course: "x.geojson" }, 0), null);
});

test("the order of questions: tee, tee at rest, ring by four, holes, round, and again at rest", () => {
  const { asked } = settle(opened(), 5000);
  const said = asked.map(({ ask, level, hole }) => [ask, level, hole].filter((word) => word !== undefined && ask !== "ring").join(" "));
  assert.deepEqual(said, [
    "tee moving 4", "tee rest 4", "", "", "", "", "", "",
    "hole moving 4", "hole moving 5", "hole moving 3", "round moving",
    "hole rest 4", "hole rest 5", "hole rest 3", "round rest",
  ]);
  const ring = asked.filter(({ ask }) => ask === "ring").map((question) => question.from_deg);
  assert.deepEqual(ring[0], [0, 15, 30, 45]);
  assert.equal(new Set(ring.flat()).size, 24);
});

test("while a hand moves nothing but the tee is asked, and rest comes after 120 ms", () => {
  const { asked, next } = settle(opened({ changedAt: 5000 }), 5040);
  assert.deepEqual(asked.map(({ level }) => level), ["moving"]);
  assert.deepEqual(next, { wait: 80 });
});

test("while the hand is down, rest comes later and the round is only glanced at", () => {
  assert.deepEqual(settle(opened({ changedAt: 5000, handDown: true }), 5200).next, { wait: 100 });
  const { asked } = settle(opened({ handDown: true }), 5000);
  assert.deepEqual(asked.filter(({ ask, level }) => level === "rest" && ask !== "tee"), []);
});

test("a move makes what was queued needless", () => {
  const { state } = settle(opened(), 5000);
  const moved = { ...state, ...moveTo({ wind: { mph: 15, from_deg: 225 } }, 6000) };
  const next = nextQuestion(moved, 6001);
  assert.ok(next !== null && "question" in next);
  assert.deepEqual([next.question.ask, next.question.level, next.question.wind], ["tee", "moving", { mph: 15, from_deg: 225 }]);
});

test("calm air has no ring", () => {
  const { asked } = settle(opened({ wind: { mph: 0, from_deg: 0 } }), 5000);
  assert.ok(!asked.some(({ ask }) => ask === "ring"));
});

test("a held aim is asked for along its heading", () => {
  const state = opened();
  const held = { ...state, ...holdAim(state, strike("up"), 7.04, 5000) };
  const next = nextQuestion(held, 5001);
  assert.ok(next !== null && "question" in next);
  assert.deepEqual([next.question.ask, next.question.label, next.question.heading_deg], ["aim", "up", 7]);
});

test("stale answers are not taken after release, and only in passing while a hand moves", () => {
  const state = opened();
  const next = nextQuestion(state, 5000);
  assert.ok(next !== null && "question" in next);
  const moved = { ...state, ...moveTo({ wind: { mph: 20, from_deg: 225 } }, 5001) };
  const answer = teeAnswer("moving");
  assert.deepEqual(takeAnswer(moved, next.question, next.key, answer), {});
  const passing = takeAnswer({ ...moved, handDown: true }, next.question, next.key, answer);
  assert.equal(passing.answer?.key, next.key);
  assert.notEqual(next.key, teeKey(moved));
  const elsewhere = { ...state, ...moveTo({ hole: 5 }, 5001), handDown: true };
  assert.deepEqual(takeAnswer(elsewhere, next.question, next.key, answer), {});
});

test("rows of another wind are not taken", () => {
  const state = opened();
  const question = { ask: "hole", hole: 4, level: "rest" };
  assert.deepEqual(takeAnswer(state, question, "another", { row: rowAnswer(4) }), {});
});

test("a hole that is not worked out is asked again when it is ready", () => {
  const state = opened({ ready: [] });
  const next = nextQuestion(state, 5000);
  assert.ok(next !== null && "question" in next);
  const waiting = { ...state, ...takeAnswer(state, next.question, next.key, { waiting: true, hole: 4 }) };
  assert.equal(nextQuestion(waiting, 5000), null);
  const ready = { ...waiting, ...takeNews(waiting, { ready: [4] }) };
  assert.deepEqual(nextQuestion(ready, 5000), next);
});

test("a refused question is said and not asked again", () => {
  const state = opened();
  const next = nextQuestion(state, 5000);
  assert.ok(next !== null && "question" in next);
  const refused = { ...state, ...takeAnswer(state, next.question, next.key, { error: "y.toml: has no strike" }) };
  assert.equal(refused.said, "y.toml: has no strike");
  const after = nextQuestion(refused, 5000);
  assert.ok(after === null || !("question" in after) || after.question.ask !== "tee");
});

test("what the page saved itself is opened anew, and not called changed outside", () => {
  const state = { ...settle(opened(), 5000).state, ownSaves: ["5a"] };
  const own = takeNews(state, { changed: "x.geojson", sha256: "5a" });
  assert.deepEqual([own.openId, own.said], [state.openId + 1, undefined]);
  assert.match(takeNews(state, { changed: "x.geojson", sha256: "5b" }).said ?? "", /changed outside/);
  assert.match(takeNews(state, { changed: "x.geojson", sha256: null }).said ?? "", /changed outside/);
});

test("a changed file is opened anew, and said", () => {
  const state = opened();
  const changed = { ...state, ...takeNews(state, { changed: "x.geojson" }) };
  assert.match(changed.said, /x\.geojson was changed/);
  const next = nextQuestion(changed, 5000);
  assert.ok(next !== null && "question" in next);
  assert.equal(next.question.ask, "open");
  const late = { ...changed, ...openAnew(changed) };
  assert.deepEqual(takeAnswer(late, next.question, next.key, { ...state.opened }), {});
});

test("news of long work change nothing of the plan that is shown", () => {
  const state = opened({});
  for (const news of [{ done: 1, total: 2 }, { cancelled: true }, { files: ["plans/x/card.pdf"] }, { error: "no room" }]) {
    assert.deepEqual(takeNews(state, { job: 2, ...news }), {});
  }
});

test("work at rest gives way to a move, and nothing else does", () => {
  const tee = { hole: 4, tee: "back", wind: { mph: 14, from_deg: 225 }, strikes: null };
  const rest = { ask: "tee", ...tee, level: "rest" };
  const moving = { ask: "tee", ...tee, level: "moving" };
  assert.equal(givesWay(rest, { question: moving, key: "" }), true);
  assert.equal(givesWay(rest, { question: { ...rest, hole: 5 }, key: "" }), false);
  assert.equal(givesWay(rest, { wait: 100 }), false);
  assert.equal(givesWay(moving, { question: moving, key: "" }), false);
});

test("a golfer of one strike is asked for again once the day's strike is known", () => {
  const before = opened();
  assert.ok(before.opened !== null);
  const player = { ...before.opened.player, can_choose: false };
  const { state, asked } = settle({ ...before, opened: { ...before.opened, player } }, 5000);
  const names = asked.map(({ ask, level, hole }) => `${ask} ${level} ${hole}`);
  const last = names.lastIndexOf(`tee rest ${state.hole}`);
  assert.ok(last > names.findIndex((name) => name.startsWith("round rest")));
  assert.equal(state.answer?.key, teeKey(state));
});
