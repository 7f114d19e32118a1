// A weekend: what is written into its file of sessions that have been played, and what is left, planned anew.
import { paper } from "../paper.js";

/** @param {import("./captain_store.js").Captain} captain @param {Pick<import("../api.js").Api, "json">} api */
export function createWeekend(captain, api) {
  const path = (/** @type {string} */ name) => `/api/captain/weekends/${name.split("/").map(encodeURIComponent).join("/")}`;

  return {
    /** @param {string} name */
    async open(name) {
      captain.set({ weekend: null, weekendText: "", sessions: [], mistake: "" });
      if (name === "") return;
      try {
        captain.set({ weekend: await api.json("GET", path(name)) });
      } catch (error) {
        captain.refuse(error);
      }
    },

    /** Write what was played in a session, none for one that is still to be played; say whether it is written.
     * @param {number} session @param {object[]} results */
    async play(session, results) {
      const { weekend } = captain.get();
      if (weekend === null) return false;
      try {
        const found = await api.json("PUT", path(weekend.name), { sha256: weekend.sha256, session, results });
        const did = results.length === 0 ? "Results taken out of" : "Results written into";
        captain.set({ weekend: found, weekendText: "", sessions: [], mistake: "", heard: "", said: `${did} ${weekend.name}.` });
        return true;
      } catch (error) {
        captain.refuse(error);
        return false;
      }
    },

    /** Plan what is left. */
    async plan() {
      const { weekend } = captain.get();
      const ended = weekend === null ? null : await captain.run({ kind: "weekend", weekend: weekend.name }, "the weekend");
      if (ended !== null) captain.set({ weekendText: ended.answer.text, sessions: ended.answer.sessions, heard: "", said: "What is left is planned." });
    },

    /** Put a session that is left on the table. @param {number} session */
    async lay(session) {
      const { weekend, sessions } = captain.get();
      const plan = sessions[session] ?? null;
      if (weekend === null || plan === null) return;
      await captain.lay(plan, JSON.stringify({ kind: "session sheets", weekend: weekend.name, session }), `${weekend.sessions[session].name} is on the table. `);
    },

    /** Save the sheets of the sessions that are left. @param {string} folder */
    async save(folder) {
      const { weekend } = captain.get();
      const ended = weekend === null ? null : await captain.run({ kind: "weekend sheets", name: folder, paper: paper(), weekend: weekend.name }, "the weekend");
      if (ended !== null) captain.set({ saved: ended.files, heard: "", said: `Saved in ${folder}.` });
    },
  };
}
/** @typedef {ReturnType<typeof createWeekend>} WeekendStore */
