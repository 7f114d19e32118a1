// Numbers as golfers read them.
/** @typedef {import("./records").Row} Row */
/** @typedef {import("./records").Total} Total */

const MINUS = "−";

/** A number with its sign. @param {number} value @param {number} [digits] */
export function signed(value, digits = 2) {
  const text = Math.abs(value).toFixed(digits);
  if (Number(text) === 0) return text;
  return `${value > 0 ? "+" : MINUS}${text}`;
}

/** A share in whole hundredths, with "under 1" for what is not quite none. @param {number} share */
export function inHundred(share) {
  if (share > 0 && share < 0.005) return "<1";
  return `${Math.round(share * 100)}`;
}

/** @param {string} text */
export function sentence(text) {
  return text === "" ? "" : `${text[0].toUpperCase()}${text.slice(1)}${/[.!?]$/.test(text) ? "" : "."}`;
}

/** @param {number} count */
export function thousands(count) {
  return String(count).replace(/\B(?=(\d{3})+$)/g, ",");
}

const TOO_LITTLE = /** @type {Record<string, number>} */ ({ mean: 0.02, par: 1, birdie: 1 });

/** What a choice is worth over its rival: strokes, or rounds in a hundred where the goal is a score; "usual" for the
 * usual strike that is kept where it costs too little to matter.
 * @param {number} saves @param {string} goal @param {boolean} usual */
export function worthText(saves, goal, usual) {
  const text = Math.abs(saves).toFixed(goal === "mean" ? 2 : 1);
  if (saves >= 0 || Number(text) === 0) return text;
  return usual && -saves < TOO_LITTLE[goal] ? "usual" : `${MINUS}${text}`;
}

/** What a held aim costs more than the best. @param {number} cost @param {string} goal */
export function costText(cost, goal) {
  if (goal !== "mean") return `costs ${Math.max(cost, 0).toFixed(1)} ${goal}s in 100`;
  return cost < 0.005 ? "costs nothing" : `costs ${cost.toFixed(2)}`;
}

/** How sure a row is, in words. @param {Row} row */
export function sureText(row) {
  if (row.rival === null) return "";
  return `${row.sure}, ${row.chance > 0.995 ? "over 99" : Math.round(row.chance * 100)} in 100`;
}

/** What a policy costs over this plan, in words. @param {Total} total @param {number} [digits] */
export function overText({ policy, over, half }, digits = 2) {
  if (policy === "this plan") return "";
  return `${signed(over, digits)}${half === null || half === undefined ? "" : ` ±${half.toFixed(digits)}`}`;
}

/** A name for a folder: small letters, digits and hyphens. @param {string} text */
export function folderName(text) {
  const plain = text.normalize("NFKD").replace(/[\u0300-\u036f]/g, "").toLowerCase();
  return plain.replace(/[^a-z0-9]+/g, "-").replace(/^-+|-+$/g, "").slice(0, 60).replace(/-+$/, "");
}
