// The golfers of the folder, and the one that is open, as the page has them.
/** @typedef {import("./records").GolfersState} GolfersState */
/** @typedef {import("./records").Content} Content */
import { folderName } from "../words.js";

const WAIT_MS = 250; // after a key, before the server is asked what is usual now

/** @type {Content} */
const SOMEONE = { hand: "right" };

/** @param {string} name of a file, with slashes */
export const fileAddress = (name) => `/api/golfers/files/${name.split("/").map(encodeURIComponent).join("/")}`;

/** The name of a golfer's file. @param {string} golfer */
export const fileName = (golfer) => `${folderName(golfer) || "golfer"}.toml`;

/** @param {import("../api.js").Api} api */
export function createGolfers(api) {
  /** @type {GolfersState} */
  let state = { golfers: null, tables: [], open: null, checked: true, changed: false, busy: false, said: "", wrong: false };
  /** @type {(() => void)[]} */ const listeners = [];
  /** @type {ReturnType<typeof setTimeout> | undefined} */ let timer;
  let asked = 0;
  let edits = 0;
  let asking = false;
  /** @type {string | null} */ let again = null; // the miss to ask with next; "" for none

  /** @param {Partial<GolfersState>} change */
  function set(change) {
    state = { ...state, ...change };
    listeners.forEach((listener) => listener());
  }
  /** Do something; what is refused is said. @template T @param {() => Promise<T>} work @returns {Promise<T | null>} */
  async function tried(work) {
    set({ busy: true, said: "", wrong: false });
    try {
      return await work();
    } catch (refused) {
      set({ said: /** @type {Error} */ (refused).message, wrong: true });
      return null;
    } finally {
      set({ busy: false });
    }
  }

  /** Look at the folder again. */
  async function look() {
    try {
      const found = await api.json("GET", "/api/golfers");
      set({ golfers: found.golfers, tables: found.tables });
    } catch (refused) {
      set({ said: /** @type {Error} */ (refused).message, wrong: true });
    }
  }

  /** Ask what is usual beside what the form says now. @param {string} [miss] to be put into it */
  async function usual(miss) {
    const open = state.open;
    if (open === null) return;
    if (asking) {
      again = again ?? miss ?? "";
      return;
    }
    asking = true;
    const [number, of] = [++asked, edits];
    const body = { name: open.name || "golfer.toml", content: open.content, ...(miss === undefined ? {} : { miss }) };
    try {
      const answer = await api.json("POST", "/api/golfers/usual", body);
      // What was usual stays in the fields while something is missing.
      const { content, ...looked } = answer;
      if (number === asked && state.open !== null) set({ open: { ...state.open, ...looked, ...(miss === undefined ? {} : { content }) }, checked: of === edits });
    } catch (refused) {
      if (number === asked) set({ said: /** @type {Error} */ (refused).message, wrong: true, checked: true });
    }
    asking = false;
    if (again !== null) {
      const side = again || undefined;
      again = null;
      void usual(side);
    }
  }

  return {
    get: () => state,
    set,
    look,
    /** @param {() => void} listener */
    subscribe: (listener) => void listeners.push(listener),

    /** Open a golfer's file. @param {string} name */
    async open(name) {
      clearTimeout(timer);
      asked += 1;
      const found = await tried(() => api.json("GET", fileAddress(name)));
      set({ open: found, changed: false, checked: true });
    },
    /** Begin a golfer who has no file yet. */
    begin() {
      asked += 1;
      set({ open: { name: "", builtin: false, sha256: null, content: SOMEONE, versions: [], faults: [] }, changed: false, checked: false, said: "", wrong: false });
      void usual();
    },
    close() {
      asked += 1;
      set({ open: null, changed: false });
    },
    /** Change what stands in the form: what stands there now, as a form that is drawn may be a frame behind.
     * @param {(content: Content) => Content} edit @param {boolean} [ask] whether it may change what is usual */
    change(edit, ask = true) {
      if (state.open === null) return;
      set({ open: { ...state.open, content: edit(state.open.content) }, changed: true, said: "", wrong: false });
      if (!ask) return;
      edits += 1;
      set({ checked: false });
      clearTimeout(timer);
      timer = setTimeout(() => void usual(), WAIT_MS);
    },
    /** @param {string} side of the usual miss */
    miss(side) {
      clearTimeout(timer);
      edits += 1;
      set({ changed: true, checked: false, said: "" });
      return usual(side);
    },

    /** Save the golfer who is open; return the name of the file, or "" where it was refused. */
    async save() {
      const open = state.open;
      if (open === null) return "";
      const name = open.name || fileName(String(open.content.name ?? ""));
      const kept = await tried(() => api.json("PUT", fileAddress(name), { content: open.content, seen: open.sha256 }));
      if (kept === null) return "";
      await this.open(name);
      await look();
      set({ said: `Saved as ${name}.` });
      return name;
    },
    /** Copy the golfer who is open to a file of the folder; return its name, or "". */
    async copy() {
      const open = state.open;
      if (open === null) return "";
      const name = fileName(String(open.content.name ?? ""));
      const kept = await tried(() => api.json("POST", `${fileAddress(open.name)}/copy`, { name }));
      if (kept === null) return "";
      await look();
      set({ said: `Copied to ${name}.` });
      return name;
    },
    /** Bring an earlier version of the open file back. @param {string} version */
    async restore(version) {
      const open = state.open;
      if (open === null) return;
      const kept = await tried(() => api.json("POST", `${fileAddress(open.name)}/restore`, { version, seen: open.sha256 }));
      if (kept === null) return;
      await this.open(open.name);
      await look();
      set({ said: "That version is back." });
    },
  };
}
/** @typedef {ReturnType<typeof createGolfers>} Golfers */
