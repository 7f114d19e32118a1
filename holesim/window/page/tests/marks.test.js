import assert from "node:assert/strict";
import { test } from "node:test";
import { marksOf } from "../src/marks.js";

/** Relative luminance of a colour: W3C, Web Content Accessibility Guidelines 2.2. @param {string} colour */
function luminance(colour) {
  const [red, green, blue] = [1, 3, 5].map((at) => parseInt(colour.slice(at, at + 2), 16) / 255)
    .map((part) => (part <= 0.04045 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4));
  return 0.2126 * red + 0.7152 * green + 0.0722 * blue;
}

test("every strike is told from its white casing by 3 to 1 or more, whatever ground it lies on", () => {
  const driver = ["up", "down", "level"].map((label) => ({ label, club: "driver", strike: label }));
  const clubs = ["3-wood", "5-wood", "2-iron", "4-iron"].map((label) => ({ label, club: label, strike: "" }));
  const marks = marksOf([...driver, ...clubs].map(({ label }) => label), [...driver, ...clubs]);
  assert.equal(new Set([...marks.values()].map(({ colour }) => colour)).size, 7);
  for (const [label, { colour }] of marks) assert.ok(1.05 / (luminance(colour) + 0.05) >= 3, `${label} ${colour}`);
});
