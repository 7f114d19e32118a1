// What is written over the map and follows its view: how far, how wide, distances, the flag, names of strikes.
/** @typedef {import("../records").StrikeAnswer} StrikeAnswer */
/** @typedef {import("../records").Hole} Hole */
/** @typedef {import("../records").Tee} Tee */
/** @typedef {import("../records").Point} Point */
/** @typedef {import("../marks.js").Mark} Mark */
/** @typedef {{strike: StrikeAnswer, mark: Mark, heading: number}} Shown */
import { nothing, render, svg } from "lit-html";
import { drawDrives } from "./drives.js";
import { YARD, arcs, crossing } from "../geometry.js";

const COLUMN = [26, 34]; // px of the strip how far, for each strike, on a narrow picture and a wide one
const NARROW = 480; // px
const ROOMY = 560; // px, where the strips have room to be explained
const ROW = 22; // px of the strip how wide
const HEAD = 18;
const LETTER = 7; // px, about the width of one

/** Room that the strips take at the right and at the foot [px]. @param {number} strikes @param {number} width of the picture */
function stripRoom(strikes, width) {
  const column = COLUMN[width < NARROW ? 0 : 1];
  return { column, right: strikes === 0 ? 0 : column * strikes + 8, foot: strikes === 0 ? 0 : ROW * strikes + HEAD };
}

/** The room to keep free of the hole: at the foot and right for the strips, at the left for the dial [px]:
 * top, right, bottom, left. @param {number} strikes @param {number} width */
export function marginsOf(strikes, width) {
  const { right, foot } = stripRoom(strikes, width);
  return [44, right + 14, foot + 14, 116];
}

/** What is left of the picture between the strips [px]. @param {number} strikes
 * @param {Point} size @returns {import("./place.js").Box} */
export function areaOf(strikes, [width, height]) {
  const { right, foot } = stripRoom(strikes, width);
  return { left: 0, top: 0, right: width - right, bottom: height - foot };
}

/** Draw everything that lies over the map.
 * @param {SVGSVGElement} sheet @param {import("../hole_map.js").HoleMap} map @param {{hole: Hole, tee: Tee}} place
 * @param {Shown[]} shown @param {import("./place.js").Box[]} covered what lies over the sheet */
export function drawOverMap(sheet, map, { hole, tee }, shown, covered) {
  const at = map.pixel(tee.at);
  const pin = map.pixel(hole.pin);
  if (at === null || pin === null) return;
  const [width, height] = map.size();
  sheet.setAttribute("viewBox", `0 0 ${width} ${height}`);
  const yard = YARD * map.scale();
  const room = stripRoom(shown.length, width);
  const named = names(shown, at, yard, width - room.right);
  render(
    svg`${drawDrives(shown.map(({ strike, mark: { colour }, heading }) => ({ strike, colour, heading })), tee.at, map)}
      ${distances(at, pin, yard, arcs(tee.length_yd, hole.par), { right: width - room.right, covered, named })}
      <g transform="translate(${pin[0]} ${pin[1]})"><path class="flag" d="M-1 0V-34H1V0ZM1-34 19-27.5 1-21Z" /><circle class="cup" r="2.6" /></g>
      ${named.map(({ label, mark, left, y }) => svg`<g transform="translate(${left} ${y})">
        <path class="name-mark" d=${mark.shape} fill=${mark.colour} /><text class="strike-name" x="12" y="5">${label}</text></g>`)}
      ${shown.length === 0 ? nothing : svg`
        <rect class="strip" x=${width - room.right} y="0" width=${room.right} height=${height} />
        <rect class="strip" x="0" y=${height - room.foot} width=${width - room.right} height=${room.foot} />
        <text class="strip-name" x=${width - room.right / 2} y="13" text-anchor="middle">yd</text>
        <text class="strip-name" x="8" y=${height - room.foot + 13}>${width < ROOMY
    ? "yd from the line to the flag; nine in ten between"
    : "yd from the line to the flag; nine in ten finish between the numbers, half on the thick bar"}</text>`}
      ${shown.map(({ strike, mark }, i) => howFar(strike, mark, at[1], yard, width - room.right + 4 + room.column * (i + 0.5)))}
      ${shown.map(({ strike, mark }, i) => howWide(strike, mark, at[0], yard, height - room.foot + HEAD + ROW * (i + 0.4)))}`,
    sheet,
  );
}

/** Distances from the tee at the left and to the pin at the right, beside what lies over the sheet there.
 * @param {Point} at @param {Point} pin @param {number} yard @param {ReturnType<typeof arcs>} of
 * @param {{right: number, covered: import("./place.js").Box[], named: ReturnType<typeof names>}} about what else lies
 *   there; none is written beside a strike's name */
function distances(at, pin, yard, { fromTee, toPin }, { right, covered, named }) {
  const beside = (/** @type {Point} */ centre, /** @type {number} */ radius, /** @type {number} */ x, /** @type {-1 | 1} */ way) => {
    const place = crossing(centre, radius, x, way);
    const box = covered.find((one) => place[0] < one.right + 8 && place[0] > one.left - 8
      && place[1] > one.top && place[1] < one.bottom + 14);
    if (box === undefined) return place;
    if (way > 0) return crossing(centre, radius, box.left - 6, way);
    // Above what covers it, or right of it where the arc is too flat.
    const above = centre[0] - Math.sqrt(Math.max(radius ** 2 - (centre[1] - box.top + 2) ** 2, 0));
    return crossing(centre, radius, Math.min(above, box.right + 6), way);
  };
  const labels = [
    ...fromTee.map((n) => ({ text: `${n}`, end: "start", place: beside(at, n * yard, 8, -1) })),
    ...toPin.map((n) => ({ text: `${n} to pin`, end: "end", place: beside(pin, n * yard, right - 8, 1) })),
  ];
  const clear = labels.filter(({ text, end, place: [x, y] }) => {
    const start = end === "end" ? x - LETTER * text.length : x;
    return !named.some((name) => Math.abs(name.y - y + 4) < 16
      && name.left - 10 < start + LETTER * text.length && name.left + name.wide > start);
  });
  return clear.map(({ text, end, place: [x, y] }) =>
    svg`<text class="distance" x=${x} y=${y - 4} text-anchor=${end}>${text}</text>`);
}

/** Where the names of the strikes stand: at the right of their drives, the longest first, none over another.
 * @param {Shown[]} shown @param {Point} at @param {number} yard @param {number} right that they end at */
function names(shown, at, yard, right) {
  const wide = 18 + 10 * Math.max(0, ...shown.map(({ strike }) => strike.label.length));
  const beside = at[0] + yard * Math.max(...shown.map(({ strike }) => strike.across_yd[4])) + 20;
  const left = Math.min(beside, right - wide);
  let lowest = -Infinity;
  return [...shown].sort((a, b) => b.strike.along_yd[2] - a.strike.along_yd[2]).map(({ strike: { label, along_yd }, mark }) => {
    lowest = Math.max(lowest + 20, at[1] - yard * along_yd[2]);
    return { label, mark, left, wide, y: lowest };
  });
}

/** @param {StrikeAnswer} strike @param {Mark} mark @param {number} foot y of the tee @param {number} yard @param {number} x */
function howFar({ along_yd: yards }, mark, foot, yard, x) {
  const [low, from, middle, to, high] = yards.map((n) => foot - n * yard);
  return svg`<g stroke=${mark.colour} fill=${mark.colour}>
    <path class="thin" d="M${x} ${low}V${high}" /><path class="thick" d="M${x} ${from}V${to}" />
    <path class="tick" d="M${x - 8} ${middle}H${x + 8}" />
    <text class="number" x=${x} y=${high - 5} text-anchor="middle">${yards[4].toFixed(0)}</text>
    <text class="number" x=${x} y=${low + 13} text-anchor="middle">${yards[0].toFixed(0)}</text>
    <g transform="translate(${x} ${high - 24}) scale(0.8)"><path class="plain" d=${mark.shape} /></g></g>`;
}

/** @param {StrikeAnswer} strike @param {Mark} mark @param {number} line x of the line to the pin @param {number} yard
 * @param {number} y */
function howWide({ across_yd: yards }, mark, line, yard, y) {
  const [low, from, middle, to, high] = yards.map((n) => line + n * yard);
  return svg`<g stroke=${mark.colour} fill=${mark.colour}>
    <path class="thin" d="M${low} ${y}H${high}" /><path class="thick" d="M${from} ${y}H${to}" />
    <path class="tick" d="M${middle} ${y - 7}V${y + 7}" />
    <text class="number" x=${low - 20} y=${y + 4} text-anchor="end">${side(yards[0])}</text>
    <text class="number" x=${high + 5} y=${y + 4}>${side(yards[4])}</text>
    <g transform="translate(${low - 10} ${y}) scale(0.8)"><path class="plain" d=${mark.shape} /></g></g>`;
}

/** @param {number} yards right of the line */
function side(yards) {
  return `${Math.abs(yards).toFixed(0)} ${yards < 0 ? "left" : "right"}`;
}

/** What the strips of a strike say, in words. @param {StrikeAnswer} strike */
export function stripWords({ label, along_yd: along, across_yd: across }) {
  const [low, from, , to, high] = along.map((yards) => yards.toFixed(0));
  return `${label}: half of the drives go ${from} to ${to} yd, nine in ten ${low} to ${high}; `
    + `half finish ${side(across[1])} to ${side(across[3])} of the line to the flag, nine in ten ${side(across[0])} to ${side(across[4])}.`;
}
