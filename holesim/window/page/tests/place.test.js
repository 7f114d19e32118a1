import assert from "node:assert/strict";
import { test } from "node:test";
import { alongEdges, emptiest, overlap, spread } from "../src/planning/place.js";
/** @typedef {import("../src/records").Point} Point */

const AREA = { left: 0, top: 0, right: 500, bottom: 700 };

test("the dial lies at the foot of the left edge where all is free", () => {
  assert.deepEqual(emptiest(alongEdges(AREA, 170, 230), []), { left: 0, top: 470, right: 170, bottom: 700 });
});

test("the dial goes where it covers nothing", () => {
  const drives = Array.from({ length: 30 }, (_, i) => /** @type {Point} */ ([100, 100 + 20 * i]));
  const box = emptiest(alongEdges(AREA, 170, 230), drives);
  assert.deepEqual([box.left, box.top], [330, 470]);
  const low = emptiest(alongEdges(AREA, 170, 230), [[100, 650], [400, 650]]);
  assert.ok(low.bottom < 650);
});

test("boxes that share an edge do not overlap", () => {
  const other = { left: 500, top: 0, right: 600, bottom: 700 };
  assert.equal(overlap(AREA, other), false);
  assert.equal(overlap(AREA, { ...other, left: 499 }), true);
});

test("markers are moved apart sideways, no farther than need be", () => {
  /** @type {Point[]} */ const same = [[100, 50], [100, 50]];
  assert.deepEqual(spread(same, 24), [[88, 50], [112, 50]]);
  assert.deepEqual(same, [[100, 50], [100, 50]]);
  /** @type {Point[]} */ const far = [[100, 50], [100, 90]];
  assert.deepEqual(spread(far, 24), far);
  const three = spread([[100, 50], [101, 52], [103, 47]], 24);
  for (const [i, one] of three.entries()) {
    for (const other of three.slice(i + 1)) assert.ok(Math.hypot(one[0] - other[0], one[1] - other[1]) > 23.9);
  }
});
