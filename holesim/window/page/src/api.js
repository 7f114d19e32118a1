// Asking the window's own server by HTTP, with its token.
/** @typedef {import("./records").Folder} Folder */

const TOKEN = /^#([\w-]{43})$/; // 32 random bytes in base 64, as the command prints them

/** The token in the fragment of an address; empty where the fragment is something else. @param {string} fragment */
export function tokenIn(fragment) {
  return TOKEN.exec(fragment)?.[1] ?? "";
}

/** The pass for one use in the fragment of an address; empty where there is none. @param {string} fragment */
export function passIn(fragment) {
  return fragment.startsWith("#once=") ? tokenIn(`#${fragment.slice(6)}`) : "";
}

/** The token of this window, kept for a reload and taken out of the address bar: from the address itself, or from the
 * server for the pass that the browser was started with. */
export async function takeToken() {
  const pass = passIn(location.hash);
  const token = pass === "" ? tokenIn(location.hash) : await enter(pass);
  if (token !== "") {
    sessionStorage.setItem("holesim token", token);
    history.replaceState(null, "", location.pathname);
  }
  return sessionStorage.getItem("holesim token") ?? "";
}

/** @param {string} pass @returns {Promise<string>} */
async function enter(pass) {
  try {
    const answer = await fetch("/api/enter", { method: "POST", headers: { "X-Holesim-Token": pass } });
    return answer.ok ? (await answer.json()).token : "";
  } catch {
    return "";
  }
}

/** What the server refused, as its one plain line. */
export class Refused extends Error {
  /** @param {number} status @param {string} line */
  constructor(status, line) {
    super(line);
    this.status = status;
  }
}

/** The SHA-256 of a file, in hexadecimal digits; empty on a device of the network, whose browser works none out
 * where what is sent is not encrypted. @param {Blob} body */
export async function sha256(body) {
  if (globalThis.crypto?.subtle === undefined) return "";
  const digest = await crypto.subtle.digest("SHA-256", await body.arrayBuffer());
  return [...new Uint8Array(digest)].map((byte) => byte.toString(16).padStart(2, "0")).join("");
}

/** @param {string} token */
export function createApi(token) {
  /** @param {string} path @param {RequestInit} [init] */
  async function ask(path, init = {}) {
    let answer;
    try {
      answer = await fetch(path, { ...init, headers: { ...init.headers, "X-Holesim-Token": token } });
    } catch {
      throw new Refused(0, "holesim does not answer: is it still running in its terminal?");
    }
    if (answer.ok) return answer;
    const said = await answer.json().catch(() => ({}));
    throw new Refused(answer.status, said.error ?? `holesim refused: ${answer.status}`);
  }
  const file = (/** @type {string} */ name) => `/api/files/${name.split("/").map(encodeURIComponent).join("/")}`;

  return {
    /** @returns {Promise<Folder>} */
    folder: async () => (await ask("/api/folder")).json(),

    /** Put a file into the folder, as a new one or in place of the version that is there.
     * @param {string} name @param {Blob} body @param {boolean} replace */
    async put(name, body, replace) {
      const tag = replace ? (await ask(file(name))).headers.get("ETag") : null;
      await ask(file(name), { method: "PUT", body, headers: tag === null ? { "If-None-Match": "*" } : { "If-Match": tag } });
    },

    /** Write a file of the folder where it is still the one that was seen; return its SHA-256.
     * @param {string} name @param {Blob} body @param {string | null} seen null where there was none @returns {Promise<string>} */
    async keep(name, body, seen) {
      const headers = /** @type {Record<string, string>} */ (seen === null ? { "If-None-Match": "*" } : { "If-Match": `"${seen}"` });
      return (await (await ask(file(name), { method: "PUT", body, headers })).json()).sha256;
    },

    /** Copy the course or the player that comes with holesim into the folder. @param {"course" | "player"} kind
     * @returns {Promise<string>} its name there */
    async copyExample(kind) {
      return (await (await ask(`/api/examples/${kind}`, { method: "POST" })).json()).name;
    },

    /** Open a file of the folder in a new tab. @param {string} name */
    async show(name) {
      // The tab is opened before the file is there: later it would count as unasked for.
      const tab = window.open("", "_blank");
      const go = (/** @type {string} */ address) => (tab === null ? location.assign(address) : tab.location.replace(address));
      try {
        if (/\.html$/i.test(name)) {
          // A page runs by rules of its own, at an address for one use.
          go((await this.json("POST", "/api/shown", { name })).address);
          return;
        }
        const address = URL.createObjectURL(await (await ask(file(name))).blob());
        go(address);
        setTimeout(() => URL.revokeObjectURL(address), 60_000);
      } catch (refused) {
        tab?.close();
        throw refused;
      }
    },

    /** @param {object} job @returns {Promise<number>} its number */
    async start(job) {
      const init = { method: "POST", body: JSON.stringify(job), headers: { "Content-Type": "application/json" } };
      return (await (await ask("/api/jobs", init)).json()).job;
    },

    /** Send and receive JSON. @param {string} method @param {string} path @param {object} [content] @returns {Promise<any>} */
    async json(method, path, content) {
      const headers = { "Content-Type": "application/json" };
      const sent = content === undefined ? { method } : { method, body: JSON.stringify(content), headers };
      return (await ask(path, sent)).json();
    },

    /** A file of the folder. @param {string} name @returns {Promise<Blob>} */
    blob: async (name) => (await ask(file(name))).blob(),

    /** @param {number} job */
    cancel: (job) => ask(`/api/jobs/${job}`, { method: "DELETE" }),
  };
}
/** @typedef {ReturnType<typeof createApi>} Api */
