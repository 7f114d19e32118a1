// How ground, finishes and places are painted: the quiet tints of the printed pictures.
import Fill from "ol/style/Fill.js";
import RegularShape from "ol/style/RegularShape.js";
import Stroke from "ol/style/Stroke.js";
import Style from "ol/style/Style.js";

const INK = "#1a1a1a";
const QUIET = "#565656";

/** Fill and edge of each kind of ground. @type {Record<string, [string, string]>} */
export const GROUND = {
  rough: ["#c3d4a6", "#b3c695"],
  heavy_rough: ["#abbb8c", "#abbb8c"],
  trees: ["#8ba57f", "#7b966f"],
  fairway: ["#dbe8c3", "#b3c890"],
  tee: ["#eaf2d9", "#8fa577"],
  green: ["#f1f8e0", "#7f9a68"],
  bunker: ["#f8ecc6", "#bfa974"],
  yellow: ["#cfdfe9", "#c29b2b"],
  red: ["#cfdfe9", "#b3605a"],
  out: ["#e4e1dc", "#a8a29a"],
};
const ORDER = Object.keys(GROUND);

/** The tint of ground in no outline. @type {Record<string, string>} */
export const BARE = Object.fromEntries(ORDER.map((ground) => [ground, GROUND[ground][0]]));

/** Slanting lines over a tint. @param {string} tint @param {string} line */
export function hatched(tint, line) {
  const tile = document.createElement("canvas");
  const size = Math.round(10 * devicePixelRatio);
  tile.width = tile.height = size;
  const pen = tile.getContext("2d");
  if (pen === null) return tint;
  pen.fillStyle = tint;
  pen.fillRect(0, 0, size, size);
  pen.strokeStyle = line;
  pen.lineWidth = 1.1 * devicePixelRatio;
  for (const shift of [-size, 0, size]) {
    pen.moveTo(shift - 1, size + 1);
    pen.lineTo(shift + size + 1, -1);
  }
  pen.stroke();
  return pen.createPattern(tile, "repeat") ?? tint;
}

/** @param {string} ground */
export function groundStyle(ground) {
  const [tint, edge] = GROUND[ground] ?? GROUND.rough;
  const color = ground === "out" ? hatched(tint, edge) : tint;
  const width = ground === "red" || ground === "yellow" ? 1.8 : 1;
  const lineDash = ground === "yellow" ? [7, 4] : undefined; // told from red without its hue
  return new Style({ fill: new Fill({ color }), stroke: new Stroke({ color: edge, width, lineDash }), zIndex: ORDER.indexOf(ground) });
}

const FAINT = `${QUIET}8c`;
export const ARC_STYLES = {
  tee: new Style({ stroke: new Stroke({ color: FAINT, width: 1 }) }),
  pin: new Style({ stroke: new Stroke({ color: FAINT, width: 1.2, lineDash: [1.5, 4] }) }),
};

const EDGE = new Stroke({ color: "#ffffff", width: 1.2 });
export const TEE_STYLE = new Style({
  image: new RegularShape({ points: 4, radius: 6.5, angle: Math.PI / 4, fill: new Fill({ color: INK }), stroke: EDGE }),
});
