// Who plays with whom and in which order, and what changes when two change places. Players by their places in the squad.
/** @typedef {import("../records").LineUp} LineUp */
/** @typedef {{kind: "seat" | "bench" | "side", side: number, seat: number}} Place */

/** The line-up of a draw. @param {number[][]} sides @param {number} squad how many could play @returns {LineUp} */
export function lineUpOf(sides, squad) {
  const playing = new Set(sides.flat());
  const bench = Array.from({ length: squad }, (_, player) => player).filter((player) => !playing.has(player));
  return { sides: sides.map((side) => [...side]), bench };
}

/** A place by its key: `seat 1 0`, `bench 0 2` or, for a whole side, `side 1 0`. @param {string} key @returns {Place} */
export function placeOf(key) {
  const [kind, side, seat] = key.split(" ");
  return { kind: /** @type {Place["kind"]} */ (kind), side: Number(side), seat: Number(seat) };
}

/** The keys of a line-up's places, row by row: where whole sides move, each row begins with its side.
 * @param {LineUp} lineUp @param {boolean} whole */
export function rowsOf(lineUp, whole) {
  const rows = lineUp.sides.map((side, i) => [...(whole ? [`side ${i} 0`] : []), ...side.map((_, k) => `seat ${i} ${k}`)]);
  return lineUp.bench.length === 0 ? rows : [...rows, lineUp.bench.map((_, k) => `bench 0 ${k}`)];
}

/** Whether whole sides are moved: pairs that meet opponents in a known order. @param {LineUp} lineUp @param {boolean} ordered */
export function movesSides(lineUp, ordered) {
  return ordered && lineUp.sides.length > 1 && lineUp.sides[0].length > 1;
}

/** The players at a place. @param {LineUp} lineUp @param {string} key */
export function playersAt(lineUp, key) {
  const { kind, side, seat } = placeOf(key);
  if (kind === "side") return lineUp.sides[side] ?? [];
  const player = kind === "bench" ? lineUp.bench[seat] : lineUp.sides[side]?.[seat];
  return player === undefined ? [] : [player];
}

/** Why two places cannot change, or nothing. @param {string} held @param {string} onto @param {boolean} ordered */
export function whyNot(held, onto, ordered) {
  const [one, other] = [placeOf(held), placeOf(onto)];
  if (held === onto) return "put back";
  if ((one.kind === "side") !== (other.kind === "side")) return "a whole side changes places with a whole side, a player with a player";
  if (one.kind === "bench" && other.kind === "bench") return "both sit out: nothing changes";
  if (one.kind === "seat" && other.kind === "seat" && one.side === other.side) return "they play together already";
  if (one.kind === "side" && !ordered) return "the order does not matter here";
  return "";
}

/** A line-up after two places have changed. @param {LineUp} lineUp @param {string} held @param {string} onto @returns {LineUp} */
export function changed(lineUp, held, onto) {
  const next = { sides: lineUp.sides.map((side) => [...side]), bench: [...lineUp.bench] };
  const [one, other] = [placeOf(held), placeOf(onto)];
  if (one.kind === "side") {
    [next.sides[one.side], next.sides[other.side]] = [next.sides[other.side], next.sides[one.side]];
    return next;
  }
  const list = (/** @type {Place} */ at) => (at.kind === "bench" ? next.bench : next.sides[at.side]);
  const [mine, theirs] = [list(one), list(other)];
  [mine[one.seat], theirs[other.seat]] = [theirs[other.seat], mine[one.seat]];
  return next;
}

/** The places with which a held one may change. @param {LineUp} lineUp @param {string} held @param {boolean} ordered */
export function targets(lineUp, held, ordered) {
  return rowsOf(lineUp, movesSides(lineUp, ordered)).flat().filter((key) => whyNot(held, key, ordered) === ""
    && changesAnything(lineUp, held, key, ordered));
}

/** Two single players who both play change nothing where the order does not matter.
 * @param {LineUp} lineUp @param {string} held @param {string} onto @param {boolean} ordered */
function changesAnything(lineUp, held, onto, ordered) {
  return ordered || lineUp.sides[0].length > 1 || held.startsWith("bench") || onto.startsWith("bench");
}

/** The place that an arrow key goes to. @param {string[][]} rows @param {string} key @param {string} arrow */
export function stepped(rows, key, arrow) {
  const row = rows.findIndex((keys) => keys.includes(key));
  if (row < 0) return key;
  const column = rows[row].indexOf(key);
  if (arrow === "ArrowLeft") return rows[row][Math.max(column - 1, 0)];
  if (arrow === "ArrowRight") return rows[row][Math.min(column + 1, rows[row].length - 1)];
  const to = rows[Math.min(Math.max(row + (arrow === "ArrowUp" ? -1 : 1), 0), rows.length - 1)];
  return to[Math.min(column, to.length - 1)];
}

/** @param {LineUp} one @param {LineUp} other */
export function sameLineUp(one, other) {
  return JSON.stringify(one.sides) === JSON.stringify(other.sides);
}
