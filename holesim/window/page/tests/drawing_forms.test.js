import assert from "node:assert/strict";
import { test } from "node:test";
import { degreesIn, placeIn } from "../src/drawing/degrees.js";
import { numberIn } from "../src/drawing/form_parts.js";
import { besides, hazardBy, hazardText, listed, typedFrom, wordFor } from "../src/drawing/hazard_numbers.js";
import { offeredBy } from "../src/drawing/hole_form.js";
import { holeBy, nextNumber } from "../src/drawing/hole_numbers.js";
import { besidePlace, spread } from "../src/drawing/number_labels.js";
import { geometryOf } from "../src/drawing/shapes.js";
import { whenText } from "../src/drawing/versions_form.js";
import { YARD } from "../src/geometry.js";
/** @typedef {import("../src/records").Feature} Feature */
/** @typedef {import("../src/records").Kind} Kind */
/** @typedef {import("../src/records").Point} Point */

/** @param {number} id @param {Kind} kind @param {Point[]} points @param {Partial<Feature>} [more] @returns {Feature} */
const area = (id, kind, points, more = {}) =>
  ({ id, label: "", kind, hole: 4, tags: {}, geometry: geometryOf("area", points), guessed: null, noted: null, ...more });
/** @param {number} hole @param {Point} at @param {import("../src/records").HoleNumbers[]} [numbers] */
const holeAt = (hole, at, numbers = []) => ({
  hole, par: 4, line: null, tees: [{ name: "back", at, length_yd: 400, guessed: false }], pin: /** @type {Point} */ ([at[0], at[1] + 366]),
  pin_guessed: false, numbers,
});

test("numbers are read as people type them", () => {
  const texts = ["287", " 287.5 yd", "287 yards", "12,5", "−46.5", "30°", ".5", "", "far", "1e3", "2 87"];
  assert.deepEqual(texts.map(numberIn), [287, 287.5, 287, 12.5, -46.5, 30, 0.5, null, null, null, null]);
});

test("latitude and longitude are understood as they are pasted", () => {
  const here = { latitude: -46.5, longitude: -112.25 };
  for (const text of ["-46.5, -112.25", "-46.5 -112.25", "46.5 S, 112.25 W", "112.25W 46.5S", "46°30'S 112°15'W", "−46.5; −112.25", `46° 30' 0" S, 112° 15' 0" W`]) {
    assert.deepEqual(placeIn(text), here, text);
  }
  for (const text of ["", "46.5", "1, 2, 3", "91, 0", "0, 181", "46 N, 12 N", "a, b"]) assert.equal(placeIn(text), null, text);
  assert.equal(degreesIn("46.5 S", "latitude"), -46.5);
  assert.equal(degreesIn("46.5 W", "latitude"), null);
  assert.equal(degreesIn("112.25", "longitude"), 112.25);
  assert.equal(degreesIn("112.25", "latitude"), null);
});

const TYPED = { number: "4", par: "4", length: "401", index: "7", bends: [] };

test("a hole is read from what is typed, its bends in order", () => {
  const bends = [{ at: "300", side: /** @type {const} */ ("right"), degrees: "20" }, { at: "240 yd", side: /** @type {const} */ ("left"), degrees: "30°" }];
  assert.deepEqual(holeBy({ ...TYPED, bends }, new Set([1])), {
    number: 4, par: 4, length_yd: 401, stroke_index: 7,
    bends: [{ at_yd: 240, side: "left", degrees: 30 }, { at_yd: 300, side: "right", degrees: 20 }],
  });
  const wrong = [{ number: "0" }, { par: "4.5" }, { length: "40" }, { index: "19" }, { bends: [{ ...bends[0], at: "401" }] }, { bends: [{ ...bends[0], degrees: "" }] }];
  for (const change of wrong) assert.equal(typeof holeBy({ ...TYPED, ...change }, new Set()), "string", JSON.stringify(change));
  assert.match(String(holeBy(TYPED, new Set([4]))), /drawn already/);
});

test("the next hole is the one in view, or the first that is free", () => {
  const state = { features: new Map(), holes: [holeAt(1, [0, 0]), holeAt(2, [500, 0])] };
  assert.equal(nextNumber({ ...state, hole: 7 }), 7);
  assert.equal(nextNumber({ ...state, hole: 2 }), 3);
  assert.equal(nextNumber({ ...state, hole: null }), 3);
});

test("the points of the picture that is looked at are offered until a hole lies on them", () => {
  const picture = (/** @type {string} */ name, /** @type {number} */ x) => ({
    name, marks: [{ pixel: /** @type {Point} */ ([0, 9]), at: /** @type {Point} */ ([x, 20]) }, { pixel: /** @type {Point} */ ([0, 0]), at: /** @type {Point} */ ([x, 400]) }],
  });
  const pictures = [picture("a.png", 10), picture("b.png", 900)];
  const holes = [holeAt(1, [500, 0])];
  assert.deepEqual(offeredBy({ pictures, holes }, [0, 200]), { name: "a.png", tee: [10, 20], towards: [10, 400] });
  assert.equal(offeredBy({ pictures, holes }, [800, 200])?.name, "b.png");
  assert.equal(offeredBy({ pictures, holes: [...holes, holeAt(2, [11, 21])] }, [0, 200])?.name, "b.png");
  assert.equal(offeredBy({ pictures: [], holes }, [0, 200]), null);
});

test("hazards read as in a yardage book, in the order of distance", () => {
  const numbers = [
    { id: 1, kind: "red", side: "across", from_yd: 286.8, to_yd: 293.2 }, { id: 2, kind: "bunker", side: "left", from_yd: 244, to_yd: 260 },
    { id: 3, kind: "red", side: "right", from_yd: 210, to_yd: 260 }, { id: 9, kind: "red", side: "right", from_yd: 1, to_yd: 2 },
  ];
  const noted = { hole: 4, kind: "heavy_rough", side: "left", from_yd: 100, to_yd: 130, off_yd: 20, wide_yd: 30 };
  const square = /** @type {Point[]} */ ([[0, 0], [1, 0], [1, 1]]);
  const features = new Map([area(1, "red", square), area(2, "bunker", square), area(3, "red", square, { tags: { water: "lake" } }), area(5, "heavy_rough", square, { noted })].map((one) => [one.id, one]));
  const rows = listed({ features, holes: [holeAt(4, [0, 0], numbers)] }, 4);
  assert.deepEqual(rows.map(({ feature, numbers: by }) => hazardText(wordFor(feature, by), by)),
    ["heavy rough left 100–130", "lake right 210–260", "bunker left 244, carries 260", "creek 287–293"]);
  assert.deepEqual(listed({ features, holes: [] }, 7), []);
});

test("a hazard drawn by hand is measured off the line; a noted one has its own numbers", () => {
  const line = /** @type {Point[]} */ ([[0, 0], [0, 400]]);
  const bunker = area(2, "bunker", [[-20 * YARD, 230], [-32 * YARD, 230], [-32 * YARD, 245], [-20 * YARD, 245]]);
  assert.deepEqual(besides(bunker.geometry, line), { off_yd: 20, wide_yd: 12 });
  const numbers = { id: 2, kind: "bunker", side: "left", from_yd: 251.53, to_yd: 267.94 };
  assert.deepEqual(typedFrom({ feature: bunker, numbers }, line), { word: "bunker", side: "left", from: "251.5", to: "267.9", off: "20", wide: "12" });
  const noted = { hole: 4, kind: "red", side: "across", from_yd: 287, to_yd: 293, off_yd: null, wide_yd: 100 };
  assert.deepEqual(typedFrom({ feature: { ...bunker, kind: "red", noted }, numbers }, line), { word: "red water", side: "across", from: "287", to: "293", off: "", wide: "100" });
});

test("a hazard that makes no sense is said in one line", () => {
  const typed = { word: "creek", side: "across", from: "287", to: "293", off: "", wide: "" };
  assert.deepEqual(hazardBy(typed, 4), { word: "creek", noted: { hole: 4, side: "across", from_yd: 287, to_yd: 293, off_yd: null, wide_yd: null } });
  assert.deepEqual(hazardBy({ ...typed, side: "left", off: "20", wide: "9" }, 4), { word: "creek", noted: { hole: 4, side: "left", from_yd: 287, to_yd: 293, off_yd: 20, wide_yd: 9 } });
  for (const change of [{ word: " " }, { from: "" }, { to: "280" }, { side: "left", off: "x" }, { wide: "0" }]) {
    assert.equal(typeof hazardBy({ ...typed, ...change }, 4), "string", JSON.stringify(change));
  }
});

test("labels stand at their side of the hole and do not lie on one another", () => {
  const corners = /** @type {Point[]} */ ([[100, 50], [140, 70]]);
  assert.deepEqual(besidePlace(corners, "left", 40, 300), [75, 60]);
  assert.deepEqual(besidePlace(corners, "right", 40, 300), [165, 60]);
  assert.deepEqual(besidePlace(corners, "right", 40, 170), [147, 60]); // kept within the view
  const labels = [{ text: "a", x: 50, y: 10, wide: 40 }, { text: "b", x: 60, y: 12, wide: 40 }, { text: "c", x: 200, y: 12, wide: 40 }];
  const ys = Object.fromEntries(spread(labels).map(({ text, y }) => [text, y]));
  assert.deepEqual(ys, { a: 10, b: 25, c: 12 });
});

test("versions are told by date and time", () => {
  assert.equal(whenText("2026-11-29T16-20-11"), "29 November 2026, 16:20:11");
  assert.equal(whenText("old"), "old");
});
