// The rows of a round's file, as text and in words; pure functions.
/** @typedef {import("../records").Drive} Drive */
/** @typedef {import("../records").PlanRound} PlanRound */
/** @typedef {import("../records").PlannedTee} PlannedTee */

const COLUMNS = ["date", "round", "hole", "tee", "club", "strike", "lie", "total_yd", "side_yd", "score"];
/** What a club that the plan does not have is called. */
export const OTHER = "another club";

/** Each lie as golfers call it. @type {Record<string, string>} */
export const LIE_WORDS = {
  fairway: "fairway", green: "green", rough: "rough", heavy_rough: "heavy rough", sand: "sand", trees: "trees",
  penalty: "water or penalty area", out: "out or lost",
};

/** A side as golfers write it: 27 L, 12 R. @param {number} side */
export function sideText(side) {
  return side === 0 ? "0" : `${Math.abs(side)} ${side < 0 ? "L" : "R"}`;
}

/** A side as it was typed: "27 L", "12R", "-27" or "right 12"; null where it is none. @param {string} text */
export function readSide(text) {
  const found = /^\s*(?:(left|right|l|r)\s*)?([+-]?\d+(?:\.\d+)?)\s*(?:yd|yards?)?\s*(left|right|l|r)?\s*$/i.exec(text.replace("−", "-"));
  if (found === null || (found[1] !== undefined && found[3] !== undefined)) return null;
  const way = (found[1] ?? found[3] ?? "").toLowerCase();
  const far = Number(found[2]);
  if (way !== "" && far < 0) return null;
  return way.startsWith("l") ? 0 - far : far;
}

/** Where a drive finished, in words. @param {Drive} drive */
export function finishText({ total_yd, side_yd, lie }) {
  const parts = [];
  if (total_yd !== null && side_yd !== null) {
    const side = Math.round(side_yd);
    parts.push(`${Math.round(total_yd)} yards, ${side === 0 ? "on the aim line" : `${Math.abs(side)} ${side < 0 ? "left" : "right"} of the aim`}`);
  }
  if (lie !== "") parts.push(LIE_WORDS[lie] ?? lie);
  return parts.join(", ");
}

/** A drive of which nothing is known but what was planned. @param {PlannedTee | undefined} planned @returns {Drive} */
export function noDrive(planned) {
  return { label: planned?.choice ?? "", lie: "", total_yd: null, side_yd: null, at: null, score: null };
}

/** Text that no spreadsheet takes for a formula, as the reader of tables takes it off again. @param {string} text */
const guarded = (text) => (/^'*[=+@\t\r-]/.test(text) && Number.isNaN(Number(text)) ? `'${text}` : text);

/** A cell of a table of comma-separated values. @param {string} text */
const cell = (text) => (/[",\n\r]/.test(text) ? `"${guarded(text).replaceAll('"', '""')}"` : guarded(text));

/** The file of a round: a row for each hole of which anything is known.
 * @param {{plan: string, opened: PlanRound, tee: string, date: string, rows: Record<number, Drive>}} round */
export function roundText({ plan, opened, tee, date, rows }) {
  const lines = [COLUMNS.join(",")];
  for (const { hole, tees, planned } of opened.holes) {
    const drive = rows[hole];
    if (drive === undefined) continue;
    const own = tees.some(({ name }) => name === tee) ? tee : tees[0].name;
    const strike = planned[own].strikes.find(({ label }) => label === drive.label);
    const whole = drive.total_yd !== null && drive.side_yd !== null;
    lines.push([
      date, plan.replace(/\/plan\.json$/, ""), String(hole), own, strike?.club ?? drive.label,
      strike?.club === "driver" ? strike.strike : "", drive.lie,
      whole ? String(drive.total_yd) : "", whole ? sideText(Number(drive.side_yd)) : "", drive.score === null ? "" : String(drive.score),
    ].map(cell).join(","));
  }
  return `${lines.join("\n")}\n`;
}

/** The name of a round's file: its date and who played. @param {string} date @param {string} who */
export function roundName(date, who) {
  const plain = who.normalize("NFC").replace(/[<>:"|?*\\/.]/g, " ").replace(/\s+/g, " ").trim().slice(0, 60).trim();
  return `rounds/${date} ${plain || "round"}.csv`;
}

/** The plan's file that a round names. @param {string | null} named */
export function planOf(named) {
  return named === null || named === "" ? "" : `${named}/plan.json`;
}

/** Today as the clock on the wall has it. @param {Date} [now] */
export function today(now = new Date()) {
  const two = (/** @type {number} */ number) => String(number).padStart(2, "0");
  return `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
}

/** The address of a round in the page. @param {{plan: string, round: string, hole: number}} at */
export function roundHash({ plan, round, hole }) {
  if (plan === "") return "#/after";
  const words = new URLSearchParams({ plan, ...(round === "" ? {} : { round }), hole: String(hole) });
  return `#/after?${words}`;
}

/** @param {string} hash @returns {{plan: string, round: string, hole: number}} */
export function readHash(hash) {
  const words = new URLSearchParams(hash.split("?")[1] ?? "");
  return { plan: words.get("plan") ?? "", round: words.get("round") ?? "", hole: Number(words.get("hole") ?? 0) };
}
