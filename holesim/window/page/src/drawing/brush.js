// The brush: a stroke of some width becomes an outline, and grows into one that it touches.
/** @typedef {import("../records").Geometry} Geometry */
/** @typedef {import("../records").Point} Point */
/** @typedef {import("../records").Polygon} Polygon */
import * as clipping from "polygon-clipping";
import { apart, polygonsOf, rounded } from "./shapes.js";
import { fromEdge } from "./hits.js";

// Some loaders know it by its default export alone.
const { intersection, union } = /** @type {typeof clipping & {default?: typeof clipping}} */ (clipping).default ?? clipping;

const SIDES = 12; // corners of a round end

/** A stroke with fewer points: those left out lie within `off` of the line between those kept.
 * Source: Douglas and Peucker 1973, Cartographica 10(2), 112-122.
 * @param {Point[]} points @param {number} off [m] @returns {Point[]} */
export function simplified(points, off) {
  if (points.length < 3) return points;
  const last = points.length - 1;
  let [farthest, at] = [0, 0];
  for (let i = 1; i < last; i++) {
    const away = fromEdge(points[i], points[0], points[last]);
    if (away > farthest) [farthest, at] = [away, i];
  }
  if (farthest <= off) return [points[0], points[last]];
  return [...simplified(points.slice(0, at + 1), off).slice(0, -1), ...simplified(points.slice(at), off)];
}

/** The outline around a straight piece. @param {Point} from @param {Point} to @param {number} radius @returns {Polygon} */
function capsule(from, to, radius) {
  const ahead = Math.atan2(to[1] - from[1], to[0] - from[0]);
  const end = (/** @type {Point} */ [x, y], /** @type {number} */ start) => Array.from({ length: SIDES / 2 + 1 }, (_, i) => {
    const angle = start + (Math.PI * i) / (SIDES / 2);
    return rounded([x + radius * Math.cos(angle), y + radius * Math.sin(angle)]);
  });
  const ring = [...end(to, ahead - Math.PI / 2), ...end(from, ahead + Math.PI / 2)];
  return [[...ring, ring[0]]];
}

/** The band that a brush covers. @param {Point[]} stroke @param {number} wide [m] @returns {Polygon[]} */
export function bandOf(stroke, wide) {
  const points = simplified(stroke.filter((place, i) => i === 0 || apart(place, stroke[i - 1]) > 0), wide / 20);
  const pieces = points.length === 1
    ? [capsule(points[0], points[0], wide / 2)]
    : points.slice(1).map((place, i) => capsule(points[i], place, wide / 2));
  return union(pieces[0], ...pieces.slice(1));
}

/** @param {Polygon[]} polygons @returns {Geometry} */
function geometryWith(polygons) {
  const even = polygons.map((polygon) => polygon.map((ring) => ring.map(rounded)));
  return even.length === 1 ? { type: "Polygon", coordinates: even[0] } : { type: "MultiPolygon", coordinates: even };
}

/** What a stroke makes: the outline it touches grown by the band, or the band alone.
 * @param {Point[]} stroke @param {number} wide [m] @param {Geometry | null} [old] an outline to grow
 * @returns {{geometry: Geometry, grown: boolean}} */
export function brushed(stroke, wide, old = null) {
  const band = bandOf(stroke, wide);
  const before = polygonsOf(old);
  if (before.length > 0 && intersection(before, band).length > 0) {
    return { geometry: geometryWith(union(before, band)), grown: true };
  }
  return { geometry: geometryWith(band), grown: false };
}
