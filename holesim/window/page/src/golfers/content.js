// What a golfer's file holds, as nested tables: read and changed by place, such as ["strikes", "up", "attack_deg"].
/** @typedef {import("./records").Content} Content */
import { numberIn } from "../drawing/form_parts.js";

/** @param {Content} content @param {string[]} place @returns {any} undefined where nothing stands */
export function valueAt(content, place) {
  return place.reduce((/** @type {any} */ table, key) => table?.[key], content);
}

/** The content with another value at a place, or without it; tables that then hold nothing go, too, but for a strike.
 * @param {Content} content @param {string[]} place @param {unknown} value @returns {Content} */
export function withValue(content, place, value) {
  const [key, ...rest] = place;
  const next = { ...content };
  if (rest.length > 0) {
    const table = withValue(content[key] ?? {}, rest, value);
    if (Object.keys(table).length > 0 || (value === undefined && place.length === 3 && key === "strikes")) next[key] = table;
    else delete next[key];
    if (place.length === 3 && key === "strikes" && Object.keys(table[rest[0]] ?? {}).length === 0) next[key] = { ...table, [rest[0]]: {} };
  } else if (value === undefined) delete next[key];
  else next[key] = value;
  return next;
}

/** The content with a strike that is hit, or without it. @param {Content} content @param {string} strike @param {boolean} hit */
export function withStrike(content, strike, hit) {
  const { [strike]: held, ...others } = content.strikes ?? {};
  /** @type {Content} */
  const next = { ...content, strikes: hit ? { ...others, [strike]: held ?? {} } : others };
  if (!hit && next.usual === strike) delete next.usual;
  if (Object.keys(next.strikes).length === 0) delete next.strikes;
  return next;
}

/** The content with how far a club goes said one way, and not the other.
 * @param {Content} content @param {string[]} table @param {"carry_yd" | "club_speed_mph"} key @param {number | undefined} value */
export function withReach(content, table, key, value) {
  const other = key === "carry_yd" ? "club_speed_mph" : "carry_yd";
  const cleared = value === undefined ? content : withValue(content, [...table, other], undefined);
  return withValue(cleared, [...table, key], value);
}

/** A handicap index as golfers write it: +2 is better than scratch. @param {number | undefined} index */
export function handicapText(index) {
  if (index === undefined) return "";
  return index < 0 ? `+${-index}` : String(index);
}

/** A handicap index as a file has it; null where it is no number. @param {string} text */
export function handicapIn(text) {
  const value = numberIn(text);
  return value === null || !text.trim().startsWith("+") ? value : -value || 0;
}

/** What stands in an empty field: what is usual, and how unsure that is. @param {[number, number] | undefined} usual @param {number} [scale] */
export function usualText(usual, scale = 1) {
  if (usual === undefined) return "";
  const [value, error] = usual.map((number) => Number((number * scale).toPrecision(3)));
  return error > 0 ? `${value} ±${Number(error.toPrecision(2))}` : String(value);
}
