// What is painted over the ground: what is selected and its handles, what is being drawn, and guessed tees and pins.
/** @typedef {import("../records").Point} Point */
/** @typedef {import("./paint.js").Sheet} Sheet */
import { guessedMarks } from "./guesses.js";
import { handlesOf } from "./hits.js";
import { toolOf } from "./kinds.js";
import { onMetres, onPixels, paintFeature, paintMark, toPixel } from "./paint.js";

const INK = "#1a1a1a";
const CHOSEN = "#0072b2";

/** @param {Sheet} sheet @param {import("./drawing_store.js").Drawing} drawing @param {import("./drawing_tools.js").Tools} tools
 * @param {Point} size of the map [px] */
export function paintScene(sheet, drawing, tools, size) {
  const state = drawing.get();
  const scene = tools.scene();
  for (const { kind, at } of guessedMarks(state)) paintMark(sheet, kind, at, true, false);
  const geometry = scene.held ?? scene.feature?.geometry ?? null;
  if (scene.feature !== null && geometry !== null) {
    paintFeature(sheet, { ...scene.feature, geometry }, true);
    if (state.tool === "select" && geometry.type !== "Point") paintHandles(sheet, geometry, scene, size);
  }
  if (scene.sketch.length > 0) paintSketch(sheet, scene.sketch, scene.hover, toolOf(state.tool)?.shape ?? "area");
  if (scene.stroke !== null) paintStroke(sheet, scene.stroke, scene.brush);
  if (state.tool === "brush" && scene.hover !== null) paintCircle(sheet, scene.hover, scene.brush / 2);
}

/** @param {Sheet} sheet @param {import("../records").Geometry} geometry
 * @param {ReturnType<import("./drawing_tools.js").Tools["scene"]>} scene @param {Point} size */
function paintHandles(sheet, geometry, { corner, pointer }, size) {
  const { pen } = sheet;
  const { corners, middles, move } = handlesOf(geometry, (place) => toPixel(sheet, place), size);
  const large = pointer === "mouse" ? 6 : 9;
  onPixels(sheet);
  pen.setLineDash([]);
  pen.lineWidth = 1.5;
  pen.strokeStyle = INK;
  pen.fillStyle = "rgb(255 255 255 / 0.75)";
  for (const { pixel: [x, y] } of middles) dot(pen, x, y, large * 0.6);
  pen.fillStyle = "#ffffff";
  for (const { pixel: [x, y] } of corners) dot(pen, x, y, large);
  const chosen = corners.find((one) => one.run === corner?.run && one.corner === corner?.corner);
  if (chosen !== undefined) {
    pen.fillStyle = CHOSEN;
    dot(pen, ...chosen.pixel, large + 1.5);
  }
  if (move !== null) paintMover(pen, move);
}

/** @param {CanvasRenderingContext2D} pen @param {number} x @param {number} y @param {number} radius */
function dot(pen, x, y, radius) {
  pen.beginPath();
  pen.arc(x, y, radius, 0, 2 * Math.PI);
  pen.fill();
  pen.stroke();
}

/** The handle that moves the whole shape: four arrows. @param {CanvasRenderingContext2D} pen @param {Point} at */
function paintMover(pen, [x, y]) {
  pen.fillStyle = "#ffffff";
  dot(pen, x, y, 15);
  pen.beginPath();
  for (const [dx, dy] of [[1, 0], [-1, 0], [0, 1], [0, -1]]) {
    pen.moveTo(x, y);
    pen.lineTo(x + 10 * dx, y + 10 * dy);
    pen.moveTo(x + 6.5 * dx - 3.5 * dy, y + 6.5 * dy + 3.5 * dx);
    pen.lineTo(x + 10 * dx, y + 10 * dy);
    pen.lineTo(x + 6.5 * dx + 3.5 * dy, y + 6.5 * dy - 3.5 * dx);
  }
  pen.stroke();
}

/** @param {Sheet} sheet @param {Point[]} sketch @param {Point | null} hover @param {string} shape */
function paintSketch(sheet, sketch, hover, shape) {
  const { pen } = sheet;
  const pixels = [...sketch, ...(hover === null ? [] : [hover])].map((place) => toPixel(sheet, place));
  onPixels(sheet);
  pen.beginPath();
  pixels.forEach(([x, y]) => pen.lineTo(x, y));
  if (shape === "area") {
    pen.closePath();
    pen.fillStyle = "rgb(255 255 255 / 0.3)";
    pen.fill();
  }
  for (const [colour, wide] of /** @type {[string, number][]} */ ([["#ffffff", 5], [INK, 2]])) {
    pen.strokeStyle = colour;
    pen.lineWidth = wide;
    pen.setLineDash([]);
    pen.stroke();
  }
  pen.lineWidth = 1.5;
  pen.fillStyle = "#ffffff";
  sketch.forEach((_, i) => dot(pen, ...pixels[i], i === 0 ? 8 : 5));
}

/** @param {Sheet} sheet @param {Point[]} stroke @param {number} wide [m] */
function paintStroke(sheet, stroke, wide) {
  const { pen } = sheet;
  onMetres(sheet);
  pen.beginPath();
  stroke.forEach(([x, y]) => pen.lineTo(x, y));
  if (stroke.length === 1) pen.lineTo(...stroke[0]);
  pen.lineCap = pen.lineJoin = "round";
  pen.setLineDash([]);
  pen.lineWidth = wide;
  pen.strokeStyle = "rgb(84 122 72 / 0.7)";
  pen.stroke();
}

/** @param {Sheet} sheet @param {Point} place @param {number} radius [m] */
function paintCircle(sheet, place, radius) {
  const { pen } = sheet;
  const [x, y] = toPixel(sheet, place);
  onPixels(sheet);
  pen.beginPath();
  pen.arc(x, y, radius * sheet.metre, 0, 2 * Math.PI);
  pen.lineWidth = 1.5;
  pen.setLineDash([4, 3]);
  pen.strokeStyle = INK;
  pen.stroke();
  pen.setLineDash([]);
}
