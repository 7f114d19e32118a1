// The tags that matter to a drive, as fields with units.
/** @typedef {import("../records").Feature} Feature */
/** @typedef {import("../records").Tags} Tags */
/** A field: `read` gives its text from the tags, `write` the tags from its text; empty is not said.
 * @typedef {{name: string, unit: string, choices?: string[], number?: [number, number], read: (tags: Tags) => string,
 *   write: (text: string) => Record<string, string | null>}} Field */
import { YARD } from "../geometry.js";
import { isLine } from "./shapes.js";

const FOOT = 0.3048;
const TURF = ["fairway", "green", "tee", "boundary", "rough"];

/** A length in a file, in metres unless it says feet. @param {string | undefined} value */
export function metresOf(value) {
  const found = /^\s*(-?\d+(?:\.\d+)?)\s*(ft|')?/.exec(value ?? "");
  if (found === null) return null;
  return Number(found[1]) * (found[2] === undefined ? 1 : FOOT);
}

/** @param {number} value @param {number} digits */
const short = (value, digits) => String(Number(value.toFixed(digits)));

/** A length that is typed in another unit than the file has.
 * @param {string} name @param {string} key @param {string} unit @param {number} metres of the unit
 * @param {[number, number]} span @returns {Field} */
function length(name, key, unit, metres, span) {
  return {
    name, unit, number: span,
    read: (tags) => {
      const value = metresOf(tags[key]);
      return value === null ? "" : short(value / metres, 1);
    },
    write: (typed) => ({ [key]: typed === "" ? null : short(Number(typed) * metres, 2) }),
  };
}

/** @param {string} name @param {string} key @param {Partial<Field>} [more] @returns {Field} */
function text(name, key, more = {}) {
  return { name, unit: "", read: (tags) => tags[key] ?? "", write: (value) => ({ [key]: value === "" ? null : value }), ...more };
}

const FIRMNESS = text("turf", "firmness", { choices: ["", "soft", "medium", "firm"] });
const ELEVATION = length("elevation", "ele", "ft", FOOT, [-1500, 30_000]);

/** @param {number} feet */
export const elevationTags = (feet) => ({ ele: short(feet * FOOT, 2) });

/** The fields of a feature. @param {Pick<Feature, "kind" | "geometry">} feature @returns {Field[]} */
export function fieldsOf({ kind, geometry }) {
  /** @type {Field[]} */ const fields = [];
  if (kind === "line") {
    fields.push(text("hole", "ref", { number: [1, 36] }), text("par", "par", { choices: ["", "3", "4", "5", "6"] }),
      text("stroke index", "handicap", { number: [1, 36] }));
  }
  if (kind === "tee") fields.push(text("name of the tee", "tee"));
  if (kind === "boundary") fields.push(text("name of the course", "name"));
  if (kind === "trees") fields.push(length("height", "height", "ft", FOOT, [3, 300]));
  if (geometry !== null && isLine(geometry) && (kind === "red" || kind === "yellow")) fields.push(length("width", "width", "yd", YARD, [0.5, 60]));
  if (TURF.includes(kind) && geometry?.type !== "Point") fields.push(FIRMNESS);
  if (kind === "spot" || kind === "tee" || kind === "green") fields.push(ELEVATION);
  return fields;
}
