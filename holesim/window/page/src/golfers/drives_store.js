// Tables of measured drives: which are chosen, what is corrected of them, and what came of the fit.
/** @typedef {import("./records").DrivesState} DrivesState */
/** @typedef {import("./records").Marks} Marks */
/** @typedef {import("./records").Column} Column */
/** @typedef {import("./records").Mapping} Mapping */
import { Refused, sha256 } from "../api.js";
import { Cancelled } from "../jobs.js";
import { handicapIn } from "./content.js";
import { fileAddress } from "./golfers_store.js";
import { isMarked, NO_MARKS } from "./marks.js";

const THERE = 412;
const tableAddress = (/** @type {string} */ name) => `/api/golfers/tables/${name.split("/").map(encodeURIComponent).join("/")}`;

/** What columns are taken for, as a column file says it. @param {Column[]} columns @returns {Mapping} */
export function mappingOf(columns) {
  return Object.fromEntries(columns.filter((column) => column.name !== "")
    .map(({ name, header, unit, positive }) => [name, { header, unit, positive }]));
}

/** The columns with one of them taken for something else; what that was before is not used.
 * @param {Column[]} columns @param {number} place @param {Partial<Column>} change @returns {Column[]} */
export function withColumn(columns, place, change) {
  return columns.map((column, k) => {
    if (k === place) return { ...column, ...change };
    return change.name !== undefined && change.name !== "" && column.name === change.name ? { ...column, name: "", unit: "", positive: "" } : column;
  });
}

/** What is ordered of the server.
 * @param {Pick<DrivesState, "balls" | "dayFirst" | "who" | "usual" | "chosen" | "days">} state @param {"measure" | "changes"} kind
 * @param {{tables: string[], columns: string | null}} files */
export function drivesOrder(state, kind, { tables, columns }) {
  const { balls, dayFirst, who, usual, chosen, days } = state;
  const dates = chosen.map((table) => days[table] ?? "");
  const known = who.like === "" ? { golfer: who.golfer.trim() || null, hand: who.hand, sex: who.sex || null, handicap: handicapIn(who.handicap) } : { like: who.like };
  return {
    kind, tables, columns, balls, day_first: dayFirst, dates: dates.every((day) => day !== "") ? dates : [],
    ...known, ...(kind === "measure" ? { usual: usual || null } : {}),
  };
}

/** @param {import("../api.js").Api} api @param {import("../jobs.js").Jobs} jobs @param {import("./golfers_store.js").Golfers} golfers */
export function createDrives(api, jobs, golfers) {
  /** @type {DrivesState} */
  let state = {
    chosen: [], looked: null, meanings: [], columns: null, marks: {}, kept: {}, balls: "course", days: {}, dayFirst: null,
    who: { like: "", golfer: "", sex: "", hand: "right", handicap: "" }, usual: "", work: null, working: "", fit: null, changes: null,
    said: "", wrong: false, clash: null, stale: null,
  };
  /** @type {(() => void)[]} */ const listeners = [];
  /** @type {() => void} */ let cancel = () => {};
  let asked = 0;

  /** @param {Partial<DrivesState>} change */
  function set(change) {
    state = { ...state, ...change };
    listeners.forEach((listener) => listener());
  }
  const refuse = (/** @type {unknown} */ error) => set({ said: /** @type {Error} */ (error).message, wrong: !(error instanceof Cancelled) });

  /** Look at a table, as its columns are taken. @param {string} name */
  async function look(name) {
    const number = ++asked;
    try {
      const meanings = state.meanings.length > 0 ? state.meanings : await api.json("GET", "/api/golfers/meanings");
      const looked = await api.json("POST", `${tableAddress(name)}/look`, {
        columns: state.columns, balls: state.balls, day: state.days[name] || null, day_first: state.dayFirst,
      });
      if (number === asked) set({ meanings, looked, said: "", wrong: false });
    } catch (refused) {
      if (number === asked) refuse(refused);
    }
  }
  const lookAgain = () => (state.looked === null ? undefined : look(state.looked.name));

  /** Keep what is corrected beside the tables; return what to give to the command. */
  async function keep() {
    /** @type {string[]} */ const tables = [];
    /** @type {string | null} */ let columns = null;
    for (const [place, name] of state.chosen.entries()) {
      const { strikes, out } = state.marks[name] ?? NO_MARKS;
      if (!isMarked(state.marks[name]) && (state.columns === null || place > 0)) tables.push(name);
      else {
        const answer = await api.json("POST", `${tableAddress(name)}/keep`,
          { strikes, left_out: out, columns: state.columns, balls: state.balls, seen: state.kept });
        set({ kept: answer.seen });
        tables.push(answer.table);
        columns ??= answer.columns;
      }
    }
    return { tables, columns };
  }

  return {
    get: () => state,
    set,
    look,
    lookAgain,
    /** @param {() => void} listener */
    subscribe: (listener) => void listeners.push(listener),

    /** Put a table into the folder and choose it. @param {File} file @param {boolean} [replace] */
    async add(file, replace = false) {
      const name = file.name.replace(/\.(?:txt|tsv)$/i, ".csv");
      set({ clash: null, said: "", wrong: false });
      if (!/\.csv$/i.test(name)) return set({ said: `${file.name} is no table: export it as CSV.`, wrong: true });
      try {
        const same = golfers.get().tables.includes(name) && (await sha256(await api.blob(name))) === (await sha256(file));
        if (!same) await api.put(name, file, replace);
        await golfers.look();
        await this.choose(name, true);
      } catch (refused) {
        refuse(refused);
        if (refused instanceof Refused && refused.status === THERE && !replace) set({ clash: file });
      }
    },
    /** Choose a table, or drop it again. @param {string} name @param {boolean} taken */
    async choose(name, taken) {
      const others = state.chosen.filter((one) => one !== name);
      const chosen = taken ? [...others, name] : others;
      set({ chosen, fit: null, changes: null });
      if (chosen.length === 0) set({ looked: null, columns: null });
      else await look(taken ? name : chosen[0]);
    },
    /** Take a column for something else. @param {number} place @param {Partial<Column>} change */
    async take(place, change) {
      if (state.looked === null) return;
      set({ columns: mappingOf(withColumn(state.looked.columns, place, change)), fit: null, changes: null });
      await lookAgain();
    },
    /** @param {Marks} marks of the table that is looked at */
    mark(marks) {
      if (state.looked !== null) set({ marks: { ...state.marks, [state.looked.name]: marks }, fit: null, changes: null });
    },

    /** Fit the golfer, or find what changed. @param {"measure" | "changes"} kind */
    async order(kind) {
      set({ working: kind, said: "", wrong: false, stale: null, ...(kind === "measure" ? { fit: null } : { changes: null }) });
      try {
        const order = drivesOrder(state, kind, await keep());
        const work = jobs.start(order, (progress) => set({ work: progress.running ? progress : null }));
        ({ cancel } = work);
        const { answer } = await work.ended;
        set(kind === "measure" ? { fit: answer, usual: answer.usual ?? state.usual } : { changes: answer });
      } catch (refused) {
        refuse(refused);
        if (refused instanceof Refused && refused.status === THERE) set({ stale: kind });
      }
      set({ working: "", work: null });
      void golfers.look();
    },
    /** Order again, and replace what was kept of these tables before. */
    async replaceKept() {
      const kind = state.stale;
      if (kind === null) return;
      const kept = { ...state.kept };
      for (const name of state.chosen.flatMap((table) => ["-corrected.csv", "-columns.toml"].map((end) => table.replace(/\.csv$/i, end)))) {
        const held = await api.blob(name).catch(() => null);
        if (held !== null) kept[name] = await sha256(held);
      }
      set({ kept });
      await this.order(kind);
    },
    stop: () => cancel(),

    /** Save the golfer who was fitted; return whether it was. @param {string} name of the file @param {boolean} replace */
    async save(name, replace) {
      if (state.fit === null) return false;
      try {
        const seen = replace ? (await api.json("GET", fileAddress(name))).sha256 : null;
        await api.json("PUT", `${fileAddress(name)}/fitted`, { toml: state.fit.toml, seen });
        await golfers.look();
        set({ said: `Saved as ${name}.${replace ? " The file before is kept." : ""}`, wrong: false });
        return true;
      } catch (refused) {
        refuse(refused);
        return false;
      }
    },
  };
}
/** @typedef {ReturnType<typeof createDrives>} Drives */
