// How features are painted: paths in metres on a canvas that is turned and scaled as the view.
/** @typedef {import("../records").Feature} Feature */
/** @typedef {import("../records").Geometry} Geometry */
/** @typedef {import("../records").Point} Point */
import { GROUND, hatched } from "../map_styles.js";
import { widthOf } from "./kinds.js";
import { boxOf, isLine, runsOf } from "./shapes.js";

const INK = "#1a1a1a";
const DASHES = [7, 5]; // px
/** @type {WeakMap<Geometry, Map<number, Path2D>>} */ const PATHS = new WeakMap();

/** The path of a geometry [m]; corners nearer to the last one than `fine` are left out. @param {Geometry} geometry @param {number} fine [m] */
function pathOf(geometry, fine) {
  const level = 2 ** Math.floor(Math.log2(fine));
  let paths = PATHS.get(geometry);
  if (paths === undefined) PATHS.set(geometry, paths = new Map());
  let path = paths.get(level);
  if (path !== undefined) return path;
  path = new Path2D();
  for (const { points, closed } of runsOf(geometry)) {
    let [x, y] = points[0];
    path.moveTo(x, y);
    for (let i = 1; i < points.length; i++) {
      const [px, py] = points[i];
      if (i < points.length - 1 && Math.abs(px - x) < level && Math.abs(py - y) < level) continue;
      path.lineTo(px, py);
      [x, y] = [px, py];
    }
    if (closed) path.closePath();
  }
  paths.set(level, path);
  return path;
}

/** A canvas and what it shows. @typedef {{pen: CanvasRenderingContext2D, matrix: number[], ratio: number,
 *   metre: number, clear: boolean, box: number[]}} Sheet matrix: metres to pixels; metre: pixels of one; clear: paint
 *   areas thinly; box: what is in view [m] */

/** @param {Sheet} sheet @param {Point} place @returns {Point} */
export const toPixel = ({ matrix: [a, b, c, d, e, f] }, [x, y]) => [a * x + c * y + e, b * x + d * y + f];

/** Paint on metres. @param {Sheet} sheet */
export function onMetres({ pen, matrix: [a, b, c, d, e, f], ratio }) {
  pen.setTransform(a * ratio, b * ratio, c * ratio, d * ratio, e * ratio, f * ratio);
}

/** Paint on pixels. @param {Sheet} sheet */
export function onPixels({ pen, ratio }) {
  pen.setTransform(ratio, 0, 0, ratio, 0, 0);
}

/** Whether something of a geometry may be in view. @param {Sheet} sheet @param {Geometry} geometry */
function inView({ box, metre }, geometry) {
  const [west, south, east, north] = boxOf(geometry);
  const more = 40 / metre; // marks, names and wide lines
  return west <= box[2] + more && east >= box[0] - more && south <= box[3] + more && north >= box[1] - more;
}

/** @param {Sheet} sheet @param {Feature} feature @param {boolean} [chosen] */
export function paintFeature(sheet, feature, chosen = false) {
  const { geometry, kind } = feature;
  if (geometry === null || !inView(sheet, geometry)) return;
  if (geometry.type === "Point") paintPoint(sheet, feature, chosen);
  else if (isLine(geometry)) paintLine(sheet, feature, chosen);
  else paintArea(sheet, feature, chosen);
  if (kind === "line") paintNumber(sheet, feature);
}

/** @param {Sheet} sheet @param {Feature} feature @param {boolean} chosen */
function paintArea(sheet, { geometry, kind, guessed }, chosen) {
  if (geometry === null) return;
  const { pen, metre, clear } = sheet;
  const path = pathOf(geometry, 0.5 / metre);
  const [tint, edge] = GROUND[kind] ?? ["#00000000", kind === "boundary" ? "#4a4a4a" : "#9a9a9a"];
  if (kind !== "boundary" && kind !== "other") {
    pen.globalAlpha = clear ? 0.3 : 1;
    if (kind === "out") fillHatched(sheet, path, tint, edge);
    else {
      onMetres(sheet);
      pen.fillStyle = tint;
      pen.fill(path, "evenodd");
    }
    pen.globalAlpha = 1;
  }
  onMetres(sheet);
  const wide = kind === "boundary" ? 2.4 : clear || kind === "red" || kind === "yellow" ? 1.8 : 1;
  if (chosen) stroke(sheet, path, "#ffffff", 5.5, []);
  stroke(sheet, path, chosen ? INK : edge, chosen ? 2.4 : wide, guessed !== null ? DASHES : kind === "boundary" ? [12, 4, 2, 4] : []);
}

/** @param {Sheet} sheet @param {Path2D} path @param {string} tint @param {string} line */
function fillHatched(sheet, path, tint, line) {
  const [a, b, c, d, e, f] = sheet.matrix.map((value) => value * sheet.ratio);
  const turned = new Path2D();
  turned.addPath(path, { a, b, c, d, e, f });
  sheet.pen.setTransform(1, 0, 0, 1, 0, 0);
  sheet.pen.fillStyle = hatch(tint, line);
  sheet.pen.fill(turned, "evenodd");
}

/** @type {string | CanvasPattern | undefined} */ let hatchOnce;
/** @param {string} tint @param {string} line */
const hatch = (tint, line) => (hatchOnce ??= hatched(tint, line));

/** @param {Sheet} sheet @param {Path2D} path @param {string} colour @param {number} wide [px] @param {number[]} dashes [px] */
function stroke({ pen, metre }, path, colour, wide, dashes) {
  pen.strokeStyle = colour;
  pen.lineWidth = wide / metre;
  pen.lineJoin = pen.lineCap = "round";
  if (dashes.length > 0) pen.lineCap = "butt";
  pen.setLineDash(dashes.map((long) => long / metre));
  pen.stroke(path);
  pen.setLineDash([]);
}

/** @param {Sheet} sheet @param {Feature} feature @param {boolean} chosen */
function paintLine(sheet, { geometry, kind, tags, guessed }, chosen) {
  if (geometry === null) return;
  const path = pathOf(geometry, 0.5 / sheet.metre);
  onMetres(sheet);
  const dashes = guessed === null ? [] : DASHES;
  const ground = GROUND[kind];
  if (ground === undefined) {
    stroke(sheet, path, "#ffffffb0", chosen ? 6 : 4, []);
    stroke(sheet, path, kind === "line" ? INK : "#9a9a9a", chosen ? 2.4 : 1.4, dashes);
    return;
  }
  const wide = Math.max(widthOf(kind, tags) * sheet.metre, 2);
  if (chosen) stroke(sheet, path, "#ffffff", wide + 9, []);
  stroke(sheet, path, chosen ? INK : ground[1], wide + (chosen ? 5 : 3), []);
  stroke(sheet, path, ground[0], wide, []);
  if (guessed !== null) stroke(sheet, path, INK, 1, dashes);
}

/** @param {Sheet} sheet @param {Feature} feature */
function paintNumber(sheet, { geometry, tags }) {
  if (geometry === null || tags.ref === undefined) return;
  const points = runsOf(geometry)[0].points;
  const [x, y] = toPixel(sheet, points[0]);
  const [nx, ny] = toPixel(sheet, points[1] ?? points[0]);
  const long = Math.hypot(nx - x, ny - y) || 1;
  onPixels(sheet);
  words(sheet, tags.ref, x - (16 * (nx - x)) / long, y - (16 * (ny - y)) / long, "bold 13px system-ui, sans-serif");
}

/** @param {Sheet} sheet @param {string} text @param {number} x @param {number} y @param {string} font */
export function words({ pen }, text, x, y, font = "12px system-ui, sans-serif") {
  pen.font = font;
  pen.textAlign = "center";
  pen.textBaseline = "middle";
  pen.lineJoin = "round";
  pen.strokeStyle = "rgb(255 255 255 / 0.85)";
  pen.lineWidth = 3.5;
  pen.strokeText(text, x, y);
  pen.fillStyle = INK;
  pen.fillText(text, x, y);
}

/** @param {Sheet} sheet @param {Feature} feature @param {boolean} chosen */
function paintPoint(sheet, { geometry, kind, tags, guessed }, chosen) {
  if (geometry?.type !== "Point" || kind === "other") return;
  paintMark(sheet, kind, geometry.coordinates, guessed !== null, chosen);
  const [x, y] = toPixel(sheet, geometry.coordinates);
  const text = kind === "tee" ? tags.tee ?? "" : kind === "spot" && tags.ele !== undefined ? `${tags.ele} m` : "";
  if (text !== "") words(sheet, text, x, y + 16, "11px system-ui, sans-serif");
}

/** A tee, a pin or an elevation; dashed where it is guessed. @param {Sheet} sheet @param {string} kind @param {Point} place
 * @param {boolean} guessed @param {boolean} chosen */
export function paintMark(sheet, kind, place, guessed, chosen) {
  const { pen } = sheet;
  onPixels(sheet);
  const [x, y] = toPixel(sheet, place);
  pen.translate(x, y);
  pen.beginPath();
  if (kind === "tee") pen.rect(-5.5, -5.5, 11, 11);
  else if (kind === "pin") {
    pen.moveTo(0, 0);
    pen.lineTo(0, -17);
    pen.lineTo(11, -13);
    pen.lineTo(0, -9);
  } else {
    pen.moveTo(0, -6);
    pen.lineTo(6, 5);
    pen.lineTo(-6, 5);
    pen.closePath();
  }
  pen.lineJoin = "round";
  pen.setLineDash([]);
  pen.strokeStyle = "#ffffff";
  pen.lineWidth = chosen ? 7 : 3.5;
  pen.stroke();
  pen.fillStyle = guessed ? "#ffffff" : INK;
  pen.fill();
  pen.strokeStyle = INK;
  pen.lineWidth = chosen ? 2.4 : 1.5;
  pen.setLineDash(guessed ? [3, 2.5] : []);
  pen.stroke();
  pen.setLineDash([]);
}
