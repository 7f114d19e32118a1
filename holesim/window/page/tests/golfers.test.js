import assert from "node:assert/strict";
import { test } from "node:test";
import { bagOf } from "../src/golfers/bag_fields.js";
import { handicapIn, handicapText, usualText, withReach, withStrike, withValue } from "../src/golfers/content.js";
import { drivesOrder, mappingOf, withColumn } from "../src/golfers/drives_store.js";
import { createGolfers } from "../src/golfers/golfers_store.js";
import { placeIn } from "../src/golfers/golfers_view.js";
import { linePoints } from "../src/golfers/lines.js";
import { linesBetween, marked, markOf, NO_MARKS } from "../src/golfers/marks.js";

test("a value is set and taken out at its place, and an empty table goes with it", () => {
  const content = { name: "Ana", spread: { se: { face_deg: 0.4 } } };
  assert.deepEqual(withValue(content, ["clubs", "7-iron", "carry_yd"], 150), { ...content, clubs: { "7-iron": { carry_yd: 150 } } });
  assert.deepEqual(withValue(content, ["spread", "se", "face_deg"], undefined), { name: "Ana" });
  assert.deepEqual(content, { name: "Ana", spread: { se: { face_deg: 0.4 } } });
});

test("a strike stays when its last number goes, and goes when it is not hit", () => {
  const content = withValue({ usual: "up", strikes: { up: { toe_mm: 2 }, down: {} } }, ["strikes", "up", "toe_mm"], undefined);
  assert.deepEqual(content, { usual: "up", strikes: { up: {}, down: {} } });
  assert.deepEqual(withStrike(content, "up", false), { strikes: { down: {} } });
  assert.deepEqual(withStrike({ strikes: { down: {} } }, "down", false), {});
  assert.deepEqual(withStrike({}, "level", true), { strikes: { level: {} } });
});

test("a club goes as far as it carries or as fast as it is, not both", () => {
  assert.deepEqual(withReach({ club_speed_mph: 90 }, [], "carry_yd", 210), { carry_yd: 210 });
  assert.deepEqual(withReach({ carry_yd: 210 }, [], "club_speed_mph", undefined), { carry_yd: 210 });
});

test("a handicap with a plus is better than scratch", () => {
  assert.equal(handicapIn("+2.1"), -2.1);
  assert.equal(handicapIn("14,2"), 14.2);
  assert.equal(handicapIn("-3"), -3);
  assert.equal(handicapIn("low"), null);
  assert.equal(handicapText(-2.1), "+2.1");
  assert.equal(handicapText(undefined), "");
});

test("what is usual stands with how unsure it is", () => {
  assert.equal(usualText([3.5, 1.12]), "3.5 ±1.1");
  assert.equal(usualText([0.0584, 0.035], 100), "5.84 ±3.5");
  assert.equal(usualText([42, 0]), "42");
  assert.equal(usualText(undefined), "");
});

test("the bag is what is stated and what is usual, the longest first", () => {
  const usual = /** @type {Record<string, [number, number]>} */ ({ "clubs.7-iron.carry_yd": [150, 0], "clubs.3-wood.carry_yd": [210, 0] });
  const open = { name: "", builtin: false, sha256: null, content: { clubs: { "7-iron": {} } }, versions: [], faults: [], usual };
  assert.deepEqual(bagOf(open), ["3-wood", "7-iron"]);
});

const ROWS = [2, 3, 5, 6].map((line) => ({ line, strike: line < 5 ? /** @type {const} */ ("up") : null, cells: [] }));

test("a block runs from one drive to another, in either order", () => {
  assert.deepEqual(linesBetween(ROWS, 5, 3), [3, 5]);
});

test("drives are marked, taken out and let in again", () => {
  const down = marked(NO_MARKS, ROWS, [3, 5], "down");
  assert.deepEqual(down, { strikes: { 3: "down", 5: "down" }, out: [] });
  assert.deepEqual(marked(down, ROWS, [3], "up"), { strikes: { 5: "down" }, out: [] }); // as the table has it
  const out = marked(down, ROWS, [5], "out");
  assert.equal(markOf(out, ROWS[2]), "out");
  assert.equal(markOf(marked(out, ROWS, [5], "out"), ROWS[2]), "down");
  assert.deepEqual(marked(out, ROWS, [2, 5], "out").out, [2, 5]);
  assert.equal(markOf(NO_MARKS, ROWS[3]), null);
});

const COLUMNS = [["Carry", "carry", "yd"], ["Total", "", ""]].map(([header, name, unit]) => ({ header, name, unit, positive: "", samples: [], fault: null }));

test("a column that is taken for another's meaning takes it over", () => {
  assert.deepEqual(mappingOf(COLUMNS), { carry: { header: "Carry", unit: "yd", positive: "" } });
  assert.deepEqual(mappingOf(withColumn(COLUMNS, 1, { name: "carry", unit: "m", positive: "" })), { carry: { header: "Total", unit: "m", positive: "" } });
});

test("an order says who it is, or whose file to take", () => {
  const state = /** @type {Parameters<typeof drivesOrder>[0]} */ ({
    balls: "range", dayFirst: null, usual: "up", chosen: ["a.csv", "b.csv"], days: { "a.csv": "2026-05-12" },
    who: { like: "", golfer: " Ana ", sex: "woman", hand: "right", handicap: "+1" },
  });
  const files = { tables: ["a.csv", "b-corrected.csv"], columns: null };
  const order = drivesOrder(state, "measure", files);
  assert.deepEqual(order, { kind: "measure", ...files, balls: "range", day_first: null, dates: [], golfer: "Ana", hand: "right", sex: "woman", handicap: -1, usual: "up" });
  const like = drivesOrder({ ...state, who: { ...state.who, like: "ana.toml" }, days: { "a.csv": "2026-05-12", "b.csv": "2026-06-12" } }, "changes", files);
  assert.deepEqual(like, { kind: "changes", ...files, balls: "range", day_first: null, dates: ["2026-05-12", "2026-06-12"], like: "ana.toml" });
});

test("the address names a golfer's file", () => {
  assert.equal(placeIn("#/golfers"), "");
  assert.equal(placeIn("#/golfers/demo%2Fclub_golfer.toml"), "demo/club_golfer.toml");
});

test("a line goes from its least value at the foot to its greatest", () => {
  assert.deepEqual(linePoints([1, 3, 2], 84, 24, 4), [[4, 20], [42, 4], [80, 12]]);
  assert.deepEqual(linePoints([5, 5], 84, 24, 4), [[4, 12], [80, 12]]);
});

test("a golfer can be saved once the server has said what is wrong with what stands there now", async () => {
  /** @type {((answer: object) => void)[]} */ const waiting = [];
  const api = /** @type {any} */ ({ json: () => new Promise((resolve) => waiting.push(resolve)) });
  const golfers = createGolfers(api);
  golfers.begin();
  assert.equal(golfers.get().checked, false);
  golfers.change((now) => ({ ...now, hand: "right" }));
  golfers.change((now) => ({ ...now, handicap_index: 90 }));
  waiting[0]({ content: { hand: "right" }, faults: [] });
  await new Promise((resolve) => setTimeout(resolve));
  assert.deepEqual([golfers.get().checked, golfers.get().open?.content.handicap_index], [false, 90]);
  await new Promise((resolve) => setTimeout(resolve, 300));
  golfers.change((now) => ({ ...now, name: "Ana" }), false); // a name changes nothing that is usual
  waiting[1]({ content: {}, faults: [{ place: "handicap_index", says: "should be at most 54" }] });
  await new Promise((resolve) => setTimeout(resolve));
  assert.equal(golfers.get().checked, true);
  assert.equal(golfers.get().open?.content.name, "Ana");
  assert.equal(golfers.get().open?.faults.length, 1);
});
