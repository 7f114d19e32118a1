import assert from "node:assert/strict";
import { test } from "node:test";
import { outlinePath } from "../src/planning/drives.js";

test("outlines are paths in metres from the tee, holes and all", () => {
  const outer = /** @type {[number, number][]} */ ([[10, 20], [14, 20], [14, 26.04]]);
  const inner = /** @type {[number, number][]} */ ([[11, 21], [12, 21], [12, 22]]);
  assert.equal(outlinePath([[outer, inner]], [10, 20]), "M0.0 0.0L4.0 0.0L4.0 6.0ZM1.0 1.0L2.0 1.0L2.0 2.0Z");
  assert.equal(outlinePath([], [10, 20]), "");
});
