import assert from "node:assert/strict";
import { test } from "node:test";
import { askedLabels, createStore, drawnStrikes, holdAim, holeAfter, moveTo, releaseAim, shownAnswer, toggleStrike, upward } from "../src/planning/state.js";
import { marksOf } from "../src/marks.js";
import { teeKey } from "../src/planning/scheduler.js";
import { planJob } from "../src/planning/save.js";
import { costText, folderName, inHundred, overText, sentence, signed, sureText, thousands, worthText } from "../src/words.js";
import { opened, rowAnswer, strike, teeAnswer } from "./example.js";

/** @returns {import("../src/records").State} */
const answered = () => {
  const state = opened();
  return { ...state, answer: { key: teeKey(state), level: "rest", value: teeAnswer("rest") } };
};
const labels = (/** @type {import("../src/records").State} */ state) => drawnStrikes(state).map(({ label }) => label);

test("a store tells its listeners what changed", () => {
  const store = createStore(opened());
  /** @type {number[]} */ const seen = [];
  store.subscribe((state, before) => seen.push(before.hole, state.hole));
  store.set({ hole: 5 });
  assert.deepEqual(seen, [4, 5]);
});

test("the driver's strikes are drawn in the order of the bag, until others are picked", () => {
  const state = answered();
  assert.deepEqual(labels(state), ["up", "down"]);
  const more = { ...state, ...toggleStrike(state, "3-wood") };
  assert.deepEqual(labels(more), ["up", "down", "3-wood"]);
  assert.deepEqual(labels({ ...more, ...toggleStrike(more, "up") }), ["down", "3-wood"]);
});

test("the last strike stays on the picture", () => {
  let state = answered();
  state = { ...state, ...toggleStrike(state, "up") };
  assert.deepEqual(toggleStrike(state, "down"), {});
});

test("strikes picked for a par 3 are kept apart", () => {
  const state = { ...answered(), hole: 3 };
  assert.deepEqual(toggleStrike(state, "7-iron").shown, { short: ["7-iron"], long: null });
});

test("what is picked is asked for together with what the choice is made among", () => {
  assert.equal(askedLabels(answered()), null);
  const long = { ...answered(), shown: { short: null, long: ["3-wood"] } };
  assert.deepEqual(askedLabels(long), ["up", "down", "3-wood"]);
});

test("a strike is hidden before the first answer, too", () => {
  assert.deepEqual(toggleStrike(opened(), "down").shown, { short: null, long: ["up"] });
});

test("nothing is shown while the hole is worked out anew", () => {
  assert.equal(shownAnswer({ ...answered(), waiting: [4] }), null);
});

test("an answer for another hole is not shown", () => {
  assert.equal(shownAnswer({ ...answered(), hole: 5 }), null);
  assert.deepEqual(labels({ ...answered(), hole: 5 }), []);
});

test("a new wind brings aims back to the best", () => {
  const held = { ...answered(), held: { label: "up", heading_deg: 9, best_deg: 3 } };
  assert.equal({ ...held, ...moveTo({ wind: { mph: 1, from_deg: 0 } }, 5) }.held, null);
  assert.equal({ ...held, ...releaseAim(5) }.held, null);
});

test("an aim is held off the best that was there when it was taken hold of", () => {
  const state = answered();
  const held = { ...state, ...holdAim(state, strike("up"), 3.5, 5) };
  assert.deepEqual(held.held, { label: "up", heading_deg: 3.5, best_deg: 3 });
  const fewer = { ...strike("up"), heading_deg: 3.5, best_heading_deg: 3.2 };
  assert.deepEqual(holdAim(held, fewer, 4, 6).held, { label: "up", heading_deg: 4, best_deg: 3 });
});

test("holes go around", () => {
  assert.equal(holeAfter(opened({ hole: 5 }), 1), 3);
  assert.equal(holeAfter(opened({ hole: 3 }), -1), 5);
  assert.equal(upward(opened()), 0);
});

test("each strike has a colour and a shape of its own", () => {
  const bag = opened().opened?.player.strikes ?? [];
  const marks = marksOf(["7-iron", "up", "3-wood", "down"], bag);
  assert.equal(marks.get("up")?.colour, "#0072B2");
  assert.equal(marks.get("down")?.colour, "#D55E00");
  assert.equal(marks.get("3-wood")?.sides, "circle");
  assert.equal(marks.get("7-iron")?.sides, "diamond");
  assert.equal(new Set([...marks.values()].map(({ shape }) => shape)).size, 4);
});

test("a softer swing is drawn after the clubs of the bag, and is not picked for other holes", () => {
  const state = { ...answered(), hole: 3 };
  const value = { ...teeAnswer("rest", 3), choice: "7-iron, soft", rival: "7-iron" };
  value.strikes = [strike("7-iron, soft", "7-iron"), strike("7-iron", "7-iron")];
  const shown = { ...state, answer: { key: teeKey(state), level: /** @type {const} */ ("rest"), value } };
  assert.deepEqual(labels(shown), ["7-iron", "7-iron, soft"]);
  assert.deepEqual([...marksOf(labels(shown), shown.opened?.player.strikes ?? []).keys()], ["7-iron", "7-iron, soft"]);
  assert.deepEqual(toggleStrike(shown, "3-wood").shown?.short, ["7-iron", "3-wood"]);
});

test("numbers as golfers read them", () => {
  assert.equal(signed(0.064), "+0.06");
  assert.equal(signed(-0.064), "−0.06");
  assert.equal(signed(-0.001), "0.00");
  assert.equal(inHundred(0.004), "<1");
  assert.equal(inHundred(0), "0");
  assert.equal(inHundred(0.449), "45");
  assert.equal(thousands(4096), "4,096");
  assert.equal(sentence("down saves 0.08 strokes"), "Down saves 0.08 strokes.");
  assert.equal(worthText(0.081, "mean", false), "0.08");
  assert.equal(worthText(1.23, "par", false), "1.2");
  assert.equal(worthText(-0.004, "mean", true), "0.00");
  assert.equal(worthText(-0.018, "mean", true), "usual");
  assert.equal(worthText(-0.018, "mean", false), "−0.02");
  assert.equal(worthText(-0.15, "mean", true), "−0.15");
  assert.equal(worthText(-0.8, "par", true), "usual");
  assert.equal(costText(0.06, "mean"), "costs 0.06");
  assert.equal(costText(-0.001, "mean"), "costs nothing");
  assert.equal(costText(1.26, "birdie"), "costs 1.3 birdies in 100");
  assert.equal(sureText(rowAnswer(4)), "likely, 90 in 100");
  assert.equal(overText({ policy: "always up", strokes: 77, over: 0.06, half: 0.18 }), "+0.06 ±0.18");
  assert.equal(overText({ policy: "this plan", strokes: 77, over: 0, half: 0 }), "");
});

test("a plan is saved under a plain name, with its wind", () => {
  assert.equal(folderName("Vantle Skerry, Corin Vale, SW 14"), "vantle-skerry-corin-vale-sw-14");
  assert.equal(folderName("Öster / ../x"), "oster-x");
  assert.equal(folderName("…"), "");
  const job = planJob(opened(), "x");
  assert.deepEqual([job.name, job.tees, job.options], ["plans/x", ["back"], { wind_mph: 14, wind_from_deg: 225 }]);
});
