import assert from "node:assert/strict";
import { test } from "node:test";
import { arcs, bearing, crossing, dialPoint, keptNear, offBest, pointAlong, rightOf, windAt } from "../src/geometry.js";

/** @param {number[]} found @param {number[]} expected */
function near(found, expected) {
  found.forEach((value, i) => assert.ok(Math.abs(value - expected[i]) < 1e-9, `${found} is not ${expected}`));
}

test("bearings run clockwise from north", () => {
  assert.equal(bearing([0, 0], [0, 5]), 0);
  assert.equal(bearing([0, 0], [5, 0]), 90);
  assert.equal(bearing([1, 1], [0, 0]), 225);
  near(pointAlong([10, 20], 90, 5), [15, 20]);
});

test("a wind in the face lies at the top of the dial, whatever way the hole runs", () => {
  near(dialPoint({ mph: 30, from_deg: 76 }, 76, 64), [0, -64]);
  near(dialPoint({ mph: 15, from_deg: 166 }, 76, 64), [32, 0]);
  near(dialPoint({ mph: 0, from_deg: 10 }, 76, 64), [0, 0]);
});

test("winds over 30 mph keep to the rim", () => near(dialPoint({ mph: 55, from_deg: 0 }, 0, 64), [0, -64]));

test("the wind under the handle is the one that put it there", () => {
  for (const up of [0, 76, 311]) {
    for (const mph of [1, 9, 14, 30]) {
      for (let from_deg = 0; from_deg < 360; from_deg += 13) {
        const wind = { mph, from_deg };
        assert.deepEqual(windAt(dialPoint(wind, up, 64), up, 64, { mph: 3, from_deg: 3 }), wind);
      }
    }
  }
});

test("the centre is calm and keeps the direction; outside the rim is 30 mph", () => {
  assert.deepEqual(windAt([0.5, 0.5], 0, 64, { mph: 9, from_deg: 200 }), { mph: 0, from_deg: 200 });
  assert.deepEqual(windAt([200, 0], 0, 64, { mph: 9, from_deg: 200 }), { mph: 30, from_deg: 90 });
});

test("aims keep within 20 degrees of the best, in tenths from it", () => {
  assert.equal(keptNear(3.14159, 0), 3.1);
  assert.equal(keptNear(45, 10), 30);
  assert.equal(keptNear(340, 10), 350);
  assert.equal(keptNear(359.97, 2), 0);
  assert.equal(keptNear(10.871, 10.3712), 10.8712);
  assert.equal(rightOf(1, 359), 2);
  assert.equal(rightOf(359, 1), -2);
});

test("how far an aim is off the best, in words", () => {
  assert.equal(offBest(4, 0), "4° right of the best");
  assert.equal(offBest(358.5, 0), "1.5° left of the best");
  assert.equal(offBest(12.02, 12), "at the best aim");
});

test("a distance is written where its arc crosses, or on its shoulder", () => {
  near(crossing([100, 500], 50, 130, -1), [130, 460]);
  near(crossing([100, 100], 50, 900, 1), [140, 130]);
});

test("arcs of a hole", () => {
  assert.deepEqual(arcs(425, 4), { fromTee: [150, 200, 250, 300, 350], toPin: [100, 150, 200] });
  assert.deepEqual(arcs(175, 3), { fromTee: [100, 150], toPin: [50] });
  assert.deepEqual(arcs(240, 4), { fromTee: [150, 200], toPin: [100, 150] });
});
