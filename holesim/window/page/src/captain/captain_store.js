// What the captain's table holds, and what it asks of the server.
/** @typedef {import("../records").CaptainState} CaptainState */
/** @typedef {import("../records").CaptainPlan} CaptainPlan */
/** @typedef {import("../records").DrawPrice} DrawPrice */
/** @typedef {import("../records").LineUp} LineUp */
import { Cancelled } from "../jobs.js";
import { paper } from "../paper.js";
import { parseWind } from "../planning/wind.js";
import { changed, lineUpOf, playersAt, sameLineUp, targets, whyNot } from "./line_up.js";

const KEPT = "holesim captain";
/** @type {CaptainState} */
const START = {
  squads: null, course: "", team: "", shown: null, weekend: null,
  asked: { format: "four-ball", net: false, count: "", wind: "calm", ground: "", out_of_bounds: "distance", temperature_f: "75", altitude_ft: "0", draws: "1024" },
  plan: null, order: "", lineUp: { sides: [], bench: [] }, held: "", over: "", price: null, prices: {},
  progress: null, work: "", said: "", heard: "", mistake: "", saved: [], weekendText: "", sessions: [],
};

/** A course of the folder, and which layout of its file. @param {string} value */
export function courseOf(value) {
  const [course, layout] = /** @type {[string, string | null]} */ (JSON.parse(value));
  return { course, layout };
}

/** The order of the sheets of a team's plan. @param {object} order by which it is asked */
export const sheetsOrder = (order) => JSON.stringify({ kind: "captain sheets", ...order });

/** What a plan is asked by. @param {CaptainState} state @returns {{order: object} | {mistake: string}} */
export function teamOrder({ course, team, asked }) {
  if (course === "") return { mistake: "Choose a course." };
  if (team === "") return { mistake: "Choose a team, or put one together." };
  const wind = parseWind(asked.wind === "" ? "calm" : asked.wind);
  if ("error" in wind) return { mistake: wind.error };
  const numbers = ["temperature_f", "altitude_ft", "draws"].map((key) => Number(asked[/** @type {"draws"} */ (key)]));
  if (numbers.some((number) => !Number.isFinite(number))) return { mistake: "Give temperature and altitude as numbers." };
  const [temperature_f, altitude_ft, draws] = numbers;
  const count = asked.format === "stroke" && asked.count !== "" ? Number(asked.count) : null;
  return {
    order: {
      ...courseOf(course), team, format: asked.format, net: asked.net, count,
      options: {
        wind_mph: wind.mph, wind_from_deg: wind.from_deg, temperature_f, altitude_ft, draws, out_of_bounds: asked.out_of_bounds,
        ground: asked.ground === "" ? null : asked.ground,
      },
    },
  };
}

/** @param {Pick<import("../api.js").Api, "json">} api @param {Pick<import("../jobs.js").Jobs, "start">} jobs */
export function createCaptain(api, jobs) {
  let state = START;
  /** @type {((state: CaptainState, before: CaptainState) => void)[]} */ const listeners = [];
  let asking = 0;
  let cancel = () => {};

  /** @param {Partial<CaptainState>} change */
  function set(change) {
    const before = state;
    state = { ...state, ...change };
    listeners.forEach((listener) => listener(state, before));
  }
  const refuse = (/** @type {unknown} */ error) => set({ mistake: /** @type {Error} */ (error).message });
  const ordered = () => state.plan?.ordered ?? false;
  const path = (/** @type {string} */ name) => name.split("/").map(encodeURIComponent).join("/");

  /** Ask what draws cost; the newest question counts. @param {LineUp[]} lineUps @returns {Promise<DrawPrice[] | null>} */
  async function ask(lineUps) {
    const mine = ++asking;
    const draws = lineUps.map(({ sides }) => sides);
    try {
      const { prices } = await api.json("POST", "/api/captain/prices", { table: state.plan?.table, draws });
      return mine === asking ? prices : null;
    } catch (error) {
      refuse(error);
      return null;
    }
  }

  /** Show a line-up and what it costs. @param {LineUp} lineUp @param {string} did */
  async function show(lineUp, did) {
    set({ lineUp, held: "", over: "", prices: {} });
    const prices = await ask([lineUp]);
    if (prices !== null) set({ price: prices[0], said: did, heard: prices[0].text === undefined ? "" : `${prices[0].total}; ${prices[0].text}.` });
    keep();
  }

  /** Keep the plan for a reload of the page. */
  function keep() {
    try {
      const { course, team, asked, plan, order, lineUp } = state;
      sessionStorage.setItem(KEPT, JSON.stringify({ course, team, asked, plan, order, lineUp }));
    } catch { /* too large, or not allowed: a reload plans again */ }
  }

  const names = (/** @type {string} */ key) => playersAt(state.lineUp, key).map((player) => state.plan?.squad[player] ?? "").join(" and ");

  /** Follow a piece of work. @param {object} order @param {string} work what it is called */
  async function run(order, work) {
    set({ work, mistake: "", said: "", heard: "", saved: [] });
    const job = jobs.start(order, (progress) => set({ progress: progress.running ? progress : null }));
    cancel = job.cancel;
    try {
      return await job.ended;
    } catch (error) {
      if (error instanceof Cancelled) set({ heard: "", said: "Cancelled; nothing was changed." });
      else refuse(error);
      return null;
    } finally {
      set({ progress: null, work: "" });
    }
  }

  return {
    get: () => state,
    set,
    /** @param {(state: CaptainState, before: CaptainState) => void} listener */
    subscribe: (listener) => void listeners.push(listener),
    cancel: () => cancel(),
    refuse,
    run,

    /** Look at the folder's teams and weekends again. */
    async look() {
      try {
        set({ squads: await api.json("GET", "/api/captain") });
      } catch (error) {
        refuse(error);
      }
    },

    /** Take up what a reload kept. */
    again() {
      try {
        const kept = JSON.parse(sessionStorage.getItem(KEPT) ?? "{}");
        set(kept);
        if (state.plan !== null) void show(state.lineUp, "");
      } catch { /* nothing of use was kept */ }
    },

    /** Choose a team. @param {string} team */
    async choose(team) {
      set({ team, shown: null, mistake: "" });
      if (team === "") return;
      try {
        const shown = await api.json("GET", `/api/captain/teams/${path(team)}`);
        if (state.team === team) set({ shown });
      } catch (error) {
        refuse(error);
      }
    },

    /** Plan as asked. */
    async plan() {
      const found = teamOrder(state);
      if ("mistake" in found) {
        set({ mistake: found.mistake });
        return;
      }
      const ended = await run({ kind: "captain", ...found.order }, "planning");
      if (ended === null) return;
      await this.lay(/** @type {CaptainPlan} */ (ended.answer), sheetsOrder(found.order), "");
    },

    /** Put a plan on the table. @param {CaptainPlan} plan @param {string} order of its sheets @param {string} did */
    lay(plan, order, did) {
      set({ plan, order });
      return show(lineUpOf(plan.found, plan.squad.length), did);
    },

    /** Take up a player or a side, and ask what each change would cost. @param {string} key */
    async hold(key) {
      const whole = key.startsWith("side");
      set({ held: key, over: "", prices: {}, heard: "", said: `${names(key)}: choose ${whole ? "the side" : "the player"} to change places with.` });
      const keys = targets(state.lineUp, key, ordered());
      const prices = keys.length === 0 ? [] : await ask(keys.map((onto) => changed(state.lineUp, key, onto)));
      if (prices !== null && state.held === key) set({ prices: Object.fromEntries(keys.map((onto, i) => [onto, prices[i]])) });
      if (prices !== null && state.held === key && state.over !== "") this.over(state.over);
    },

    /** Say what a change with a place would cost. @param {string} key empty where there is none */
    over(key) {
      if (state.held === "") return;
      const price = state.prices[key];
      const said = key === "" || key === state.held ? "" : price === undefined ? whyNot(state.held, key, ordered())
        : price.refused !== undefined ? `Not possible: ${price.refused}.` : `With ${names(key)}:`;
      set({ over: key, ...(said === "" ? {} : { said, heard: price?.text === undefined ? "" : `${price.total}; ${price.text}.` }) });
    },

    /** Let go over a place. @param {string} key empty to put back */
    async drop(key) {
      const { held, lineUp, prices } = state;
      if (held === "") return;
      const why = key === "" ? "put back" : whyNot(held, key, ordered());
      if (why !== "" || !targets(lineUp, held, ordered()).includes(key)) {
        set({ held: "", over: "", prices: {}, heard: "", said: `${names(held)}: ${why === "" ? "the order does not matter here" : why}.` });
        return;
      }
      if (prices[key]?.refused !== undefined) {
        set({ held: "", over: "", prices: {}, heard: "", said: `Not possible: ${prices[key].refused}.` });
        return;
      }
      const did = `${names(held)} and ${names(key)} change places. `;
      const before = lineUp;
      await show(changed(lineUp, held, key), did);
      if (state.price?.refused !== undefined) {
        const { refused } = state.price;
        await show(before, `Not possible: ${refused}. `);
      }
    },

    /** Go back to the best draw found. */
    back() {
      const { plan } = state;
      return plan === null ? Promise.resolve() : show(lineUpOf(plan.found, plan.squad.length), "Back to the best draw found. ");
    },

    /** Whether the table shows another draw than the one found. */
    changed: () => state.plan !== null && !sameLineUp(state.lineUp, lineUpOf(state.plan.found, state.plan.squad.length)),

    /** Save the sheets of the draw that is shown. @param {string} folder */
    async save(folder) {
      const ended = await run({ ...JSON.parse(state.order), name: folder, paper: paper(), sides: state.price?.same === false ? state.lineUp.sides : null }, "sheets");
      if (ended !== null) set({ saved: ended.files, heard: "", said: `Saved in ${folder}.` });
    },
  };
}
/** @typedef {ReturnType<typeof createCaptain>} Captain */
