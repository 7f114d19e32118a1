// Where things lie: on the ground [m], on the dial and on the picture [px].
/** @typedef {import("./records").Point} Point */
/** @typedef {import("./records").Wind} Wind */
import { turned } from "./planning/wind.js";

export const YARD = 0.9144;
export const DIAL_MPH = 30;
const RADIAN = Math.PI / 180;
const STILL = 0.5; // mph, under which the handle rests in the centre

/** Bearing from one point to another [deg]. @param {Point} from @param {Point} to */
export function bearing(from, to) {
  return turned(Math.atan2(to[0] - from[0], to[1] - from[1]) / RADIAN);
}

/** The point some metres from another along a bearing.
 * @param {Point} from @param {number} degrees @param {number} metres @returns {Point} */
export function pointAlong(from, degrees, metres) {
  return [from[0] + metres * Math.sin(degrees * RADIAN), from[1] + metres * Math.cos(degrees * RADIAN)];
}

/** How far one bearing lies right of another, between -180 and 180 [deg].
 * @param {number} degrees @param {number} of */
export function rightOf(degrees, of) {
  return turned(degrees - of + 180) - 180;
}

/** Where the handle of the wind lies from the centre of the dial, y down.
 * @param {Wind} wind @param {number} up bearing that is up on the picture [deg]
 * @param {number} radius of the rim @returns {Point} */
export function dialPoint(wind, up, radius) {
  const angle = (wind.from_deg - up) * RADIAN;
  const away = (Math.min(wind.mph, DIAL_MPH) / DIAL_MPH) * radius;
  return [away * Math.sin(angle), -away * Math.cos(angle)];
}

/** The wind whose handle lies at a place on the dial, in whole mph and degrees.
 * @param {Point} place from the centre, y down @param {number} up @param {number} radius
 * @param {Wind} before whose direction a calm keeps @returns {Wind} */
export function windAt(place, up, radius, before) {
  const mph = Math.min((Math.hypot(...place) / radius) * DIAL_MPH, DIAL_MPH);
  if (mph < STILL) return { mph: 0, from_deg: before.from_deg };
  const angle = Math.atan2(place[0], -place[1]) / RADIAN;
  return { mph: Math.round(mph), from_deg: turned(Math.round(angle + up)) };
}

/** The outline of a piece of a ring, for an SVG path; angles run right from the top [deg].
 * @param {number} inner @param {number} outer @param {number} from @param {number} to */
export function ringPath(inner, outer, from, to) {
  const at = (/** @type {number} */ r, /** @type {number} */ a) =>
    `${(r * Math.sin(a * RADIAN)).toFixed(2)} ${(-r * Math.cos(a * RADIAN)).toFixed(2)}`;
  return `M${at(outer, from)}A${outer} ${outer} 0 0 1 ${at(outer, to)}L${at(inner, to)}A${inner} ${inner} 0 0 0 ${at(inner, from)}Z`;
}

/** A heading a whole number of tenths of a degree from the best one, and no farther from it than `most`.
 * @param {number} heading @param {number} best @param {number} [most] */
export function keptNear(heading, best, most = 20) {
  const off = Math.max(-most, Math.min(most, rightOf(heading, best)));
  return Math.round(turned(best + Math.round(off * 10) / 10) * 1e6) / 1e6 % 360;
}

/** How far an aim is off the best. @param {number} heading @param {number} best */
export function offBest(heading, best) {
  const off = Math.round(rightOf(heading, best) * 10) / 10;
  if (off === 0) return "at the best aim";
  return `${Math.abs(off)}° ${off > 0 ? "right" : "left"} of the best`;
}

/** Where a circle crosses an upright line, the crossing above (-1) or below (1) its centre; on the circle's
 * shoulder where the line is farther out.
 * @param {Point} centre @param {number} radius @param {number} x @param {-1 | 1} side @returns {Point} */
export function crossing(centre, radius, x, side) {
  const dx = Math.max(-0.8 * radius, Math.min(0.8 * radius, x - centre[0]));
  return [centre[0] + dx, centre[1] + side * Math.sqrt(radius * radius - dx * dx)];
}

/** The arcs of a hole: yards from the tee, and to the pin. @param {number} length_yd @param {number} par */
export function arcs(length_yd, par) {
  const short = par === 3;
  const fromTee = [100, 150, 200, 250, 300, 350].filter((n) => n >= (short ? 100 : 150) && n < length_yd - 9);
  const toPin = (short ? [50] : [100, 150, 200]).filter((n) => length_yd - n > 49);
  return { fromTee, toPin };
}
