// After the round: the parts that enter a round and show what it taught, put together.
import { html, nothing, render } from "lit-html";
import { live } from "lit-html/directives/live.js";
import { part } from "../page_parts.js";
import { createFinishMap } from "./finish_map.js";
import { createHoleEntry } from "./hole_entry.js";
import { createReviewPanel } from "./review_panel.js";
import { readHash, roundHash } from "./round_rows.js";
import { createRoundStart } from "./round_start.js";
import { createRound } from "./round_store.js";

/** @param {import("../planning/state.js").Store} store @param {import("../api.js").Api} api @param {import("../jobs.js").Jobs} jobs
 * @param {() => Promise<void>} look at the folder again */
export function createAfterView(store, api, jobs, look) {
  const round = createRound(api, changed);
  const entry = createHoleEntry(round);
  const map = createFinishMap(round, entry);
  const start = createRoundStart(round, store, api, jobs, look);
  const review = createReviewPanel(round, api, jobs, store, look);
  let due = false;
  let hole = "";

  function changed() {
    if (due) return;
    due = true;
    requestAnimationFrame(draw);
  }

  /** Keep the round and its hole in the address, so that a reload and Back find them. */
  function keepAddress() {
    const state = round.get();
    const hash = roundHash(state);
    if (store.get().view !== "after" || location.hash === hash) return;
    // Back goes to the choice of a round, not through all holes.
    if (readHash(location.hash).plan === state.plan) history.replaceState(null, "", hash);
    else history.pushState(null, "", hash);
  }

  function drawBar() {
    const { opened, date, tee, saving, saved, clash, said, round: name, rows, hole: shown } = round.get();
    render(opened === null ? html`<h1 class="unseen">After the round</h1>` : html`
      <h1>${opened.course}, ${opened.player} <small>${opened.text}</small></h1>
      <label class="field">played on <input type="date" .value=${date} @change=${(/** @type {Event} */ { target }) => {
        const { value } = /** @type {HTMLInputElement} */ (target);
        if (value !== "") round.changeRound({ date: value });
      }} /></label>
      ${opened.tees.length < 2 ? nothing : html`<label class="field">tee <select @change=${(/** @type {Event} */ { target }) => round.changeRound({ tee: /** @type {HTMLSelectElement} */ (target).value })}>
        ${opened.tees.map((one) => html`<option value=${one} .selected=${live(one === tee)}>${one}</option>`)}</select></label>`}
      <button type="button" @click=${() => round.close()}>Another round</button>
      <p class="saved" role="status">${said !== "" ? said : saving ? "saving …" : saved ? `saved in ${name}` : "kept in the folder from the first entry on"}</p>
      ${clash ? html`<button type="button" @click=${() => round.readAnew()}>Read the file anew</button>` : nothing}
      <div id="after-holes" role="group" aria-label="holes">${opened.holes.map(({ hole: number, par }) => {
        const row = rows[number];
        const words = row === undefined ? "nothing entered" : row.score === null ? "no score yet" : `${row.score} strokes`;
        return html`<button type="button" class=${row === undefined ? "" : "entered"} aria-pressed=${number === shown ? "true" : "false"}
          aria-label=${`hole ${number}, par ${par}, ${words}`} @click=${() => round.set({ hole: number })}>${number}<small>${row?.score ?? (row === undefined ? "" : "–")}</small></button>`;
      })}</div>`, part("after-bar"));
  }

  function draw() {
    due = false;
    const { opened, plan, hole: number } = round.get();
    if (store.get().view === "after") document.title = opened === null ? "After the round" : `Round at ${opened.course}`;
    if (hole !== `${plan} ${number}`) {
      hole = `${plan} ${number}`;
      entry.calm();
    }
    part("after").classList.toggle("empty", opened === null);
    drawBar();
    start.draw();
    entry.draw();
    map.draw();
    review.draw();
    if (opened !== null) keepAddress();
  }

  return {
    draw,
    enter() {
      const { plan, round: name, hole: number } = readHash(location.hash);
      const state = round.get();
      if (plan === "" && state.opened !== null) round.close();
      else if (plan !== "" && (plan !== state.plan || name !== state.round)) void round.open(plan, name, number);
      else if (plan !== "" && number !== state.hole) round.set({ hole: number });
      void round.look();
      void look();
      map.showAgain();
      changed();
    },
  };
}
