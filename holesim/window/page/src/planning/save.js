// Saving the plan of the round: its name, its progress, its cards.
/** @typedef {import("../records").State} State */
import { html, nothing, render } from "lit-html";
import { Refused } from "../api.js";
import { paper, paperField } from "../paper.js";
import { Cancelled } from "../jobs.js";
import { folderName } from "../words.js";
import { working } from "../working.js";
import { compassPoint } from "./wind.js";

const SHOWN = /\.(?:pdf|html|png)$/;

/** What a plan is usually called. @param {State} state */
export function usualName({ opened, wind }) {
  if (opened === null) return "";
  const blows = wind.mph === 0 ? "calm" : `${compassPoint(wind.from_deg)} ${wind.mph}`;
  return `${opened.course.name}, ${opened.player.name}, ${blows}`;
}

/** What is sent to have the plan saved. @param {State} state @param {string} folder */
export function planJob(state, folder) {
  const { course, layout, player, options, wind, tee } = state;
  return {
    kind: "plan", name: `plans/${folder}`, course, layout, player, tees: [tee],
    options: { ...options, wind_mph: wind.mph, wind_from_deg: wind.from_deg },
  };
}

/** @param {HTMLElement} box @param {import("./state.js").Store} store @param {import("../api.js").Api} api
 * @param {import("../jobs.js").Jobs} jobs @param {() => void} saved */
export function createSave(box, store, api, jobs, saved) {
  let asking = false;
  let typed = "";
  let said = "";
  let name = "";
  /** @type {string[]} */ let files = [];
  /** @type {import("../jobs.js").Progress | null} */ let progress = null;
  let cancel = () => {};

  async function start() {
    const folder = folderName(typed);
    if (folder === "") {
      said = "Give the plan a name with a letter or a digit in it.";
      draw();
      return;
    }
    const job = { ...planJob(store.get(), folder), paper: paper() };
    [asking, said, name, files] = [false, "", job.name, []];
    const work = jobs.start(job, (now) => {
      progress = now.running ? now : null;
      draw();
    });
    cancel = work.cancel;
    try {
      files = (await work.ended).files;
      said = `Saved in ${name}.`;
      saved();
    } catch (failed) {
      said = failed instanceof Cancelled ? "Cancelled: nothing was saved." : /** @type {Error} */ (failed).message;
      asking = failed instanceof Refused; // another name may do
    }
    draw();
  }

  function ask() {
    if (store.get().opened === null || progress !== null) return;
    [asking, typed, said] = [true, usualName(store.get()), ""];
    draw();
    const field = /** @type {HTMLInputElement | null} */ (box.querySelector("#plan-name"));
    field?.focus();
    field?.select();
  }

  /** @param {string} file */
  const link = (file) => html`<li><button type="button" class="link"
    @click=${() => api.show(file).catch((refused) => store.set({ said: refused.message }))}>${file.split("/").at(-1)}</button></li>`;

  function draw() {
    const { opened } = store.get();
    render(html`
      ${progress !== null || asking ? nothing : html`<button type="button" class="main" ?disabled=${opened === null} @click=${ask}>Save the plan</button>`}
      ${asking ? html`<form @submit=${(/** @type {Event} */ sent) => { sent.preventDefault(); void start(); }}
          @keydown=${(/** @type {KeyboardEvent} */ { key }) => { if (key === "Escape") { asking = false; draw(); } }}>
        <label class="field">name <input id="plan-name" type="text" maxlength="80" .value=${typed}
          @input=${(/** @type {Event} */ { target }) => { typed = /** @type {HTMLInputElement} */ (target).value; draw(); }} /></label>
        ${paperField()}
        <p class="quiet">goes to the folder plans/${folderName(typed)}</p>
        <button type="submit" class="main">Save</button> <button type="button" @click=${() => { asking = false; draw(); }}>Do not save</button>
      </form>` : nothing}
      ${progress === null ? nothing : working(progress, `saving ${name}`, () => cancel())}
      <p role="status">${said}</p>
      ${files.length === 0 ? nothing : html`<ul class="links">${files.filter((file) => SHOWN.test(file)).map(link)}</ul>`}`, box);
  }

  store.subscribe(({ opened }, before) => {
    if (opened !== before.opened) draw();
  });
  draw();
  return { ask };
}
