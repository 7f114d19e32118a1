// Winds as golfers write and read them.
/** @typedef {import("../records").Wind} Wind */

export const MOST_MPH = 60;
const POINTS = ["N", "NNE", "NE", "ENE", "E", "ESE", "SE", "SSE", "S", "SSW", "SW", "WSW", "W", "WNW", "NW", "NNW"];
const UNITS = /** @type {Record<string, number>} */ ({ mph: 1, kt: 1.15078, kph: 0.621371, mps: 2.23694 });
const HOW = "Write it like SW 14, 225 14 or calm.";
const SECTORS = [
  "hurting", "hurting from the right", "from the right", "helping from the right",
  "helping", "helping from the left", "from the left", "hurting from the left",
];

/** Directions from 0 up to 360. @param {number} degrees */
export function turned(degrees) {
  return ((degrees % 360) + 360) % 360;
}

/** Tokens of what was typed: numbers with their unit, compass points, and the words that tell the order.
 * @param {string} text */
function tokensOf(text) {
  const plain = text.toLowerCase()
    .replace(/miles (?:per|an) hour/g, "mph").replace(/km\/?h|kmh/g, "kph").replace(/m\/s/g, "mps")
    .replace(/knots?|kts?\b/g, "kt").replace(/degrees?|deg\b/g, "°")
    .replace(/north/g, "n").replace(/south/g, "s").replace(/east(?:erly)?/g, "e").replace(/west(?:erly)?/g, "w")
    .replace(/([nesw])erly\b/g, "$1")
    .replace(/\b([nesw]{1,2})[\s-]+(?=[nesw]{1,2}\b)/g, "$1");
  return plain.match(/\d+(?:\.\d+)?\s*(?:mph|kph|mps|kt|°)?|@|[a-z]+|\S/g) ?? [];
}

/** Read a wind as typed: the wind, or what is wrong with it in one plain line.
 * @param {string} text @returns {Wind | {error: string}} */
export function parseWind(text) {
  const tokens = tokensOf(text.trim());
  if (tokens.length === 0) return { error: `No wind is written. ${HOW}` };
  /** @type {number | null} */ let mph = null;
  /** @type {number | null} */ let from = null;
  /** @type {number[]} */ const bare = [];
  let fromNext = false;
  for (const token of tokens) {
    const [, digits, unit] = /^([\d.]+)\s*(\D*)$/.exec(token) ?? [];
    const point = POINTS.indexOf(token.toUpperCase());
    if (["calm", "still", "none", "nil"].includes(token)) mph = 0;
    else if (token === "@" || token === "from") fromNext = true;
    else if (["wind", "the", "a", "at", "of", ",", ";", ":", "."].includes(token)) continue;
    else if (point >= 0) from = point * 22.5;
    else if (digits === undefined) return { error: `“${token}” is not understood. ${HOW}` };
    else if (unit === "°" || (fromNext && unit === "")) [from, fromNext] = [Number(digits), false];
    else if (unit) mph = Number(digits) * UNITS[unit];
    else bare.push(Number(digits));
  }
  if (from === null && mph === null && bare.length === 2) {
    // Direction first, unless only the second number can be one.
    if (bare[1] > MOST_MPH && bare[0] <= MOST_MPH) bare.reverse();
  }
  if (from === null && bare.length > 0 && (mph !== null || bare.length > 1)) from = bare.shift() ?? null;
  if (mph === null) mph = bare.shift() ?? null;
  if (bare.length > 0) return { error: `There is a number too many. ${HOW}` };
  return checked(mph, from);
}

/** @param {number | null} mph @param {number | null} from @returns {Wind | {error: string}} */
function checked(mph, from) {
  if (mph === 0) return { mph: 0, from_deg: from === null || from > 360 ? 0 : turned(from) };
  if (mph === null) return { error: `How hard does it blow? ${HOW}` };
  if (from === null) return { error: `Where does it come from? ${HOW}` };
  if (mph > MOST_MPH) return { error: `Winds go up to ${MOST_MPH} mph here.` };
  if (from > 360) return { error: "Directions go from 0 to 360 degrees." };
  return { mph: Math.round(mph), from_deg: turned(from) };
}

/** The wind as the field shows it, which `parseWind` reads again. @param {Wind} wind */
export function windText(wind) {
  return wind.mph === 0 ? "calm" : `${wind.mph} mph from ${wind.from_deg}°`;
}

/** The nearest of sixteen compass points. @param {number} degrees */
export function compassPoint(degrees) {
  return POINTS[Math.round(turned(degrees) / 22.5) % 16];
}

/** How the wind blows on a hole. @param {Wind} wind @param {number} bearing of the pin [deg] */
export function windOnHole(wind, bearing) {
  return wind.mph === 0 ? "calm" : SECTORS[Math.round(turned(wind.from_deg - bearing) / 45) % 8];
}

/** The wind on a hole in words. @param {Wind} wind @param {number} bearing of the pin [deg] */
export function windWords(wind, bearing) {
  return wind.mph === 0 ? "calm" : `${windText(wind)}, ${windOnHole(wind, bearing)}`;
}
