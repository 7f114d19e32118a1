// The drawing that is open: what the server has, and the steps on their way to it, one request at a time and in order.
/** @typedef {import("../records").DrawingState} DrawingState */
/** @typedef {import("../records").Feature} Feature */
/** @typedef {import("../records").Change} Change */
/** @typedef {import("../records").Changed} Changed */
/** @typedef {import("../records").WholeDrawing} WholeDrawing */
/** A request; one with changes is drawn before it is answered.
 * @typedef {{method: string, path: string, body: object, changes: Change[], fresh: number[], counted: boolean,
 *   done: (answer: any) => void, failed: (refused: Error) => void}} Request */
import { Refused } from "../api.js";
import { withChanges, withIds } from "./steps.js";

const GONE_ON = 412;
const UNNUMBERED = ["copy", "forget"]; // asked of a drawing whatever its revision
export const ANOTHER = "Another window drew on this course: it is shown as it is now.";

const OUTSIDE = "The file was changed outside this window: it is shown as it is now.";

/** @type {DrawingState} */
export const NO_DRAWING = {
  name: "", title: "", revision: -1, nowhere: false, features: new Map(), pictures: [], versions: [], says: [], holes: [],
  usable: false, checked: -1, saved: true, clash: null, builtin: false, waiting: 0, canUndo: false, canRedo: false, undoSays: null,
  redoSays: null, selected: null, hole: null, tool: "select", message: "",
};

/** Whether what is on disk is what is drawn, and can be planned on. News of a check may come before the answer to the
 * step that was checked: what is known then of the disk is about the step before. @param {DrawingState} state */
export const listable = ({ usable, saved, checked, revision }) => usable && saved && checked === revision;

/** @param {Changed | WholeDrawing} answer */
const undoOf = ({ revision, can_undo, can_redo, undo_says, redo_says }) =>
  ({ revision, canUndo: can_undo, canRedo: can_redo, undoSays: undo_says, redoSays: redo_says });

/** @param {{json: import("../api.js").Api["json"]}} api @param {Pick<import("../live.js").News, "listen">} live */
export function createDrawing(api, live) {
  let state = NO_DRAWING;
  /** What the server has. @type {Map<number, Feature>} */ let confirmed = new Map();
  /** @type {Request[]} */ let queue = [];
  /** Ids given here to what was new, and those of the server. @type {Map<number, number>} */ let known = new Map();
  let lastFresh = 0;
  let heard = -1; // the highest revision that was pushed
  let saved = -1; // the highest revision that is on disk
  let outside = false; // what was last pushed came from the disk
  let busy = false;
  let opening = 0;
  /** What is being opened, and the news of it, which may come before it. */
  let awaited = "";
  /** @type {Record<string, any>[]} */ let early = [];
  /** @type {((state: DrawingState, before: DrawingState) => void)[]} */ const listeners = [];

  /** @param {Partial<DrawingState>} change */
  function set(change) {
    const before = state;
    state = { ...state, ...change };
    for (const listener of listeners) listener(state, before);
  }

  const address = (/** @type {string} */ path, name = state.name) =>
    `/api/drawings/${name.split("/").map(encodeURIComponent).join("/")}${path === "" ? "" : `/${path}`}`;

  /** What is drawn now: what the server has, and the steps on their way.
   * @returns {Pick<DrawingState, "features" | "selected" | "waiting">} */
  function drawn() {
    let features = confirmed;
    for (const { changes, fresh } of queue) {
      if (changes.length > 0) features = withChanges(features, withIds(changes, selfKnown()) ?? [], fresh);
    }
    const selected = state.selected === null ? null : known.get(state.selected) ?? state.selected;
    const waiting = queue.filter(({ counted }) => counted).length;
    return { features, selected: selected !== null && features.has(selected) ? selected : null, waiting };
  }

  /** Ids of what is new, where the server has not yet given its own: those given here. */
  const selfKnown = () => new Map([...queue.flatMap(({ fresh }) => fresh.map((id) => /** @type {const} */ ([id, id]))), ...known]);

  /** @param {WholeDrawing} whole */
  function takeWhole(whole) {
    confirmed = new Map(whole.features.map((feature) => [feature.id, feature]));
    heard = whole.revision;
    if (whole.saved) saved = whole.revision;
    const { name, title, nowhere, pictures, versions, clash, builtin = false } = whole;
    set({ name, title, nowhere, pictures, versions, saved: whole.saved, clash, builtin, ...undoOf(whole), ...drawn() });
  }

  /** @param {Changed} changed @param {number[]} fresh */
  function takeChanged(changed, fresh) {
    const after = new Map(confirmed);
    const added = changed.features.filter(({ id }) => !confirmed.has(id)).map(({ id }) => id);
    fresh.forEach((id, i) => known.set(id, added[i]));
    for (const feature of changed.features) after.set(feature.id, feature);
    for (const id of changed.removed) after.delete(id);
    confirmed = after;
    heard = Math.max(heard, changed.revision);
    set({ ...undoOf(changed), saved: saved >= changed.revision, ...(changed.pictures === undefined ? {} : { pictures: changed.pictures }), ...drawn() });
  }

  /** @param {Request} request */
  async function ask({ method, path, body, changes, fresh }) {
    const named = withIds(changes, known);
    if (named === null) throw new Refused(0, "It was drawn on something that was not kept.");
    const steps = changes.length > 0 ? { changes: named } : {};
    const revision = method === "POST" && !UNNUMBERED.includes(path) ? { revision: state.revision } : {};
    const answer = await api.json(method, address(path), { ...revision, ...body, ...steps });
    return { answer, fresh };
  }

  async function pump() {
    if (busy) return;
    busy = true;
    const began = opening;
    while (queue.length > 0 && began === opening) {
      const [request] = queue;
      try {
        const { answer, fresh } = await ask(request);
        if (began !== opening) return;
        queue = queue.slice(1);
        if (Array.isArray(answer.features)) "title" in answer ? takeWhole(answer) : takeChanged(answer, fresh);
        // Where a step moved all, the place of the course is another.
        if (Array.isArray(answer.pictures) && Array.isArray(answer.removed)) await again("");
        else set({ ...(Array.isArray(answer.pictures) ? { pictures: answer.pictures } : {}), ...drawn() });
        request.done(answer);
      } catch (refused) {
        if (began !== opening) return;
        await takeRefusal(request, /** @type {Refused} */ (refused));
      }
    }
    if (began !== opening) return;
    busy = false;
    if (heard > state.revision && state.name !== "") await again(outside ? OUTSIDE : ANOTHER);
  }

  /** Undo here what was refused. @param {Request} request @param {Refused} refused */
  async function takeRefusal(request, refused) {
    const another = refused.status === GONE_ON && request.method === "POST" && !UNNUMBERED.includes(request.path);
    const dropped = another ? queue : [request];
    queue = another ? [] : queue.slice(1);
    set({ message: refused.message, ...drawn() });
    if (another) await again(`${ANOTHER} What you last drew is not there: "${"says" in request.body ? request.body.says : request.path}".`);
    for (const one of dropped) one.failed(refused);
  }

  /** GET the drawing again. @param {string} message */
  async function again(message) {
    const began = opening;
    try {
      const whole = await api.json("GET", address(""));
      if (began !== opening) return;
      takeWhole(whole);
      set({ message });
    } catch (refused) {
      if (began === opening) set({ message: /** @type {Error} */ (refused).message });
    }
  }

  /** Send something after all that was sent before it. @param {string} path @param {object} body
   * @param {{method?: string, changes?: Change[], fresh?: number[]}} [more] @returns {Promise<any>} the answer */
  function send(path, body, { method = "POST", changes = [], fresh = [] } = {}) {
    const answer = new Promise((done, failed) => {
      queue = [...queue, { method, path, body, changes, fresh, counted: !UNNUMBERED.includes(path), done, failed }];
    });
    set(drawn());
    void pump();
    return answer;
  }

  /** @param {Record<string, any>} message */
  function hear(message) {
    if (message.drawing === awaited) early.push(message);
    else if (message.drawing === state.name) takeNews(message);
  }

  /** @param {Record<string, any>} message */
  function takeNews(message) {
    if (typeof message.saved === "number") {
      saved = message.saved;
      set({ saved: saved >= state.revision, clash: null });
    }
    else if (typeof message.clash === "string") set({ clash: message.clash, saved: false });
    else if (typeof message.unsaved === "string") set({ message: message.unsaved, saved: false });
    else if (typeof message.checked === "number") {
      if (message.checked >= state.checked) {
        set({ checked: message.checked, usable: message.usable, says: message.says, holes: message.holes });
      }
    } else if (typeof message.revision === "number") {
      heard = Math.max(heard, message.revision);
      outside = message.outside === true;
      if (!busy) void pump();
    }
  }

  live.listen(hear);
  return {
    get: () => state,
    set,
    /** @param {(state: DrawingState, before: DrawingState) => void} listener */
    subscribe: (listener) => void listeners.push(listener),

    /** Open a drawing, or get it again. @param {string} name @param {number | null} [hole] to be in view */
    async open(name, hole = state.name === name ? state.hole : null) {
      const began = ++opening;
      for (const { failed } of queue) failed(new Refused(0, "Another drawing was opened."));
      [queue, known, heard, saved, busy] = [[], new Map(), -1, -1, true];
      [awaited, early] = [name, []];
      try {
        const whole = await api.json("GET", address("", name));
        if (began !== opening) return;
        awaited = "";
        set({ ...NO_DRAWING, hole });
        takeWhole(whole);
        early.forEach(takeNews);
      } catch (refused) {
        if (began === opening) set({ message: /** @type {Error} */ (refused).message });
      }
      if (began === opening) [busy, awaited] = [false, ""];
      void pump();
    },

    send,

    /** Draw a step at once and send it. @param {string} says @param {Change[]} changes
     * @returns {number[]} ids of what is added, until the server gives its own */
    edit(says, changes) {
      const fresh = changes.filter((change) => "add" in change).map(() => --lastFresh);
      set({ message: "", saved: false });
      send("steps", { says }, { changes, fresh }).catch(() => undefined); // told by the message
      return fresh;
    },
    undo: () => void send("undo", {}).catch(() => undefined),
    redo: () => void send("redo", {}).catch(() => undefined),
  };
}
/** @typedef {ReturnType<typeof createDrawing>} Drawing */
