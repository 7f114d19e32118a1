import assert from "node:assert/strict";
import { test } from "node:test";
import { createCaptain, teamOrder } from "../src/captain/captain_store.js";
import { changed, lineUpOf, movesSides, rowsOf, stepped, targets, whyNot } from "../src/captain/line_up.js";
import { contentOf, formOf, handicapOf, newPerson, newTeam, relative } from "../src/captain/team_words.js";
import { resultsOf, rowsOfResults } from "../src/captain/weekend_form.js";

const PAIRS = lineUpOf([[0, 3], [1, 2]], 6);
const soon = () => new Promise((resolve) => setTimeout(resolve));

test("who is in no side sits out", () => {
  assert.deepEqual(PAIRS, { sides: [[0, 3], [1, 2]], bench: [4, 5] });
});

test("two places change, and the line-up before stays as it was", () => {
  assert.deepEqual(changed(PAIRS, "seat 0 1", "seat 1 0"), { sides: [[0, 1], [3, 2]], bench: [4, 5] });
  assert.deepEqual(changed(PAIRS, "bench 0 1", "seat 0 0"), { sides: [[5, 3], [1, 2]], bench: [4, 0] });
  assert.deepEqual(changed(PAIRS, "side 0 0", "side 1 0"), { sides: [[1, 2], [0, 3]], bench: [4, 5] });
  assert.deepEqual(PAIRS.sides, [[0, 3], [1, 2]]);
});

test("a held place changes with all but its own, and says why not", () => {
  assert.deepEqual(targets(PAIRS, "seat 0 0", true), ["seat 1 0", "seat 1 1", "bench 0 0", "bench 0 1"]);
  assert.deepEqual(targets(PAIRS, "bench 0 0", true), ["seat 0 0", "seat 0 1", "seat 1 0", "seat 1 1"]);
  assert.deepEqual(targets(PAIRS, "side 0 0", true), ["side 1 0"]);
  assert.equal(whyNot("seat 0 0", "seat 0 1", true), "they play together already");
  assert.equal(whyNot("bench 0 0", "bench 0 1", true), "both sit out: nothing changes");
  assert.match(whyNot("side 0 0", "seat 0 1", true), /a whole side/);
});

test("singles change places only where the order matters, or someone sits out", () => {
  const singles = lineUpOf([[0], [1]], 3);
  assert.deepEqual(targets(singles, "seat 0 0", true), ["seat 1 0", "bench 0 0"]);
  assert.deepEqual(targets(singles, "seat 0 0", false), ["bench 0 0"]);
  assert.equal(movesSides(singles, true), false);
  assert.equal(movesSides(PAIRS, true), true);
});

test("arrows go from place to place", () => {
  const rows = rowsOf(PAIRS, true);
  assert.deepEqual(rows[0], ["side 0 0", "seat 0 0", "seat 0 1"]);
  assert.equal(stepped(rows, "seat 0 0", "ArrowRight"), "seat 0 1");
  assert.equal(stepped(rows, "seat 0 1", "ArrowDown"), "seat 1 1");
  assert.equal(stepped(rows, "seat 1 1", "ArrowDown"), "bench 0 1");
  assert.equal(stepped(rows, "side 0 0", "ArrowUp"), "side 0 0");
});

const PRICED = { total: "1.50 of 2 points", text: "this draw costs 0.5 points", short: "costs 0.50", same: false, gain: -0.5, sides: ["1", "0.5"] };

/** A table of four whose engine refuses to have 0 and 1 together. */
function tableOf() {
  /** @type {any[]} */ const asked = [];
  const api = {
    json: async (/** @type {string} */ _, /** @type {string} */ __, /** @type {any} */ content) => {
      asked.push(content);
      return { prices: content.draws.map((/** @type {number[][]} */ draw) => (
        draw.some((side) => side.includes(0) && side.includes(1)) ? { refused: "they are kept apart", short: "", total: "" } : PRICED)) };
    },
  };
  const captain = createCaptain(api, { start: () => { throw new Error("not here"); } });
  const plan = /** @type {any} */ ({ table: "a", squad: ["Ash", "Brome", "Carrow", "Dell"], found: [[0, 3], [1, 2]], ordered: true, pairs: true });
  captain.set({ plan, lineUp: lineUpOf([[0, 3], [1, 2]], 4) });
  return { captain, asked };
}

test("what is held is priced with every place, and dropped where that is possible", async () => {
  const { captain, asked } = tableOf();
  await captain.hold("seat 0 1");
  assert.deepEqual(asked[0].draws, [[[0, 1], [3, 2]], [[0, 2], [1, 3]]]);
  captain.over("seat 1 0");
  assert.equal(captain.get().said, "Not possible: they are kept apart.");
  await captain.drop("seat 1 0");
  assert.deepEqual(captain.get().lineUp.sides, [[0, 3], [1, 2]]);
  await captain.hold("seat 0 1");
  await captain.drop("seat 1 1");
  assert.deepEqual(captain.get().lineUp.sides, [[0, 2], [1, 3]]);
  assert.equal(captain.get().said, "Dell and Carrow change places. ");
  assert.equal(captain.changed(), true);
  await captain.back();
  assert.equal(captain.changed(), false);
});

test("a drop before the prices are there is taken back if it cannot be played", async () => {
  const { captain } = tableOf();
  void captain.hold("seat 0 1");
  await captain.drop("seat 1 0");
  await soon();
  assert.deepEqual(captain.get().lineUp.sides, [[0, 3], [1, 2]]);
  assert.match(captain.get().said, /kept apart/);
});

test("a team is asked about with a wind as golfers write it", () => {
  const { captain } = tableOf();
  captain.set({ course: JSON.stringify(["skerry.geojson", null]), team: "six.toml", asked: { ...captain.get().asked, wind: "SW 14" } });
  const found = /** @type {any} */ (teamOrder(captain.get()));
  assert.deepEqual([found.order.course, found.order.options.wind_mph, found.order.options.wind_from_deg], ["skerry.geojson", 14, 225]);
  assert.ok("mistake" in teamOrder({ ...captain.get(), team: "" }));
  assert.ok("mistake" in teamOrder({ ...captain.get(), asked: { ...captain.get().asked, wind: "windy" } }));
});

test("golfers' files are named from where the team's file lies", () => {
  assert.equal(relative("vale.toml", "six.toml"), "vale.toml");
  assert.equal(relative("vale.toml", "teams/six.toml"), "../vale.toml");
  assert.equal(relative("teams/vale.toml", "teams/six.toml"), "vale.toml");
});

test("a form says what a team's file is to say, and comes back from it", () => {
  const form = { ...newTeam(), title: "Six", order_known: true, men: "back", allowance: "60 40%" };
  form.people.players = [{ ...newPerson(), file: "vale.toml" }, { ...newPerson(), name: "Ash", handicap: "+2", speed: "112" }];
  const found = /** @type {any} */ (contentOf(form, "greensomes"));
  assert.deepEqual(found.content.players, [{ file: "vale.toml" }, { name: "Ash", handicap_index: -2, club_speed_mph: 112, sex: "man" }]);
  assert.deepEqual(found.content.allowances, { greensomes: [0.6, 0.4] });
  const shown = /** @type {any} */ ({ name: "six.toml", sha256: "a", content: { ...found.content, apart: [["Ash", "Vale"]] } });
  const again = /** @type {any} */ (contentOf(formOf(shown, "greensomes"), "greensomes"));
  assert.deepEqual(again.content, { ...found.content, apart: [["Ash", "Vale"]] });
});

test("what is missing is said", () => {
  const form = { ...newTeam(), title: "Six" };
  assert.deepEqual(contentOf(form, "singles"), { mistake: "Choose at least one player." });
  form.people.players = [{ ...newPerson(), name: "Ash", handicap: "" }];
  assert.deepEqual(contentOf(form, "singles"), { mistake: "Give a handicap for Ash." });
  assert.equal(handicapOf("+1.4"), -1.4);
  assert.ok(Number.isNaN(handicapOf("scratch")));
});

test("results are those of the file, and whole", () => {
  const session = { name: "Sunday", format: "singles", size: 1, sides: 2, unit: /** @type {const} */ ("points"), opponents: [], results: [{ players: ["Ash"], points: 0.5 }] };
  const rows = rowsOfResults(session);
  assert.deepEqual(rows, [{ players: ["Ash"], value: "0.5" }, { players: [""], value: "" }]);
  assert.deepEqual(resultsOf(session, rows), { mistake: "Sunday: choose who played." });
  rows[1] = { players: ["Dell"], value: "1" };
  assert.deepEqual(resultsOf(session, rows), { results: [{ players: ["Ash"], points: 0.5 }, { players: ["Dell"], points: 1 }] });
});
