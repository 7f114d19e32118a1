// The coach's desk: all golfers of the folder, what practice would pay them, and their sheets in one go.
/** @typedef {import("../records").CoachState} CoachState */
/** @typedef {import("../records").Golfer} Golfer */
import { html, nothing, render } from "lit-html";
import { live } from "lit-html/directives/live.js";
import { Cancelled } from "../jobs.js";
import { part } from "../page_parts.js";
import { createPupil } from "./pupil.js";
import { paper, paperField } from "../paper.js";
import { pupilIn, sheetsName, worthText } from "./pupil_words.js";

const SHEETS = /** @type {[string, string][]} */ ([
  ["lesson", "lesson"], ["pocket", "pocket card"], ["coach", "coach's sheet"], ["page", "page for a phone"],
]);

/** @param {import("../planning/state.js").Store} store @param {import("../api.js").Api} api @param {import("../jobs.js").Jobs} jobs
 * @param {() => Promise<void>} look at the folder again */
export function createCoachView(store, api, jobs, look) {
  /** @type {CoachState} */ let state = {
    golfers: [], course: "", layout: null, mph: 0, from: 0, ticked: [], worth: {}, worthOf: "", sheets: ["lesson", "pocket"], by: "",
    files: [], pupil: "", said: "",
  };
  /** @type {import("../jobs.js").Progress | null} */ let progress = null;
  /** @type {(() => void) | null} */ let cancel = null;
  let doing = "";
  let looked = false;

  /** @param {Partial<CoachState>} change */
  function set(change) {
    state = { ...state, ...change };
    draw();
  }
  const desk = { api, jobs, get: () => state, say: (/** @type {string} */ said) => set({ said }) };
  const pupil = createPupil(desk);

  async function lookAtGolfers() {
    try {
      const { golfers } = await api.json("GET", "/api/coach/golfers");
      looked = true;
      set({ golfers, ticked: state.ticked.filter((name) => golfers.some((/** @type {Golfer} */ one) => one.name === name)) });
    } catch (refused) {
      set({ said: /** @type {Error} */ (refused).message });
    }
  }
  const options = () => (state.mph === 0 ? {} : { wind_mph: state.mph, wind_from_deg: state.from });
  const chosen = () => (state.ticked.length > 0 ? state.ticked : state.golfers.filter(({ error }) => error === undefined).map(({ name }) => name));

  /** Do long work. @param {string} what @param {object} order @param {(end: Record<string, any>) => Partial<CoachState>} taken */
  async function work(what, order, taken) {
    doing = what;
    set({ said: "" });
    const job = jobs.start(order, (told) => {
      progress = told;
      draw();
    });
    cancel = job.cancel;
    let change = /** @type {Partial<CoachState>} */ ({});
    try {
      change = taken(await job.ended);
    } catch (failed) {
      change = { said: failed instanceof Cancelled ? "Cancelled: nothing was kept." : /** @type {Error} */ (failed).message };
    }
    [progress, cancel] = [null, null];
    set(change);
  }
  const round = () => JSON.stringify([state.course, state.layout, state.mph, state.from]);
  const practise = () => {
    const asked = round();
    return work("finding what practice pays", { kind: "practice", course: state.course, layout: state.layout, players: chosen(), options: options() },
      ({ answer }) => ({ worth: { ...(state.worthOf === asked ? state.worth : {}), ...answer.players }, worthOf: asked }));
  };
  const print = () => {
    const title = store.get().folder?.courses.find(({ name }) => name === state.course)?.title ?? state.course;
    const name = sheetsName(title, new Date().toISOString().slice(0, 19).replaceAll(":", "-"));
    return work("making sheets", { kind: "sheets", name, course: state.course, players: chosen(), sheets: state.sheets, by: state.by, options: options(), paper: paper() },
      ({ files }) => {
        void look();
        return { files, said: `The sheets are in ${name}.` };
      });
  };

  /** @param {string} name */
  function show(name) {
    history.pushState(null, "", `#/coach/${encodeURIComponent(name)}`);
    set({ pupil: name });
  }
  /** @param {string} name */
  const tick = (name) => set({ ticked: state.ticked.includes(name) ? state.ticked.filter((one) => one !== name) : [...state.ticked, name] });

  /** @param {Golfer} golfer */
  function row({ name, title, handicap, speed_mph, strikes, last, drives, error }) {
    if (error !== undefined) return html`<tr><td></td><th scope="row">${name}</th><td colspan="5" class="fault">${error}</td></tr>`;
    return html`<tr class=${name === state.pupil ? "here" : ""}>
      <td><label class="tick"><input type="checkbox" aria-label=${title} .checked=${live(state.ticked.includes(name))} @change=${() => tick(name)} /></label></td>
      <th scope="row"><button type="button" class="link" @click=${() => show(name)}>${title}</button></th>
      <td class="number">${handicap}</td><td class="number">${speed_mph.toFixed(0)} mph</td><td>${strikes.join(", ")}</td>
      <td>${last ?? (drives > 0 ? `${drives} drives, no date` : "not measured")}</td><td>${worthText(state.worthOf === round() ? state.worth[name] : undefined)}</td></tr>`;
  }

  function drawDesk() {
    const { folder } = store.get();
    const { golfers, course, layout, ticked, sheets, by, mph, from, said, files } = state;
    if (folder === null || !looked) return;
    if (golfers.length === 0 || folder.courses.length === 0) {
      render(html`<p class="hint">The desk needs golfers and a course in the folder. <a href="#/golfers">Add a golfer</a>, or <a href="#/draw">draw a course</a>.</p>`, part("coach-desk"));
      return;
    }
    const courses = folder.courses.flatMap(({ name: file, title, layouts }) => layouts.length < 2
      ? [{ value: JSON.stringify([file, null]), text: title }]
      : layouts.map((one) => ({ value: JSON.stringify([file, one]), text: `${title}, ${one}` })));
    const working = progress !== null;
    const who = ticked.length === 0 ? "all" : `${ticked.length}`;
    const number = (/** @type {"mph" | "from"} */ key, /** @type {number} */ most, /** @type {number} */ now) => html`<input type="number" min="0" max=${most} .value=${String(now)}
      aria-label=${key === "mph" ? "wind in miles an hour" : "wind from, in degrees"} @change=${(/** @type {Event} */ { target }) => {
        const input = /** @type {HTMLInputElement} */ (target);
        if (input.reportValidity() && input.value !== "") set(/** @type {Partial<CoachState>} */ ({ [key]: input.valueAsNumber }));
      }} />`;
    render(html`
      <div class="bar"><label class="field">course <select @change=${(/** @type {Event} */ { target }) => {
        const [file, one] = JSON.parse(/** @type {HTMLSelectElement} */ (target).value);
        set({ course: file, layout: one });
      }}>${courses.map(({ value, text }) => html`<option value=${value} .selected=${live(value === JSON.stringify([course, layout]))}>${text}</option>`)}</select></label>
        <span class="field">wind ${number("mph", 80, mph)} mph from ${number("from", 360, from)} °</span></div>
      <div class="wide"><table><caption>Golfers of the folder</caption><thead><tr><th scope="col"><span class="unseen">chosen</span></th><th scope="col">golfer</th><th scope="col">handicap</th>
        <th scope="col">club speed</th><th scope="col">strikes</th><th scope="col">last session</th><th scope="col">what practice pays most</th></tr></thead>
        <tbody>${golfers.map(row)}</tbody></table></div>
      <div class="bar"><button type="button" ?disabled=${working} @click=${practise}>What would practice pay ${who}?</button></div>
      <fieldset class="bar"><legend>sheets for ${who}</legend>${SHEETS.map(([value, text]) => html`<label class="chip"><input type="checkbox" .checked=${live(sheets.includes(value))}
        @change=${() => set({ sheets: sheets.includes(value) ? sheets.filter((one) => one !== value) : [...sheets, value] })} />${text}</label>`)}
        <label class="field">by <input type="text" maxlength="80" .value=${by} placeholder="the coach's name" @change=${(/** @type {Event} */ { target }) => set({ by: /** @type {HTMLInputElement} */ (target).value.trim() })} /></label>
        ${paperField()}
        <button type="button" class="main" ?disabled=${working || sheets.length === 0} @click=${print}>Make the sheets</button></fieldset>
      ${progress === null ? nothing : html`<div class="bar"><label class="field">${doing} <progress max=${Math.max(progress.total, 1)} .value=${progress.done}></progress></label>
        <span class="quiet">${progress.total > 0 ? `${progress.done} of ${progress.total} steps` : "starting …"}</span>
        <button type="button" ?disabled=${progress.cancelling} @click=${() => cancel?.()}>${progress.cancelling ? "Cancelling …" : "Cancel"}</button></div>`}
      <p role="status">${said}</p>
      ${files.length === 0 ? nothing : html`<ul class="links">${files.filter((file) => /\.(?:pdf|html)$/.test(file)).map((file) => html`<li>
        <button type="button" class="link" @click=${() => api.show(file).catch((refused) => desk.say(refused.message))}>${file.split("/").at(-1)}</button></li>`)}</ul>`}`, part("coach-desk"));
  }

  function draw() {
    const { folder, view } = store.get();
    if (view !== "coach") return;
    const first = folder?.courses.find(({ name }) => name === state.course) ?? folder?.courses[0];
    if (first !== undefined && first.name !== state.course) state = { ...state, course: first.name, layout: first.layouts.length > 1 ? first.layouts[0] : null };
    drawDesk();
    pupil.draw();
  }
  return {
    draw,
    enter() {
      state = { ...state, pupil: pupilIn(location.hash) };
      void lookAtGolfers();
      void look();
      draw();
    },
  };
}
/** @typedef {{api: import("../api.js").Api, jobs: import("../jobs.js").Jobs, get: () => CoachState, say: (said: string) => void}} Desk */
