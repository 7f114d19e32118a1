import assert from "node:assert/strict";
import { test } from "node:test";
import { freeNumber, copyOf } from "../src/drawing/additions.js";
import { bandOf, brushed, simplified } from "../src/drawing/brush.js";
import { guessedAt, guessedMarks } from "../src/drawing/guesses.js";
import { featuresAt, fromEdge, handleAt, handlesOf, isOn, reach } from "../src/drawing/hits.js";
import { kindTags, titleOf } from "../src/drawing/kinds.js";
import { boxOf, geometryOf, insertCorner, moveCorner, removeCorner, runsOf, shifted, withHole, withinPolygon } from "../src/drawing/shapes.js";
import { fieldsOf, metresOf } from "../src/drawing/tag_fields.js";
/** @typedef {import("../src/records").Point} Point */
/** @typedef {import("../src/records").Geometry} Geometry */

/** @param {number} west @param {number} south @param {number} side @returns {Geometry} */
const square = (west, south, side) => geometryOf("area", [[west, south], [west + side, south], [west + side, south + side], [west, south + side]]);
/** @param {number} id @param {Geometry} geometry @param {Partial<import("../src/records").Feature>} [more] */
const feature = (id, geometry, more = {}) =>
  ({ id, label: "", kind: /** @type {const} */ ("bunker"), hole: null, tags: {}, geometry, guessed: null, noted: null, ...more });
/** The area of all polygons [m²], holes taken off. @param {Geometry | null} geometry */
const areaOf = (geometry) => geometry === null ? 0 : runsOf(geometry).reduce((sum, { points }) => sum + points.reduce((part, [x, y], i) => {
  const [nx, ny] = points[(i + 1) % points.length];
  return part + (x * ny - nx * y) / 2;
}, 0), 0);

test("a corner is inserted, moved and removed, and the ring stays closed", () => {
  const before = square(0, 0, 10);
  const more = insertCorner(before, 0, 3, [-5, 5]);
  assert.deepEqual(more.coordinates, [[[0, 0], [10, 0], [10, 10], [0, 10], [-5, 5], [0, 0]]]);
  assert.equal(areaOf(more), 125);
  const moved = moveCorner(more, 0, 0, [0, -10]);
  assert.deepEqual(moved.coordinates, [[[0, -10], [10, 0], [10, 10], [0, 10], [-5, 5], [0, -10]]]);
  assert.deepEqual(removeCorner(more, 0, 4), before);
  assert.deepEqual(before, square(0, 0, 10));
});

test("what has too few corners left is gone: a hole alone, or all with the outer ring", () => {
  const triangle = geometryOf("area", [[0, 0], [10, 0], [0, 10]]);
  assert.equal(removeCorner(triangle, 0, 1), null);
  const cut = withHole(triangle, [[1, 1], [3, 1], [1, 3]]);
  assert.ok(cut);
  assert.deepEqual(removeCorner(cut, 1, 0), triangle);
  assert.equal(removeCorner(cut, 0, 0), null);
  assert.equal(removeCorner(geometryOf("line", [[0, 0], [1, 1]]), 0, 0), null);
  const two = /** @type {Geometry} */ ({ type: "MultiPolygon", coordinates: [triangle.coordinates, square(20, 20, 5).coordinates] });
  assert.deepEqual(removeCorner(two, 0, 0)?.coordinates, [square(20, 20, 5).coordinates]);
  assert.deepEqual(runsOf(moveCorner(two, 1, 2, [99, 99]))[1].points[2], [99, 99]);
});

test("a line that ends where it begins stays so; a row of several lines keeps the others", () => {
  const way = geometryOf("line", [[0, 0], [10, 0], [10, 10], [0, 10], [0, 0]]);
  assert.deepEqual(moveCorner(way, 0, 0, [-5, 0]).coordinates, [[-5, 0], [10, 0], [10, 10], [0, 10], [-5, 0]]);
  assert.equal(isOn(feature(1, way), [5, 5], 0), true);
  const rows = /** @type {Geometry} */ ({ type: "MultiLineString", coordinates: [[[0, 0], [9, 0]], [[0, 5], [9, 5]]] });
  assert.deepEqual(removeCorner(rows, 1, 0)?.coordinates, [[[0, 0], [9, 0]]]);
  assert.equal(isOn(feature(1, rows, { kind: "trees" }), [5, 8.5], 0), true);
  assert.equal(isOn(feature(1, rows, { kind: "trees" }), [5, 9.5], 0), false);
});

test("a hole is cut only where it begins within the outline", () => {
  const [outer, inner] = [square(0, 0, 10), /** @type {Point[]} */ ([[2, 2], [2, 4], [4, 4], [4, 2]])];
  const cut = withHole(outer, inner);
  assert.ok(cut?.type === "Polygon");
  assert.equal(areaOf(cut), 96);
  assert.equal(withinPolygon(cut.coordinates, [3, 3]), false);
  assert.equal(withinPolygon(cut.coordinates, [1, 1]), true);
  assert.equal(withHole(outer, [[20, 20], [30, 20], [20, 30]]), null);
  assert.equal(withHole(cut, inner.map(([x, y]) => [x + 0.5, y + 0.5])), null);
  assert.equal(withHole(geometryOf("line", [[0, 0], [9, 9]]), inner), null);
});

test("a whole shape moves, to the millimetre", () => {
  assert.deepEqual(boxOf(shifted(square(0, 0, 10), 1.23456, -2)), [1.235, -2, 11.235, 8]);
  assert.deepEqual(shifted(geometryOf("point", [[1, 2]]), 1, 1).coordinates, [2, 3]);
});

test("what is under a hand: marks and lines first, then what lies on top, then the smaller", () => {
  const all = [
    feature(1, square(0, 0, 100), { kind: "fairway" }), feature(2, square(10, 10, 10)), feature(3, square(0, 0, 90), { kind: "red" }),
    feature(4, geometryOf("line", [[0, 15], [100, 15]]), { kind: "line" }), feature(5, geometryOf("point", [[15, 15]]), { kind: "pin" }),
    feature(6, square(-50, -50, 300), { kind: "boundary" }), feature(7, square(12, 12, 2), { kind: "other" }),
  ];
  const ids = (/** @type {Point} */ place) => featuresAt(all, place, 1).map(({ id }) => id);
  assert.deepEqual(ids([15, 15]), [5, 4, 3, 2, 1]);
  assert.deepEqual(ids([15, 19]), [3, 2, 1]);
  assert.deepEqual(ids([95, 95]), [1]);
  assert.deepEqual(ids([200, 250.5]), [6]);
  assert.deepEqual(ids([200, 200]), []);
});

test("a stream is as wide as it says", () => {
  const stream = feature(1, geometryOf("line", [[0, 0], [100, 0]]), { kind: "red", tags: { width: "20" } });
  assert.equal(isOn(stream, [50, 10.5], 1), true);
  assert.equal(isOn({ ...stream, tags: {} }, [50, 10.5], 1), false);
  assert.equal(fromEdge([-3, 4], [0, 0], [10, 0]), 5);
});

test("handles: corners and middles of what is seen, fewer where corners lie close", () => {
  const pixel = (/** @type {Point} */ [x, y]) => /** @type {Point} */ ([x * 10, 500 - y * 10]);
  const found = handlesOf(square(10, 10, 20), pixel, [800, 600]);
  assert.deepEqual(found.corners.map(({ corner }) => corner), [0, 1, 2, 3]);
  assert.deepEqual(found.middles.map(({ after }) => after), [0, 1, 2, 3]);
  assert.deepEqual(handleAt(found, [104, 396], reach("mouse")), { corner: found.corners[0] });
  assert.equal(handleAt(found, [120, 400], reach("mouse")), null);
  assert.deepEqual(handleAt(found, [120, 400], reach("touch")), { corner: found.corners[0] });
  assert.deepEqual(handleAt(found, [200, 405], reach("mouse")), { middle: found.middles[0] });
  assert.deepEqual(handleAt(found, /** @type {Point} */ (found.move), reach("mouse")), { move: true });
  const round = geometryOf("area", Array.from({ length: 10_000 }, (_, i) => [20 + 10 * Math.cos(i / 1591.55), 20 + 10 * Math.sin(i / 1591.55)]));
  const many = handlesOf(round, pixel, [800, 600]);
  assert.ok(many.corners.length > 30 && many.corners.length < 50, String(many.corners.length));
  assert.deepEqual(many.middles, []);
  assert.equal(handlesOf(square(200, 200, 20), pixel, [800, 600]).corners.length, 0);
});

test("a stroke becomes a band of its width, with a hole where it goes around one", () => {
  const straight = brushed([[0, 0], [5, 0.01], [10, 0]], 4);
  assert.equal(straight.grown, false);
  const round = Math.PI * 2 * 2;
  assert.ok(Math.abs(areaOf(straight.geometry) - 40 - round) < 0.06 * round);
  const loop = Array.from({ length: 41 }, (_, i) => /** @type {Point} */ ([50 * Math.cos(i * Math.PI / 20), 50 * Math.sin(i * Math.PI / 20)]));
  const [polygon, ...others] = bandOf(loop, 10);
  assert.equal(others.length, 0);
  assert.equal(polygon.length, 2);
  assert.equal(withinPolygon(polygon, [0, 0]), false);
  assert.equal(withinPolygon(polygon, [0, 50]), true);
  assert.equal(brushed([[3, 3]], 4).geometry.type, "Polygon");
});

test("a stroke grows the trees that it touches, and leaves others alone", () => {
  const trees = square(0, 0, 20);
  const grown = brushed([[10, 10], [40, 10]], 6, trees);
  assert.equal(grown.grown, true);
  assert.ok(Math.abs(areaOf(grown.geometry) - 400 - 20 * 6 - Math.PI * 4.5) < 2);
  const corners = runsOf(grown.geometry)[0].points.map(String);
  for (const corner of runsOf(trees)[0].points) assert.ok(corners.includes(String(corner)), String(corner));
  assert.equal(brushed([[50, 50], [60, 50]], 6, trees).grown, false);
});

test("a stroke is thinned to what is seen of it", () => {
  const points = Array.from({ length: 101 }, (_, i) => /** @type {Point} */ ([i, i < 50 ? 0 : (i - 50) * 0.5]));
  assert.deepEqual(simplified(points, 0.2), [[0, 0], [50, 0], [100, 25]]);
});

test("a new line takes the number of the hole in view, or the first that is free", () => {
  const lines = (/** @type {string[]} */ ...refs) => new Map(refs.map((ref, id) =>
    [id, feature(id, geometryOf("line", [[0, 0], [1, 1]]), { kind: "line", tags: { ref } })]));
  assert.equal(freeNumber({ features: lines("1", "2"), hole: 7 }), "7");
  assert.equal(freeNumber({ features: lines("1", "2", "7"), hole: 7 }), "3");
  assert.equal(freeNumber({ features: lines(), hole: null }), "1");
});

test("a copy has no number or name", () => {
  const change = copyOf(feature(1, square(0, 0, 1), { tags: { golf: "tee", ref: "3", name: "x", firmness: "soft" } }), [5, 0]);
  assert.deepEqual("add" in change && change.add.tags, { golf: "tee", firmness: "soft" });
  assert.deepEqual("add" in change && boxOf(change.add.geometry), [5, 0, 6, 1]);
});

test("a kind is changed by the tags of a course file, and what it was is taken away", () => {
  assert.deepEqual(kindTags("trees"), { golf: null, natural: "wood", leisure: null, waterway: null });
  assert.deepEqual(kindTags("red"), { golf: "lateral_water_hazard", natural: "water", leisure: null, waterway: null });
  assert.equal(titleOf(feature(1, square(0, 0, 1), { hole: 4 })), "bunker, hole 4");
});

test("lengths are typed in golfers' units and written in metres", () => {
  assert.equal(metresOf("50 ft"), 15.24);
  assert.equal(metresOf("12.5"), 12.5);
  assert.equal(metresOf("tall"), null);
  const [height] = fieldsOf({ kind: "trees", geometry: square(0, 0, 1) });
  assert.equal(height.read({ height: "15.24" }), "50");
  assert.deepEqual(height.write("50"), { height: "15.24" });
  assert.deepEqual(height.write(""), { height: null });
  assert.deepEqual(fieldsOf({ kind: "red", geometry: geometryOf("line", [[0, 0], [1, 1]]) }).map(({ name }) => name), ["width"]);
});

test("guessed tees and pins of the hole in view are marks to click", () => {
  const tee = { name: "back", at: /** @type {Point} */ ([0, 0]), length_yd: 400, guessed: true };
  const hole = { hole: 4, par: 4, line: 1, tees: [tee, { ...tee, name: "red", guessed: false }], pin: /** @type {Point} */ ([0, 360]), pin_guessed: true, numbers: [] };
  const marks = guessedMarks({ holes: [hole, { ...hole, hole: 5, pin_guessed: false }], hole: 4 });
  assert.deepEqual(marks.map(({ kind }) => kind), ["tee", "pin"]);
  assert.equal(guessedMarks({ holes: [hole, { ...hole, hole: 5, pin_guessed: false }], hole: null }).length, 3);
  assert.equal(guessedAt(marks, [5, 358], (place) => place, 12)?.kind, "pin");
  assert.equal(guessedAt(marks, [50, 358], (place) => place, 12), null);
});
