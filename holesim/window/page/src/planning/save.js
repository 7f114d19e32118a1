// Saving the plan of the round: its name, its progress, its cards.
/** @typedef {import("../records").State} State */
import { html, nothing, render } from "lit-html";
import { compassPoint } from "./wind.js";
import { folderName } from "../words.js";

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
 * @param {() => void} saved */
export function createSave(box, store, api, saved) {
  let asking = false;
  let typed = "";
  let said = "";
  let cancelling = false;

  async function start() {
    const folder = folderName(typed);
    if (folder === "") {
      said = "Give the plan a name with a letter or a digit in it.";
      draw();
      return;
    }
    try {
      said = "";
      cancelling = false;
      const job = planJob(store.get(), folder);
      const number = await api.start(job);
      asking = false;
      store.set({ job: { job: number, name: job.name, done: 0, total: 0, files: [], said: "", ended: false } });
    } catch (refused) {
      said = /** @type {Error} */ (refused).message;
      draw();
    }
  }

  async function cancel() {
    const { job } = store.get();
    if (job === null) return;
    cancelling = true;
    draw();
    await api.cancel(job.job).catch((refused) => store.set({ said: refused.message }));
  }

  function ask() {
    const { job, opened } = store.get();
    if (opened === null || (job !== null && !job.ended)) return;
    asking = true;
    typed = usualName(store.get());
    draw();
    const field = /** @type {HTMLInputElement | null} */ (box.querySelector("#plan-name"));
    field?.focus();
    field?.select();
  }

  /** @param {string} file */
  const link = (file) => html`<li><button type="button" class="link"
    @click=${() => api.show(file).catch((refused) => store.set({ said: refused.message }))}>${file.split("/").at(-1)}</button></li>`;

  function draw() {
    const { job, opened } = store.get();
    const running = job !== null && !job.ended;
    render(html`
      ${running || asking ? nothing : html`<button type="button" class="main" ?disabled=${opened === null} @click=${ask}>Save the plan</button>`}
      ${asking ? html`<form @submit=${(/** @type {Event} */ sent) => { sent.preventDefault(); void start(); }}
          @keydown=${(/** @type {KeyboardEvent} */ { key }) => { if (key === "Escape") { asking = false; draw(); } }}>
        <label class="field">name <input id="plan-name" type="text" maxlength="80" .value=${typed}
          @input=${(/** @type {Event} */ { target }) => { typed = /** @type {HTMLInputElement} */ (target).value; draw(); }} /></label>
        <p class="quiet">goes to the folder plans/${folderName(typed)}</p>
        <button type="submit" class="main">Save</button> <button type="button" @click=${() => { asking = false; draw(); }}>Do not save</button>
      </form>` : nothing}
      ${running ? html`<label class="field">saving ${job.name}
          <progress max=${Math.max(job.total, 1)} .value=${job.done}></progress></label>
        <p class="quiet">${job.total > 0 ? `${job.done} of ${job.total} steps` : "starting …"}</p>
        <button type="button" ?disabled=${cancelling} @click=${cancel}>${cancelling ? "Cancelling …" : "Cancel"}</button>` : nothing}
      <p role="status">${said}${job !== null && job.ended ? job.said || `Saved in ${job.name}.` : ""}</p>
      ${job !== null && job.files.length > 0 ? html`<ul class="links">${job.files.filter((file) => SHOWN.test(file)).map(link)}</ul>` : nothing}`, box);
  }

  store.subscribe(({ job, opened }, before) => {
    if (job !== before.job && job?.ended && job.files.length > 0) saved();
    if (job !== before.job || opened !== before.opened) draw();
  });
  draw();
  return { ask };
}
