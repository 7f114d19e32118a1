// How a picture lies on the ground: turned and stretched alike in all directions, as two of its points say.
/** @typedef {import("../records").Picture} Picture */
/** @typedef {import("../records").Point} Point */
/** From pixels (y down) to metres (y north): x = a px + b py + east, y = b px - a py + north.
 * @typedef {{a: number, b: number, east: number, north: number}} Lay */
/** What tells where north is on a picture. @typedef {{by: "up"} | {by: "bearing", degrees: number} | {by: "point", pixel: Point}} North */
import { bearing, pointAlong } from "../geometry.js";
import { rounded } from "./shapes.js";

const HIGH = 550; // m, as most pages of a hole show, until its scale is known
const ROOM = 150; // m from all that is drawn to a picture that is new

/** @param {Picture["marks"]} marks two that are apart @returns {Lay} */
export function layOf([{ pixel: [px, py], at: [x, y] }, { pixel: [qx, qy], at: [u, v] }]) {
  const [dx, dy] = [qx - px, py - qy];
  const long = dx * dx + dy * dy;
  const a = ((u - x) * dx + (v - y) * dy) / long;
  const b = ((v - y) * dx - (u - x) * dy) / long;
  return { a, b, east: x - a * px - b * py, north: y - b * px + a * py };
}

/** @param {Lay} lay @param {Point} pixel @returns {Point} on the ground [m] */
export const toGround = ({ a, b, east, north }, [x, y]) => [a * x + b * y + east, b * x - a * y + north];

/** @param {Lay} lay @param {Point} place [m] @returns {Point} in pixels of the picture */
export function toPicture({ a, b, east, north }, [x, y]) {
  const [dx, dy] = [x - east, y - north];
  const long = a * a + b * b;
  return [(a * dx + b * dy) / long, (b * dx - a * dy) / long];
}

/** Metres of a pixel. @param {Lay} lay */
export const scaleOf = ({ a, b }) => Math.hypot(a, b);

/** The corners of a picture on the ground. @param {Lay} lay @param {Point} size [px] @returns {Point[]} */
export function cornersOf(lay, [width, height]) {
  const corners = /** @type {Point[]} */ ([[0, 0], [width, 0], [width, height], [0, height]]);
  return corners.map((pixel) => toGround(lay, pixel));
}

/** Where a picture lies that is new: upright, and away from all that is drawn.
 * @param {number[] | null} box west, south, east, north of what is drawn [m] @param {Point} size [px] @returns {Picture["marks"]} */
export function newMarks(box, [width, height]) {
  const metre = HIGH / height;
  const west = box === null ? (-width * metre) / 2 : box[2] + ROOM;
  const south = box === null ? -HIGH / 2 : box[1];
  return [
    { pixel: [0, height], at: rounded([west, south]) },
    { pixel: [0, 0], at: rounded([west, south + HIGH]) },
  ];
}

/** Direction from one point of a picture to another, from the picture's top to the right [°]. @param {Point} from @param {Point} to */
const onPage = (from, to) => bearing([from[0], -from[1]], [to[0], -to[1]]);

/** The bearing from the first point to the second [°]. @param {Point} first [px] @param {Point} second [px] @param {North} north */
export function trueBearing(first, second, north) {
  if (north.by === "bearing") return north.degrees;
  const page = onPage(first, second);
  return north.by === "up" ? page : page - onPage(first, north.pixel);
}

/** The marks of a picture whose two points are so far apart.
 * @param {Point} first [px] @param {Point} second [px] @param {Point} at of the first [m] @param {number} apart [m]
 * @param {North} north @returns {Picture["marks"]} */
export function marksBy(first, second, at, apart, north) {
  const other = pointAlong(at, trueBearing(first, second, north), apart);
  return [{ pixel: first, at: rounded(at) }, { pixel: second, at: rounded(other) }];
}

/** A picture moved so that what lay at one place lies at another. @param {Picture["marks"]} marks @param {Point} from @param {Point} to
 * @returns {Picture["marks"]} */
export function movedMarks(marks, from, to) {
  return marks.map(({ pixel, at: [x, y] }) => ({ pixel, at: rounded([x + to[0] - from[0], y + to[1] - from[1]]) }));
}
