// The socket of live questions: one in flight, the next one chosen when its answer is there.
/** @typedef {import("./records").Question} Question */
import { givesWay, nextQuestion } from "./planning/scheduler.js";
import { takeAnswer, takeNews } from "./planning/answers.js";

const REFUSED = 4403;
const RETRY_MS = [500, 1000, 2000, 4000];

/** News of drawings and of long work, which come unasked for. */
export function createNews() {
  /** @type {((message: Record<string, any>) => void)[]} */ const listeners = [];
  return {
    /** @param {(message: Record<string, any>) => void} listener */
    listen: (listener) => void listeners.push(listener),
    /** @param {Record<string, any>} message */
    tell: (message) => listeners.forEach((listener) => listener(message)),
  };
}
/** @typedef {ReturnType<typeof createNews>} News */

/** Keep asking what the state needs. @param {import("./planning/state.js").Store} store @param {string} token
 * @param {News} news @returns {{close: () => void}} */
export function keepAsking(store, token, news) {
  /** @type {WebSocket | null} */ let socket = null;
  /** @type {{n: number, question: Question, key: string} | null} */ let asked = null;
  /** @type {ReturnType<typeof setTimeout> | undefined} */ let timer;
  let number = 0;
  let tries = 0;
  let ended = false;

  function pump() {
    clearTimeout(timer);
    if (socket?.readyState !== WebSocket.OPEN) return;
    const next = nextQuestion(store.get(), Date.now());
    if (next === null || (asked !== null && !givesWay(asked.question, next))) return;
    if ("wait" in next) {
      timer = setTimeout(pump, next.wait);
      return;
    }
    asked = { n: ++number, ...next };
    socket.send(JSON.stringify({ n: number, ...next.question }));
  }

  /** @param {MessageEvent} arrived */
  function receive({ data }) {
    const message = JSON.parse(data);
    if (asked !== null && message.n === asked.n) {
      const { question, key } = asked;
      asked = null;
      store.set(takeAnswer(store.get(), question, key, message));
    } else if (message.n === undefined) {
      news.tell(message);
      if (typeof message.drawing !== "string") store.set(takeNews(store.get(), message));
    }
    pump();
  }

  function connect() {
    const line = new WebSocket(`${location.protocol === "https:" ? "wss" : "ws"}://${location.host}/live`);
    socket = line;
    asked = null;
    line.onopen = () => {
      line.send(JSON.stringify({ token }));
      // What the last connection had opened is gone: open it again, and keep the picture until it is there.
      const { openId } = store.get();
      tries = 0;
      store.set({ connection: "open", openId: openId + 1, ready: [], waiting: [], failed: [] });
      pump();
    };
    line.onmessage = receive;
    line.onclose = ({ code }) => {
      if (ended || line !== socket) return;
      asked = null;
      if (code === REFUSED) {
        store.set({ connection: "refused" });
        return;
      }
      store.set({ connection: "lost", handDown: false });
      setTimeout(connect, RETRY_MS[Math.min(tries++, RETRY_MS.length - 1)]);
    };
  }

  store.subscribe(() => queueMicrotask(pump));
  connect();
  return {
    close() {
      ended = true;
      socket?.close();
    },
  };
}
