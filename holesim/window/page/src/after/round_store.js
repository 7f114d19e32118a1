// The round that is being entered: what its file holds, and every change written to it at once.
/** @typedef {import("../records").Drive} Drive */
/** @typedef {import("../records").RoundState} RoundState */
import { Refused } from "../api.js";
import { noDrive, planOf, roundName, roundText, today } from "./round_rows.js";

const CHANGED = 412;

/** @type {RoundState} */
export const NO_ROUND = {
  plan: "", opened: null, round: "", sha256: null, date: "", tee: "", rows: {}, hole: 1, saving: false, saved: false,
  clash: false, said: "", rounds: [],
};

/** @param {import("../api.js").Api} api @param {() => void} changed is told of every change */
export function createRound(api, changed) {
  /** @type {RoundState} */ let state = NO_ROUND;
  let due = false;
  const path = (/** @type {string} */ name) => name.split("/").map(encodeURIComponent).join("/");

  /** @param {Partial<RoundState>} change */
  function set(change) {
    state = { ...state, ...change };
    changed();
  }

  /** Write the file, and again for what has changed meanwhile. */
  async function save() {
    due = true;
    if (state.saving) return;
    set({ saving: true });
    try {
      while (due && state.opened !== null) {
        due = false;
        const { plan, opened, tee, date, rows, round, sha256 } = state;
        const text = roundText({ plan, opened, tee, date, rows });
        set({ sha256: await api.keep(round, new Blob([text]), sha256), saved: true, clash: false, said: "" });
      }
    } catch (refused) {
      const { message } = /** @type {Error} */ (refused);
      set({ saved: false, clash: refused instanceof Refused && refused.status === CHANGED, said: message });
    }
    set({ saving: false });
  }

  const tools = {
    get: () => state,
    set,
    /** Look which rounds the folder has. */
    async look() {
      try {
        set({ rounds: (await api.json("GET", "/api/rounds")).rounds });
      } catch (refused) {
        set({ said: /** @type {Error} */ (refused).message });
      }
    },
    /** Open a plan, and the round that was played by it or a new one.
     * @param {string} plan @param {string} round @param {number} hole */
    async open(plan, round, hole) {
      try {
        const opened = await api.json("GET", `/api/rounds/plan/${path(plan)}`);
        const found = round === "" ? null : await api.json("GET", `/api/rounds/played/${path(round)}?${new URLSearchParams({ plan })}`);
        const numbers = opened.holes.map((/** @type {{hole: number}} */ one) => one.hole);
        set({
          plan, opened, round, sha256: found?.sha256 ?? null, date: found?.date || today(), tee: found?.tee || opened.tees[0],
          rows: found?.rows ?? {}, hole: numbers.includes(hole) ? hole : numbers[0], saved: found !== null, clash: false, said: "",
        });
      } catch (refused) {
        set({ ...NO_ROUND, rounds: state.rounds, said: /** @type {Error} */ (refused).message });
      }
    },
    /** Open a round of the folder by the plan that it names. @param {{name: string, plan: string | null}} round */
    reopen: (round) => tools.open(planOf(round.plan), round.name, 0),
    close: () => set({ ...NO_ROUND, rounds: state.rounds }),
    /** Change the drive of a hole, and write the file. @param {number} hole @param {Partial<Drive>} change */
    change(hole, change) {
      const { opened, round, date } = state;
      if (opened === null) return;
      const rows = { ...state.rows, [hole]: { ...tools.drive(hole), ...change } };
      set({ rows, round: round || freeName(date, opened.player) });
      void save();
    },
    /** Take out what is known of a hole. @param {number} hole */
    clear(hole) {
      const rows = { ...state.rows };
      delete rows[hole];
      set({ rows });
      if (state.round !== "") void save();
    },
    /** Change the date or the tee of the whole round. @param {Partial<Pick<RoundState, "date" | "tee">>} change */
    changeRound(change) {
      set(change);
      if (state.round !== "") void save();
    },
    /** Read the file anew, as it was changed elsewhere. */
    readAnew: () => tools.open(state.plan, state.round, state.hole),
    /** What is known of a hole's drive. @param {number} hole @returns {Drive} */
    drive: (hole) => state.rows[hole] ?? noDrive(tools.planned(hole)),
    /** What is planned on a hole from the tee that is played. @param {number} hole */
    planned(hole) {
      const here = state.opened?.holes.find((one) => one.hole === hole);
      return here?.planned[tools.tee(hole)];
    },
    /** The tee that is played on a hole. @param {number} hole */
    tee(hole) {
      const here = state.opened?.holes.find((one) => one.hole === hole);
      return here?.tees.find(({ name }) => name === state.tee)?.name ?? here?.tees[0].name ?? "";
    },
    /** Where a drive finished, by a place [m] or by how far and how far to the side [yd]. @param {Record<string, string>} where
     * @returns {Promise<{at: [number, number], total_yd: number, side_yd: number, lie: string | null}>} */
    finish(where) {
      const { plan, hole } = state;
      const words = { plan, hole: String(hole), tee: tools.tee(hole), label: tools.drive(hole).label, ...where };
      return api.json("GET", `/api/rounds/finish?${new URLSearchParams(words)}`);
    },
  };

  /** A name that no round of the folder has. @param {string} date @param {string} who */
  function freeName(date, who) {
    const taken = new Set(state.rounds.map(({ name }) => name));
    for (let k = 1; ; k += 1) {
      const name = roundName(date, k === 1 ? who : `${who} ${k}`);
      if (!taken.has(name)) return name;
    }
  }
  return tools;
}
/** @typedef {ReturnType<typeof createRound>} Round */
