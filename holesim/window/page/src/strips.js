// What is written over the map and follows its view: how far, how wide, distances, the flag, names of strikes.
/** @typedef {import("./records").StrikeAnswer} StrikeAnswer */
/** @typedef {import("./records").Hole} Hole */
/** @typedef {import("./records").Tee} Tee */
/** @typedef {import("./records").Point} Point */
/** @typedef {import("./marks.js").Mark} Mark */
/** @typedef {{strike: StrikeAnswer, mark: Mark, heading: number}} Shown */
import { nothing, render, svg } from "lit-html";
import { drawDrives } from "./drives.js";
import { YARD, arcs, crossing } from "./geometry.js";

const COLUMN = [26, 34]; // px of the strip how far, for each strike, on a narrow picture and a wide one
const NARROW = 480; // px
const WIDE = 700; // px, where the dial is clear of the hole anyway
const ROW = 22; // px of the strip how wide
const HEAD = 18;

/** Room that the strips take at the right and at the foot [px]. @param {number} strikes @param {number} width of the picture */
function stripRoom(strikes, width) {
  const column = COLUMN[width < NARROW ? 0 : 1];
  return { column, right: strikes === 0 ? 0 : column * strikes + 8, foot: strikes === 0 ? 0 : ROW * strikes + HEAD };
}

/** The room to keep free of the hole: at the foot and right for the strips, at the left of a narrow picture for
 * the dial [px]: top, right, bottom, left. @param {number} strikes @param {number} width */
export function marginsOf(strikes, width) {
  const { right, foot } = stripRoom(strikes, width);
  const left = width < NARROW ? 120 : 150;
  return [38, right + 14, foot + 14, width < WIDE ? left : 14];
}

/** Draw everything that lies over the map.
 * @param {SVGSVGElement} sheet @param {import("./hole_map.js").HoleMap} map @param {{hole: Hole, tee: Tee}} place
 * @param {Shown[]} shown @param {DOMRect} covered what the wind's dial covers of the sheet */
export function drawOverMap(sheet, map, { hole, tee }, shown, covered) {
  const at = map.pixel(tee.at);
  const pin = map.pixel(hole.pin);
  if (at === null || pin === null) return;
  const [width, height] = map.size();
  sheet.setAttribute("viewBox", `0 0 ${width} ${height}`);
  const yard = YARD * map.scale();
  const room = stripRoom(shown.length, width);
  render(
    svg`${drawDrives(shown.map(({ strike, mark: { colour }, heading }) => ({ strike, colour, heading })), tee.at, map)}
      ${distances(at, pin, yard, arcs(tee.length_yd, hole.par), width - room.right, covered)}
      <g transform="translate(${pin[0]} ${pin[1]})"><path class="flag" d="M-1 0V-34H1V0ZM1-34 19-27.5 1-21Z" /><circle class="cup" r="2.6" /></g>
      ${names(shown, at, yard)}
      ${shown.length === 0 ? nothing : svg`
        <rect class="strip" x=${width - room.right} y="0" width=${room.right} height=${height} />
        <rect class="strip" x="0" y=${height - room.foot} width=${width - room.right} height=${room.foot} />
        <text class="strip-name" x=${width - room.right / 2} y="13" text-anchor="middle">yd</text>
        <text class="strip-name" x="8" y=${height - room.foot + 13}>how wide, yd from the line to the flag</text>`}
      ${shown.map(({ strike, mark }, i) => howFar(strike, mark, at[1], yard, width - room.right + 4 + room.column * (i + 0.5)))}
      ${shown.map(({ strike, mark }, i) => howWide(strike, mark, at[0], yard, height - room.foot + HEAD + ROW * (i + 0.4)))}`,
    sheet,
  );
}

/** Distances from the tee at the left, or right of the dial where it covers them, and to the pin at the right.
 * @param {Point} at @param {Point} pin @param {number} yard @param {ReturnType<typeof arcs>} of
 * @param {number} right @param {DOMRect} covered */
function distances(at, pin, yard, { fromTee, toPin }, right, covered) {
  const besideDial = (/** @type {number} */ radius) => {
    const place = crossing(at, radius, 8, -1);
    const hidden = place[0] < covered.right && place[1] > covered.top && place[1] < covered.bottom + 14;
    return hidden ? crossing(at, radius, covered.right + 6, -1) : place;
  };
  const labels = [
    ...fromTee.map((n) => ({ text: `${n}`, end: "start", place: besideDial(n * yard) })),
    ...toPin.map((n) => ({ text: `${n} to pin`, end: "end", place: crossing(pin, n * yard, right - 8, 1) })),
  ];
  return labels.map(({ text, end, place: [x, y] }) =>
    svg`<text class="distance" x=${x} y=${y - 4} text-anchor=${end}>${text}</text>`);
}

/** The names of the strikes at the right of their drives, the longest first, none over another.
 * @param {Shown[]} shown @param {Point} at @param {number} yard */
function names(shown, at, yard) {
  let lowest = -Infinity;
  return [...shown].sort((a, b) => b.strike.along_yd[2] - a.strike.along_yd[2]).map(({ strike, mark }) => {
    lowest = Math.max(lowest + 18, at[1] - yard * strike.along_yd[2]);
    const x = at[0] + yard * strike.across_yd[4] + 12;
    return svg`<g fill=${mark.colour}><text class="strike-name" x=${x} y=${lowest}>${strike.label}</text></g>`;
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
