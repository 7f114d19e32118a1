// Drives marked by hand: which strike it was, or that it counts for nothing.
/** @typedef {import("./records").Marks} Marks */
/** @typedef {import("./records").LookedTable} LookedTable */
/** @typedef {import("./records").StrikeWord | "out"} Brush */

/** @type {Marks} */
export const NO_MARKS = { strikes: {}, out: [] };

/** The lines from one row to another, both of them, in either order. @param {LookedTable["rows"]} rows @param {number} first @param {number} last */
export function linesBetween(rows, first, last) {
  const [low, high] = first < last ? [first, last] : [last, first];
  return rows.map(({ line }) => line).filter((line) => low <= line && line <= high);
}

/** What a drive is, as marked or as the table says. @param {Marks} marks @param {LookedTable["rows"][number]} row @returns {Brush | null} */
export function markOf(marks, row) {
  return marks.out.includes(row.line) ? "out" : marks.strikes[row.line] ?? row.strike;
}

/** Marks with some drives marked anew. One drive that is out is let in again; a mark that the table has anyway is none.
 * @param {Marks} marks @param {LookedTable["rows"]} rows @param {number[]} lines @param {Brush} brush @returns {Marks} */
export function marked(marks, rows, lines, brush) {
  const out = new Set(marks.out);
  const strikes = { ...marks.strikes };
  const again = lines.length === 1 && brush === "out" && out.has(lines[0]);
  for (const line of lines) {
    if (brush === "out" && !again) {
      out.add(line);
      continue;
    }
    out.delete(line);
    if (brush === "out") continue;
    delete strikes[line];
    if (rows.find((row) => row.line === line)?.strike !== brush) strikes[line] = brush;
  }
  return { strikes, out: [...out].sort((one, other) => one - other) };
}

/** Whether anything is marked. @param {Marks | undefined} marks */
export function isMarked(marks) {
  return marks !== undefined && (marks.out.length > 0 || Object.keys(marks.strikes).length > 0);
}
