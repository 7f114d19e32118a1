// A weekend: results typed at lunch, and what is left planned anew.
/** @typedef {import("../records").WeekendShown} WeekendShown */
/** @typedef {import("../records").WeekendSession} WeekendSession */
/** @typedef {{players: string[], value: string}} Row */
import { html, nothing } from "lit-html";
import { folderName } from "../words.js";
import { part } from "../page_parts.js";
import { paperField } from "../paper.js";
import { working } from "../working.js";
import { field, select } from "./parts.js";

const POINTS = [{ value: "", text: "choose …" }, { value: "1", text: "won, 1 point" }, { value: "0.5", text: "halved, ½" }, { value: "0", text: "lost, 0" }];

/** The rows of a session's results, as they are typed. @param {WeekendSession} session @returns {Row[]} */
export function rowsOfResults({ results, sides, size, unit }) {
  return Array.from({ length: Math.max(sides, results.length) }, (_, i) => {
    const found = results[i];
    const value = found === undefined ? "" : String(unit === "points" ? found.points : found.strokes);
    return { players: Array.from({ length: size }, (__, k) => found?.players[k] ?? ""), value };
  });
}

/** What is written of a session, or what is missing. @param {WeekendSession} session @param {Row[]} rows
 * @returns {{results: object[]} | {mistake: string}} */
export function resultsOf({ unit, name }, rows) {
  if (rows.some(({ players }) => players.includes(""))) return { mistake: `${name}: choose who played.` };
  if (rows.some(({ value }) => value.trim() === "" || !Number.isFinite(Number(value)))) {
    return { mistake: `${name}: give every side its ${unit === "points" ? "result" : "strokes"}.` };
  }
  return { results: rows.map(({ players, value }) => ({ players, [unit]: Number(value) })) };
}

/** @param {import("./captain_store.js").Captain} captain @param {import("./weekend_store.js").WeekendStore} weekends
 * @param {Pick<import("../api.js").Api, "show">} api @param {() => void} draw */
export function createWeekendForm(captain, weekends, api, draw) {
  /** @type {Map<number, Row[]>} */ const typed = new Map();
  let of = "";

  /** @param {WeekendShown} weekend @param {WeekendSession} session @param {number} number */
  function sessionForm(weekend, session, number) {
    const rows = typed.get(number) ?? rowsOfResults(session);
    const change = (/** @type {number} */ i, /** @type {Row} */ row) => {
      typed.set(number, rows.map((other, k) => (k === i ? row : other)));
      draw();
    };
    const squad = [{ value: "", text: "choose …" }, ...weekend.squad.map((who) => ({ value: who, text: who }))];
    const put = async (/** @type {object[]} */ results) => {
      if (await weekends.play(number, results)) typed.delete(number);
    };
    const write = () => {
      const found = resultsOf(session, rows);
      if ("mistake" in found) captain.set({ mistake: found.mistake });
      else void put(found.results);
    };
    const played = session.results.length > 0;
    return html`<details class="session" ?open=${played}><summary>${session.name}: ${session.format}${played ? ", played" : ""}</summary>
      ${rows.map((row, i) => html`<div class="person">
        ${row.players.map((player, k) => select(k === 0 ? "played" : "with", squad, player,
        (who) => change(i, { ...row, players: row.players.map((other, j) => (j === k ? who : other)) })))}
        ${session.unit === "points" ? select("result", POINTS, row.value, (value) => change(i, { ...row, value }))
      : field("strokes", row.value, (value) => change(i, { ...row, value }))}</div>`)}
      ${weekend.builtin ? html`<p class="quiet">The example stays as it is: copy it into your folder to write results.</p>` : html`<div class="actions">
        <button type="button" @click=${write}>Write these results</button>
        ${played ? html`<button type="button" @click=${() => void put([])}>Not played yet</button>` : nothing}</div>`}</details>`;
  }

  return {
    /** @param {import("../records").CaptainState} state */
    render(state) {
      const { squads, weekend } = state;
      const found = squads?.weekends ?? [];
      if (found.length === 0) return nothing;
      if (of !== weekend?.name) typed.clear();
      of = weekend?.name ?? "";
      const folder = `captain/${folderName(weekend?.title ?? "")}`;
      return html`<h2>A weekend</h2>
        ${select("weekend", [{ value: "", text: "none" }, ...found.map(({ name, title, builtin }) => ({ value: name, text: builtin ? `${title} (example)` : title }))],
        weekend?.name ?? "", (name) => void weekends.open(name))}
        ${weekend === null ? nothing : html`
          <p class="quiet">${weekend.won} won so far${weekend.needed === null ? "" : ` of the ${weekend.needed} points needed`}</p>
          ${weekend.sessions.map((session, i) => sessionForm(weekend, session, i))}
          ${state.progress !== null && state.work === "the weekend" ? html`<div>${working(state.progress, "the weekend", captain.cancel)}</div>` : html`<div class="actions">
            <button type="button" class="main" ?disabled=${state.progress !== null} @click=${() => void weekends.plan()}>Plan what is left</button>
            ${paperField()}
            <button type="button" ?disabled=${state.progress !== null} @click=${() => void weekends.save(folder)}>Save its sheets in ${folder}</button></div>`}
          ${state.weekendText === "" ? nothing : html`<pre class="weekend" tabindex="0" aria-label="what is left of the weekend">${state.weekendText}</pre>
            <div class="actions">${weekend.sessions.map(({ name }, i) => state.sessions[i] == null ? nothing
    : html`<button type="button" @click=${() => void weekends.lay(i).then(() => part("captain-table").scrollIntoView())}>${name}: change its draw</button>`)}</div>`}`}`;
    },
  };
}
