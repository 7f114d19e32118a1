import assert from "node:assert/strict";
import { test } from "node:test";
import { OTHER, finishText, noDrive, planOf, readHash, readSide, roundHash, roundName, roundText, sideText, today } from "../src/after/round_rows.js";

const STRIKES = [{ label: "up", club: "driver", strike: "up", heading_deg: 2 }, { label: "3-wood", club: "3-wood", strike: "down", heading_deg: 1 }];
/** @param {number} number @returns {any} */
const hole = (number) => ({
  hole: number, par: 4, stroke_index: null, pin: [0, 300], line: [], bare: "rough", areas: [], tees: [{ name: "white, back", at: [0, 0], length_yd: 400 }],
  planned: { "white, back": { choice: "up", strikes: STRIKES } },
});
const opened = { course: "Links", player: "Vale", text: "", tees: ["white, back"], golfers: [], known: false, lies: [], holes: [hole(1), hole(2), hole(3)] };

test("the file has a row for each hole of which anything is known", () => {
  /** @type {import("../src/records").Drive} */ const drive = { label: "up", lie: "rough", total_yd: 262, side_yd: -31, at: [1, 2], score: 5 };
  const rows = { 1: drive, 3: { ...noDrive(opened.holes[2].planned["white, back"]), label: "3-wood", score: 4 } };
  assert.equal(
    roundText({ plan: "plans/links/plan.json", opened, tee: "white, back", date: "2026-05-31", rows }),
    'date,round,hole,tee,club,strike,lie,total_yd,side_yd,score\n'
    + '2026-05-31,plans/links,1,"white, back",driver,up,rough,262,31 L,5\n'
    + '2026-05-31,plans/links,3,"white, back",3-wood,,,,,4\n',
  );
});

test("a club that is not in the plan is named, and has no finish", () => {
  const rows = { 2: { ...noDrive(undefined), label: OTHER, score: 6 } };
  const text = roundText({ plan: "p/plan.json", opened, tee: "gone", date: "2026-05-31", rows });
  assert.match(text, /^2026-05-31,p,2,"white, back",another club,,,,,6$/m);
});

test("no name is a formula to a spreadsheet, and numbers stay as they are", () => {
  const rows = { 2: { ...noDrive(undefined), label: "=1+1", score: 6 } };
  const named = { ...opened, holes: [{ ...hole(2), tees: [{ name: "-1" }], planned: { "-1": { strikes: [] } } }] };
  const text = roundText({ plan: "@p/plan.json", opened: named, tee: "gone", date: "2026-05-31", rows });
  assert.match(text, /^2026-05-31,'@p,2,-1,'=1\+1,,,,,6$/m);
});

test("sides are written and read as golfers do", () => {
  for (const side of [-27, 0, 12]) assert.equal(readSide(sideText(side)), side);
  assert.deepEqual(["27l", "right 12", "-3", "−3", "4.5 R", "12 yards right"].map(readSide), [-27, 12, -3, -3, 4.5, 12]);
  assert.deepEqual(["", "R", "left 3 R", "-3 L", "far"].map(readSide), [null, null, null, null, null]);
});

test("a finish in words leaves out what is not known", () => {
  assert.equal(finishText({ ...noDrive(undefined), total_yd: 262, side_yd: 31, lie: "heavy_rough" }), "262 yards, 31 right of the aim, heavy rough");
  assert.equal(finishText({ ...noDrive(undefined), total_yd: 240, side_yd: 0 }), "240 yards, on the aim line");
  assert.equal(finishText({ ...noDrive(undefined), lie: "out" }), "out or lost");
});

test("a round's file is named so that every system takes it", () => {
  assert.equal(roundName("2026-05-31", "Cørin / Vale?"), "rounds/2026-05-31 Cørin Vale.csv");
  assert.equal(roundName("2026-05-31", "..."), "rounds/2026-05-31 round.csv");
  assert.equal(today(new Date(2026, 4, 3)), "2026-05-03");
});

test("the address names plan, round and hole, and gives them back", () => {
  const at = { plan: "plans/a b/plan.json", round: "rounds/2026-05-31 Vale.csv", hole: 7 };
  assert.deepEqual(readHash(roundHash(at)), at);
  assert.equal(roundHash({ ...at, plan: "" }), "#/after");
  assert.deepEqual(readHash("#/after"), { plan: "", round: "", hole: 0 });
  assert.equal(planOf("plans/a"), "plans/a/plan.json");
  assert.equal(planOf(null), "");
});
