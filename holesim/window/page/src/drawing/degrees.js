// Latitude and longitude as people type or paste them.
/** @typedef {{latitude: number, longitude: number}} Place */

const NUMBER = String.raw`[-−–+]?\d+(?:\.\d+)?`;
const ONE = new RegExp(
  String.raw`^([NSEW])?\s*(${NUMBER})\s*(?:°|deg|d)?\s*(?:(\d+(?:\.\d+)?)\s*['′m])?\s*(?:(\d+(?:\.\d+)?)\s*(?:"|″|''|s(?=\s|$)))?\s*([NSEW])?$`, "i",
);

/** An angle, and the letter that says of what it is. @param {string} text @returns {{degrees: number, letter: string} | null} */
function angleIn(text) {
  const found = ONE.exec(text.trim());
  if (found === null) return null;
  const [, before, whole, minutes = "0", seconds = "0", after] = found;
  const plain = whole.replace(/^[−–]/, "-");
  const size = Math.abs(Number(plain)) + Number(minutes) / 60 + Number(seconds) / 3600;
  const letter = (before ?? after ?? "").toUpperCase();
  const turned = letter === "S" || letter === "W";
  return { degrees: plain.startsWith("-") !== turned ? -size : size, letter };
}

/** One angle typed alone; null where it is none. @param {string} text @param {"latitude" | "longitude"} of */
export function degreesIn(text, of) {
  const found = angleIn(text);
  if (found === null || Math.abs(found.degrees) > (of === "latitude" ? 85 : 180)) return null;
  const letters = of === "latitude" ? "NS" : "EW";
  return found.letter === "" || letters.includes(found.letter) ? found.degrees : null;
}

/** Both angles in one text, latitude first unless letters say otherwise: "-46.5, -112.25", "46.5 S 112.25 W"; null where
 * there are not two. @param {string} text @returns {Place | null} */
export function placeIn(text) {
  const plain = text.trim();
  const parts = /[,;]/.test(plain) ? plain.split(/\s*[,;]\s*/) : splitLetters(plain);
  if (parts.length !== 2) return null;
  const [one, other] = parts.map(angleIn);
  if (one === null || other === null) return null;
  const swapped = "EW".includes(one.letter || "-") || "NS".includes(other.letter || "-");
  const [latitude, longitude] = swapped ? [other, one] : [one, other];
  if ("EW".includes(latitude.letter || "-") || "NS".includes(longitude.letter || "-")) return null;
  return Math.abs(latitude.degrees) <= 85 && Math.abs(longitude.degrees) <= 180
    ? { latitude: latitude.degrees, longitude: longitude.degrees } : null;
}

/** @param {string} text */
function splitLetters(text) {
  const lettered = /^(.*?[NSEW])\s*(.+[NSEW])$/i.exec(text);
  if (lettered !== null) return lettered.slice(1);
  const first = /^([NSEW].*?)\s+([NSEW].*)$/i.exec(text);
  return first !== null ? first.slice(1) : text.split(/\s+/);
}
