// The numbers of a hole's hazards, beside their outlines on the map, and marks while something is placed.
/** @typedef {import("../records").Point} Point */
/** @typedef {import("./hazard_numbers.js").Listed} Listed */
/** @typedef {import("./form_parts.js").PlacingMark} PlacingMark */
import { createCanvasLayer } from "./canvas_layer.js";
import { onPixels, toPixel, words } from "./paint.js";
import { runsOf } from "./shapes.js";

const OVER = 5; // above the drawing's own layers
const HIGH = 15; // px of a label
const FONT = "bold 12px system-ui, sans-serif";

/** A label and how large it is. @typedef {{text: string, x: number, y: number, wide: number}} Label */

/** Labels moved down until none lies on another. @param {Label[]} labels */
export function spread(labels) {
  /** @type {Label[]} */ const placed = [];
  for (const label of [...labels].sort((a, b) => a.y - b.y)) {
    let { y } = label;
    for (const one of placed) {
      if (Math.abs(one.x - label.x) < (one.wide + label.wide) / 2 + 4 && Math.abs(one.y - y) < HIGH) y = one.y + HIGH;
    }
    placed.push({ ...label, y });
  }
  return placed;
}

/** Where a label stands beside some corners: at the side of the hole on which they lie, within the view.
 * @param {Point[]} corners [px] @param {string} side @param {number} wide of the label [px] @param {number} width of the view [px] @returns {Point} */
export function besidePlace(corners, side, wide, width) {
  const [xs, ys] = [corners.map(([x]) => x), corners.map(([, y]) => y)];
  const x = side === "left" ? Math.min(...xs) - wide / 2 - 5 : Math.max(...xs) + wide / 2 + 5;
  return [Math.max(wide / 2 + 3, Math.min(width - wide / 2 - 3, x)), (Math.min(...ys) + Math.max(...ys)) / 2];
}

/** @param {import("./drawing_map.js").DrawingMap} map @param {() => Listed[]} numbers @param {() => PlacingMark[]} marks */
export function createNumberLabels(map, numbers, marks) {
  const sheet = createCanvasLayer((on) => {
    onPixels(on);
    const [width, height] = map.size();
    on.pen.font = FONT;
    /** @type {Label[]} */ const labels = [];
    for (const { feature, numbers: { from_yd, to_yd, side } } of numbers()) {
      const corners = feature.geometry === null ? [] : runsOf(feature.geometry).flatMap(({ points }) => points.map((place) => toPixel(on, place)));
      if (!corners.some(([x, y]) => x > 0 && y > 0 && x < width && y < height)) continue;
      const text = `${Math.round(from_yd)}–${Math.round(to_yd)}`;
      const wide = on.pen.measureText(text).width;
      const [x, y] = besidePlace(corners, side, wide, width);
      labels.push({ text, x, y, wide });
    }
    for (const { text, x, y } of spread(labels)) words(on, text, x, y, FONT);
    for (const { at, text } of marks()) paintMark(on, toPixel(on, at), text);
  });
  sheet.layer.setZIndex(OVER);
  map.addLayerUnder(sheet.layer);
  return { again: sheet.again };
}

/** A ring with a cross, and what it marks. @param {import("./paint.js").Sheet} sheet @param {Point} at @param {string} text */
function paintMark(sheet, [x, y], text) {
  const { pen } = sheet;
  for (const [colour, wide] of /** @type {const} */ ([["#ffffff", 5], ["#1a1a1a", 2]])) {
    pen.strokeStyle = colour;
    pen.lineWidth = wide;
    pen.beginPath();
    pen.arc(x, y, 9, 0, 2 * Math.PI);
    for (const [dx, dy] of [[1, 0], [-1, 0], [0, 1], [0, -1]]) {
      pen.moveTo(x + 3 * dx, y + 3 * dy);
      pen.lineTo(x + 14 * dx, y + 14 * dy);
    }
    pen.stroke();
  }
  words(sheet, text, x + 18, y - 14, "bold 14px system-ui, sans-serif");
}
