import assert from "node:assert/strict";
import { test } from "node:test";
import { headOf, pictureName, refusalOf } from "../src/drawing/picture_file.js";
import { cornersOf, layOf, marksBy, movedMarks, newMarks, scaleOf, toGround, toPicture, trueBearing } from "../src/drawing/picture_place.js";
import { beginPlacing, endsOf, placedBy } from "../src/drawing/picture_placing.js";
import { YARD, bearing } from "../src/geometry.js";
/** @typedef {import("../src/records").Point} Point */

/** @param {Point} one @param {Point} other @param {number} [off] */
function near(one, other, off = 2e-3) {
  assert.ok(Math.hypot(one[0] - other[0], one[1] - other[1]) < off, `${one} is not ${other}`);
}
/** @param {Point} pixel @param {Point} at */
const mark = (pixel, at) => ({ pixel, at });

test("two marks fix scale, turn and place", () => {
  const lay = layOf([mark([100, 900], [10, 20]), mark([100, 100], [10, 420])]); // half a metre a pixel, north up
  assert.equal(scaleOf(lay), 0.5);
  near(toGround(lay, [300, 900]), [110, 20]);
  near(toPicture(lay, [110, 20]), [300, 900]);
  const turned = layOf([mark([100, 900], [10, 20]), mark([100, 100], [410, 20])]); // its top is east
  near(toGround(turned, [300, 900]), [10, -80]);
  near(toPicture(turned, toGround(turned, [12, 34])), [12, 34]);
  assert.equal(cornersOf(lay, [400, 1000]).length, 4);
});

test("a picture is placed by a distance and by north", () => {
  const [first, second] = /** @type {Point[]} */ ([[200, 900], [500, 100]]);
  const page = bearing([200, -900], [500, -100]);
  const metres = 400 * YARD;
  for (const [north, degrees] of /** @type {[import("../src/drawing/picture_place.js").North, number][]} */ ([
    [{ by: "up" }, page], [{ by: "bearing", degrees: 123 }, 123],
    [{ by: "point", pixel: [300, 900] }, page - 90], // north is to the right of the page
  ])) {
    const marks = marksBy(first, second, [5, 6], metres, north);
    near(marks[0].at, [5, 6]);
    assert.ok(Math.abs(Math.hypot(marks[1].at[0] - 5, marks[1].at[1] - 6) - metres) < 2e-3);
    assert.ok(Math.abs(((bearing(marks[0].at, marks[1].at) - degrees + 540) % 360) - 180) < 0.01, `${degrees}`);
    assert.ok(Math.abs(((trueBearing(first, second, north) - degrees + 540) % 360) - 180) < 1e-9);
  }
  const lay = layOf(marksBy(first, second, [5, 6], metres, { by: "point", pixel: [300, 900] }));
  const [a, b] = [toGround(lay, [200, 900]), toGround(lay, [300, 900])];
  near([b[0] - a[0], 0], [0, 0]); // towards north
  assert.ok(b[1] > a[1]);
});

test("a new picture lies away from what is drawn; a moved one keeps its scale and turn", () => {
  near(newMarks(null, [1000, 1100])[0].at, [-250, -275]);
  const marks = newMarks([-50, -60, 300, 400], [1000, 1100]);
  assert.ok(marks[0].at[0] >= 450);
  const moved = movedMarks(marks, [1, 2], [11, 32]);
  near(moved[0].at, [marks[0].at[0] + 10, marks[0].at[1] + 30]);
  assert.ok(Math.abs(scaleOf(layOf(moved)) - scaleOf(layOf(marks))) < 1e-6);
});

test("what is missing to place a picture is said in one line", () => {
  const marks = newMarks(null, [1000, 1100]);
  const begun = beginPlacing("p.png", marks, false);
  const clicked = { ...begun, first: /** @type {Point} */ ([500, 1000]), second: /** @type {Point} */ ([500, 100]) };
  assert.match(String(placedBy(begun, null)), /both points/);
  assert.match(String(placedBy({ ...clicked, second: [501, 1000] }, null)), /too near/);
  assert.match(String(placedBy(clicked, null)), /how many yards/);
  assert.match(String(placedBy({ ...clicked, yards: "400", north: "bearing" }, null)), /bearing/);
  assert.match(String(placedBy({ ...clicked, yards: "400", north: "point" }, null)), /towards north/);
  const placed = /** @type {import("../src/records").Picture["marks"]} */ (placedBy({ ...clicked, yards: "450" }, null));
  assert.ok(Math.abs(scaleOf(layOf(placed)) - (450 * YARD) / 900) < 1e-5);
  near(placed[0].at, toGround(layOf(marks), [500, 1000]));
  const ends = { tee: /** @type {Point} */ ([1, 2]), pin: /** @type {Point} */ ([1, 402]) };
  assert.deepEqual(placedBy({ ...clicked, known: true }, ends), [mark([500, 1000], [1, 2]), mark([500, 100], [1, 402])]);
});

test("back tee and pin are known where the hole in view has them", () => {
  const hole = { hole: 4, par: 4, line: 1, tees: [{ name: "back", at: /** @type {Point} */ ([1, 2]), length_yd: 400, guessed: false }], pin: /** @type {Point | null} */ ([1, 402]), pin_guessed: true, numbers: [] };
  assert.deepEqual(endsOf({ holes: [hole], hole: 4 }), { hole: 4, tee: [1, 2], pin: [1, 402] });
  assert.equal(endsOf({ holes: [hole], hole: 5 }), null);
  assert.equal(endsOf({ holes: [{ ...hole, pin: null }], hole: 4 }), null);
});

/** @param {...(number | string)} parts bytes, or text */
const bytes = (...parts) => Uint8Array.from(parts.flatMap((part) => (typeof part === "string" ? [...part].map((letter) => letter.charCodeAt(0)) : [part])));

test("kind and size of a picture are read from its first bytes", () => {
  const png = bytes(0x89, "PNG\r\n", 0x1a, "\n", 0, 0, 0, 13, "IHDR", 0, 0, 0x1c, 0x20, 0, 0, 0x15, 0x18, 8);
  assert.deepEqual(headOf(png), { kind: "PNG", width: 7200, height: 5400 });
  const jpeg = bytes(0xff, 0xd8, 0xff, 0xe0, 0, 4, 1, 2, 0xff, 0xff, 0xc4, 0, 3, 9, 0xff, 0xc2, 0, 17, 8, 0x04, 0x38, 0x07, 0x80, 3);
  assert.deepEqual(headOf(jpeg), { kind: "JPEG", width: 1920, height: 1080 });
  const large = bytes("RIFF", 0, 0, 0, 0, "WEBPVP8X", 10, 0, 0, 0, 0, 0, 0, 0, 0x1f, 0x1c, 0, 0x17, 0x15, 0);
  assert.deepEqual(headOf(large), { kind: "WebP", width: 7200, height: 5400 });
  const lossless = bytes("RIFF", 0, 0, 0, 0, "WEBPVP8L", 0, 0, 0, 0, 0x2f, 0x7f, 0xc0, 0x0e, 0);
  assert.deepEqual(headOf(lossless), { kind: "WebP", width: 128, height: 60 });
  for (const other of [bytes("%PDF-1.7"), bytes("GIF89a"), bytes(), png.subarray(0, 18), bytes(0xff, 0xd8, 0xff, 0xd9)]) assert.equal(headOf(other), null);
});

test("a picture that is too large or of another kind is refused in one line", () => {
  const head = { kind: /** @type {const} */ ("PNG"), width: 5000, height: 8000 };
  assert.equal(refusalOf("a.png", 25e6, head), "");
  assert.match(refusalOf("a.png", 25e6 + 1e6, head), /26 MB/);
  assert.match(refusalOf("a.png", 1e6, { ...head, width: 5200 }), /42 megapixels/);
  assert.match(refusalOf("a.pdf", 1e6, null), /no JPEG, PNG or WebP/);
});

test("a picture gets a free name beside its course", () => {
  assert.equal(pictureName("Page 4 (scan).JPEG", "JPEG", "oxlip.geojson", []), "page-4-scan.jpg");
  assert.equal(pictureName("page4.png", "PNG", "club/oxlip.geojson", ["club/page4.png"]), "club/page4-2.png");
  assert.equal(pictureName("北.png", "WebP", "x.geojson", []), "page.webp");
});
