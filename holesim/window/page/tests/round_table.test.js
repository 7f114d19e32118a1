import assert from "node:assert/strict";
import { test } from "node:test";
import { rowOf } from "../src/planning/round_table.js";
import { noRows } from "../src/planning/state.js";
import { rowsKey, teeKey } from "../src/planning/scheduler.js";
import { opened, rowAnswer, teeAnswer } from "./example.js";

/** Hole 4 shown and answered "down", and a round that has it "up". @param {boolean} can_choose */
function played(can_choose) {
  const state = opened();
  if (state.opened !== null) state.opened.player.can_choose = can_choose;
  const round = { level: /** @type {const} */ ("rest"), rows: [rowAnswer(4)], totals: [], day: "up all day" };
  const rows = { ...noRows(rowsKey(state)), round: { moving: null, rest: round } };
  return { ...state, rows, answer: { key: teeKey(state), level: /** @type {const} */ ("rest"), value: teeAnswer("rest") } };
}

test("who hits one strike all day has the rows of the round", () => {
  const state = played(false);
  const [three, four] = state.opened?.course.holes ?? [];
  assert.equal(rowOf(state, four).row?.choice, "up");
  assert.equal(rowOf(state, three).row, null);
});

test("who chooses by the hole has the row of the answer that is shown", () => {
  const state = played(true);
  const four = (state.opened?.course.holes ?? [])[1];
  assert.equal(rowOf(state, four).row?.choice, "down");
});
