import assert from "node:assert/strict";
import { test } from "node:test";
import { areaOf, marginsOf, stripWords } from "../src/planning/strips.js";
import { strike } from "./example.js";

test("what the strips say, in words", () => {
  const up = { ...strike("up"), along_yd: [214, 231, 240, 251, 266], across_yd: [-18.2, -5, 2, 7.6, 30] };
  assert.equal(stripWords(up), "up: half of the drives go 231 to 251 yd, nine in ten 214 to 266; "
    + "half finish 5 left to 8 right of the line to the flag, nine in ten 18 left to 30 right.");
});

test("strips keep their room at the right and at the foot, the dial at the left", () => {
  const [, right, foot, left] = marginsOf(2, 1000);
  assert.ok(marginsOf(3, 1000)[1] > right && marginsOf(3, 1000)[2] > foot);
  assert.ok(left > 100);
  assert.deepEqual(areaOf(2, [600, 800]), { left: 0, top: 0, right: 614 - right, bottom: 814 - foot });
  assert.deepEqual(areaOf(0, [600, 800]), { left: 0, top: 0, right: 600, bottom: 800 });
});
