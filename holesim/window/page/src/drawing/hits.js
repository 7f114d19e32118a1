// What lies under a hand: features on the ground, and handles of what is selected.
/** @typedef {import("../records").Feature} Feature */
/** @typedef {import("../records").Geometry} Geometry */
/** @typedef {import("../records").Point} Point */
/** @typedef {{run: number, corner: number, pixel: Point}} CornerHandle */
/** @typedef {{run: number, after: number, pixel: Point}} MiddleHandle */
/** @typedef {{corners: CornerHandle[], middles: MiddleHandle[], move: Point | null}} Handles */
import { PAINT_ORDER, widthOf } from "./kinds.js";
import { apart, boxOf, isLine, polygonsOf, runsOf, withinPolygon } from "./shapes.js";

const CLOSE = 14; // px: corners nearer to one another than this show one handle
const LONG = 44; // px: edges from this length on have a handle in their middle
const MARGIN = 30; // px kept from the edge of the map
const AWAY = 34; // px from a shape to the handle that moves it

/** How near a hand must come to a handle [px]: 24 px across for a mouse, 44 for a finger. @param {string} pointer */
export const reach = (pointer) => (pointer === "mouse" ? 12 : 22);

/** How far a place lies from a piece of a straight line. @param {Point} place @param {Point} a @param {Point} b */
export function fromEdge([x, y], a, b) {
  const [dx, dy] = [b[0] - a[0], b[1] - a[1]];
  const long = dx * dx + dy * dy;
  const along = long === 0 ? 0 : Math.max(0, Math.min(1, ((x - a[0]) * dx + (y - a[1]) * dy) / long));
  return Math.hypot(x - a[0] - along * dx, y - a[1] - along * dy);
}

/** How far a place lies from the edge of a geometry. @param {Geometry} geometry @param {Point} place */
export function fromGeometry(geometry, place) {
  let least = Infinity;
  for (const { points, closed } of runsOf(geometry)) {
    if (points.length === 1) least = Math.min(least, apart(points[0], place));
    for (let i = closed ? 0 : 1; i < points.length; i++) {
      least = Math.min(least, fromEdge(place, points[(i + points.length - 1) % points.length], points[i]));
    }
  }
  return least;
}

/** Whether a place is on a feature: on a point or line within a distance, on an area within its edge.
 * @param {Feature} feature @param {Point} place @param {number} near [m] */
export function isOn({ kind, geometry, tags }, place, near) {
  if (geometry === null || kind === "other") return false;
  const [west, south, east, north] = boxOf(geometry);
  const line = isLine(geometry);
  const wide = near + (line ? widthOf(kind, tags) / 2 : 0);
  if (place[0] < west - wide || place[0] > east + wide || place[1] < south - wide || place[1] > north + wide) return false;
  if (geometry.type === "Point" || line) return fromGeometry(geometry, place) <= wide;
  // The course's own outline lies around everything: it is taken hold of at its edge.
  if (kind === "boundary") return fromGeometry(geometry, place) <= near;
  return polygonsOf(geometry).some((polygon) => withinPolygon(polygon, place));
}

/** @param {Geometry | null} geometry */
function spread(geometry) {
  if (geometry === null || geometry.type === "Point" || isLine(geometry)) return 0;
  const [west, south, east, north] = boxOf(geometry);
  return (east - west) * (north - south);
}

/** The features under a place: points and lines before areas, then what is seen on top, then what is smaller.
 * @param {Iterable<Feature>} features @param {Point} place @param {number} near [m] @returns {Feature[]} */
export function featuresAt(features, place, near) {
  const found = [...features].filter((feature) => isOn(feature, place, near));
  const rank = (/** @type {Feature} */ { kind, geometry }) =>
    PAINT_ORDER.indexOf(kind) + (geometry?.type === "Point" ? 200 : geometry !== null && isLine(geometry) ? 100 : 0);
  return found.sort((a, b) => rank(b) - rank(a) || spread(a.geometry) - spread(b.geometry));
}

/** The handles of a selected feature in a view. Of corners that lie close together some have none: they have once the
 * view is nearer. @param {Geometry} geometry @param {(place: Point) => Point} pixel @param {Point} size of the view [px]
 * @returns {Handles} */
export function handlesOf(geometry, pixel, [width, height]) {
  const box = [Infinity, Infinity, -Infinity, -Infinity];
  /** @type {CornerHandle[]} */ const corners = [];
  /** @type {MiddleHandle[]} */ const middles = [];
  const seen = ([x, y] = [0, 0]) => x > -20 && y > -20 && x < width + 20 && y < height + 20;
  runsOf(geometry).forEach(({ points, closed }, run) => {
    const pixels = points.map(pixel);
    let last = /** @type {Point | null} */ (null);
    pixels.forEach((at, corner) => {
      box[0] = Math.min(box[0], at[0]);
      box[1] = Math.min(box[1], at[1]);
      box[2] = Math.max(box[2], at[0]);
      box[3] = Math.max(box[3], at[1]);
      if (last === null || apart(last, at) >= CLOSE || (!closed && corner === points.length - 1)) {
        if (seen(at)) corners.push({ run, corner, pixel: at });
        last = at;
      }
      if (corner === points.length - 1 && !closed) return;
      const next = pixels[(corner + 1) % points.length];
      const middle = /** @type {Point} */ ([(at[0] + next[0]) / 2, (at[1] + next[1]) / 2]);
      if (points.length > 1 && apart(at, next) >= LONG && seen(middle)) middles.push({ run, after: corner, pixel: middle });
    });
  });
  if (geometry.type === "Point") return { corners, middles, move: null };
  const kept = (/** @type {number} */ value, /** @type {number} */ most) => Math.max(MARGIN, Math.min(most - MARGIN, value));
  return { corners, middles, move: [kept((box[0] + box[2]) / 2, width), kept(box[1] - AWAY, height)] };
}

/** The handle under a hand, the nearest; a corner before the middle of an edge.
 * @param {Handles} handles @param {Point} at [px] @param {number} near [px]
 * @returns {{corner: CornerHandle} | {middle: MiddleHandle} | {move: true} | null} */
export function handleAt({ corners, middles, move }, at, near) {
  const nearest = (/** @type {{pixel: Point}[]} */ all) => all.reduce(
    (best, one) => (apart(one.pixel, at) < best.far ? { one, far: apart(one.pixel, at) } : best),
    /** @type {{one: any, far: number}} */ ({ one: null, far: Infinity }),
  );
  const [corner, middle] = [nearest(corners), nearest(middles)];
  if (corner.far <= near && corner.far <= middle.far * 1.5) return { corner: corner.one };
  if (middle.far <= near) return { middle: middle.one };
  return move !== null && apart(move, at) <= Math.max(near, 16) ? { move: true } : null;
}
