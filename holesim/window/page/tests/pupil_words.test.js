import assert from "node:assert/strict";
import { test } from "node:test";
import { changeText, pupilIn, sheetsName, sheetsOf, worthText } from "../src/coach/pupil_words.js";

test("what practice pays most is told with its interval", () => {
  const best = { name: "a fifth less face error", saved: 0.416, low: -0.02, high: 0.9 };
  assert.equal(worthText({ best, text: "", json: "" }), "a fifth less face error: 0.42 strokes (−0.02 to 0.90)");
  assert.equal(worthText(undefined), "");
});

test("a golfer's sheets are those of their file's name alone", () => {
  const files = ["s/links/vale.json", "s/links/vale.lesson.pdf", "s/links/vale.page.html", "s/links/vale2.lesson.pdf", "s/batch.csv"];
  assert.deepEqual(sheetsOf(files, "golfers/vale.toml"), ["s/links/vale.lesson.pdf", "s/links/vale.page.html"]);
});

test("names and changes", () => {
  assert.equal(sheetsName("Oxlip Wárren", "2026-05-31T09-20"), "sheets/oxlip-warren-2026-05-31t09-20");
  assert.deepEqual([-20, 0, 15].map(changeText), ["20 % narrower", "as it is", "15 % wider"]);
  assert.equal(pupilIn("#/coach/golfers%2Fvale.toml"), "golfers/vale.toml");
  assert.equal(pupilIn("#/coach/%"), "");
  assert.equal(pupilIn("#/coach"), "");
});
