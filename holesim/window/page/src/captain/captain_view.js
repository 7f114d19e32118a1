// The captain's table: all its parts, put together when Captain is first chosen.
import { html, nothing, render } from "lit-html";
import { part } from "../page_parts.js";
import { paperField } from "../paper.js";
import { folderName } from "../words.js";
import { createCaptain } from "./captain_store.js";
import { working } from "../working.js";
import { valueOf } from "./parts.js";
import { setupForm } from "./setup_form.js";
import { findings, ofWeekend, table } from "./table.js";
import { listenToHands } from "./table_hands.js";
import { createTeamForm } from "./team_form.js";
import { createWeekendForm } from "./weekend_form.js";
import { createWeekend } from "./weekend_store.js";

const PAPER = /\.pdf$|\/strip-[^/]*\.html$/; // captain.html points to the strips beside it, so it is opened from the folder

/** @param {import("../planning/state.js").Store} store @param {import("../api.js").Api} api
 * @param {import("../jobs.js").Jobs} jobs @param {() => Promise<void>} look at the folder again */
export function createCaptainView(store, api, jobs, look) {
  const captain = createCaptain(api, jobs);
  const weekends = createWeekend(captain, api);
  let folder = "";

  /** Choose a team, which the address then names. @param {string} team */
  function choose(team) {
    if (named() !== team) history.pushState(null, "", addressOf(team));
    void captain.choose(team);
  }
  const addressOf = (/** @type {string} */ team) => ["#/captain", ...(team === "" ? [] : team.split("/").map(encodeURIComponent))].join("/");
  const named = () => decodeURIComponent(/^#\/captain\/(.+)$/.exec(location.hash)?.[1] ?? "");

  let due = false;
  function soon() {
    if (due) return;
    due = true;
    requestAnimationFrame(() => {
      due = false;
      draw();
    });
  }
  const form = createTeamForm(captain, store, api, choose, soon);
  const weekendForm = createWeekendForm(captain, weekends, api, soon);

  function sheets() {
    const state = captain.get();
    if (state.plan === null) return nothing;
    const { team, format, occasion } = state.plan.team;
    const usual = `${team} ${ofWeekend(state) ? occasion : format}${captain.changed() ? " own draw" : ""}`;
    const place = `captain/${folderName(folder || usual)}`;
    return html`<h2>Sheets and strips to print</h2>
      ${state.progress !== null && state.work === "sheets" ? html`<div>${working(state.progress, "sheets", captain.cancel)}</div>` : html`
        <label class="field">name <input type="text" maxlength="80" placeholder=${usual} .value=${folder}
          @input=${(/** @type {Event} */ event) => { folder = valueOf(event); soon(); }} /></label>
        ${paperField()}
        <p class="quiet">Of the draw on the table. Goes to the folder ${place}: the captain's sheet, a page for a phone, and each player's strip.</p>
        <button type="button" ?disabled=${state.progress !== null} @click=${() => void captain.save(place).then(look)}>Save the sheets</button>`}`;
  }

  function saved() {
    const { saved: files } = captain.get();
    return files.length === 0 ? nothing : html`<ul class="links">${files.map((file) => html`<li>${PAPER.test(file)
      ? html`<button type="button" class="link" @click=${() => api.show(file).catch(captain.refuse)}>${file}</button>` : file}</li>`)}</ul>`;
  }

  function draw() {
    const state = captain.get();
    const { plan } = state;
    const aside = form.open() ? form.render() : setupForm(state, store.get().folder, captain, form, choose);
    render(html`<h2 class="unseen">What is played</h2>${aside}`, part("captain-setup"));
    render(plan === null ? html`<p class="hint">${state.squads !== null && state.squads.teams.length === 0
      ? "Put a team together, or drop a team file into the folder." : "Choose a course and a team, then plan: the best pairs and order come onto the table."}</p>`
      : table(state, plan, captain), part("captain-table"));
    render(plan === null ? nothing : html`${sheets()}${saved()}${findings(plan)}`, part("captain-found"));
    render(html`${weekendForm.render(state)}${plan === null ? saved() : nothing}`, part("captain-weekend"));
    render(html`${state.said} <span class="unseen">${state.heard}</span>`, part("captain-said"));
    render(state.mistake === "" ? nothing : html`<p class="say fault">${state.mistake}
      <button type="button" class="link" @click=${() => captain.set({ mistake: "" })}>close</button></p>`, part("captain-mistake"));
  }

  captain.subscribe(soon);
  listenToHands(part("captain-table"), part("captain-ghost"), captain);
  captain.again();

  return {
    async enter() {
      const before = captain.get().team;
      soon();
      await Promise.all([captain.look(), store.get().folder === null ? look() : null]);
      const { folder: held, course, layout } = store.get();
      if (captain.get().course === "" && held !== null) {
        const found = held.courses.find(({ name }) => name === course) ?? held.courses[0];
        if (found !== undefined) captain.set({ course: JSON.stringify([found.name, found.layouts.length > 1 ? layout ?? found.layouts[0] : null]) });
      }
      const team = named() || before || (captain.get().squads?.teams.find(({ builtin }) => !builtin) ?? captain.get().squads?.teams[0])?.name || "";
      if (team !== named() && store.get().view === "captain") history.replaceState(null, "", addressOf(team));
      if (team !== captain.get().team || captain.get().shown === null) await captain.choose(team);
    },
    draw: soon,
  };
}
