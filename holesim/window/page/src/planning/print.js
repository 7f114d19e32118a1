// Printing what is shown: which handouts, their progress, and the tabs that they open in.
/** @typedef {import("../records").State} State */
import { html, nothing, render } from "lit-html";
import { folderName } from "../words.js";
import { Cancelled } from "../jobs.js";
import { working } from "../working.js";
import { paper, paperField } from "../paper.js";
import { planJob, usualName } from "./save.js";

const STYLES = [
  { value: "pocket", text: "pocket card" }, { value: "coach", text: "coach’s sheet" },
  { value: "lesson", text: "lesson" }, { value: "page", text: "page" },
];

/** A name that no folder of prints has. @param {string} folder @param {string[]} taken names of folders with plans */
export function freeName(folder, taken) {
  if (folder === "" || !taken.includes(`prints/${folder}`)) return folder;
  let count = 2;
  while (taken.includes(`prints/${folder}-${count}`)) count += 1;
  return `${folder}-${count}`;
}

/** What is sent to have the plan that is shown printed. @param {State} state @param {string} folder @param {string[]} styles */
export function printJob(state, folder, styles) {
  return { ...planJob(state, folder), kind: "print", name: `prints/${folder}`, styles };
}

/** @param {HTMLElement} box @param {import("./state.js").Store} store @param {import("../api.js").Api} api
 * @param {import("../jobs.js").Jobs} jobs @param {() => void} printed */
export function createPrint(box, store, api, jobs, printed) {
  let asking = false;
  let typed = "";
  let said = "";
  let styles = ["pocket"];
  /** @type {string[]} */ let files = [];
  /** @type {import("../jobs.js").Progress | null} */ let progress = null;
  let cancel = () => {};

  const folder = () => freeName(folderName(typed), (store.get().folder?.plans ?? []).map(({ name }) => name));
  /** @param {string} file */
  const show = (file) => api.show(file).catch((refused) => store.set({ said: refused.message }));

  async function start() {
    said = folderName(typed) === "" ? "Give it a name with a letter or a digit in it."
      : styles.length === 0 ? "Choose what to print." : "";
    if (said !== "") {
      draw();
      return;
    }
    [asking, files] = [false, []];
    const work = jobs.start({ ...printJob(store.get(), folder(), styles), paper: paper() }, (now) => {
      progress = now.running ? now : null;
      draw();
    });
    cancel = work.cancel;
    try {
      files = (await work.ended).files.filter((/** @type {string} */ file) => !file.endsWith(".json"));
      said = `Printed to ${files[0].slice(0, files[0].lastIndexOf("/"))}.`;
      printed();
    } catch (failed) {
      said = failed instanceof Cancelled ? "Cancelled: nothing was printed." : /** @type {Error} */ (failed).message;
    }
    draw();
    // A browser opens tabs for a press only, and for some seconds after it.
    if (files.length === 1 && navigator.userActivation?.isActive) void show(files[0]);
    else if (document.activeElement === document.body) /** @type {HTMLElement | null} */ (box.querySelector(".links button"))?.focus();
  }

  function ask() {
    if (store.get().opened === null || progress !== null) return;
    [asking, typed, said] = [true, usualName(store.get()), ""];
    draw();
    /** @type {HTMLElement | null} */ (box.querySelector("input"))?.focus();
  }
  function leave() {
    asking = false;
    draw();
    box.querySelector("button")?.focus();
  }

  /** @param {{value: string, text: string}} style */
  const chip = ({ value, text }) => html`<label class="chip"><input type="checkbox" .checked=${styles.includes(value)}
    @change=${() => {
      styles = styles.includes(value) ? styles.filter((one) => one !== value) : [...styles, value];
      draw();
    }} />${text}</label>`;

  const form = () => html`<form aria-label="print" @submit=${(/** @type {Event} */ sent) => { sent.preventDefault(); void start(); }}
      @keydown=${(/** @type {KeyboardEvent} */ pressed) => {
        if (pressed.key !== "Escape") return;
        pressed.stopPropagation(); // an aim that is held stays so
        leave();
      }}>
    <fieldset><legend>print the plan that is shown, as</legend><div class="chips">${STYLES.map(chip)}</div></fieldset>
    <label class="field">name <input type="text" maxlength="80" .value=${typed}
      @input=${(/** @type {Event} */ { target }) => { typed = /** @type {HTMLInputElement} */ (target).value; draw(); }} /></label>
    ${paperField()}
    <p class="quiet">goes to the folder prints/${folder()}</p>
    <button type="submit" class="main">Print</button> <button type="button" @click=${leave}>Do not print</button>
  </form>`;

  function draw() {
    const { opened } = store.get();
    render(html`
      ${asking || progress !== null ? nothing : html`<button type="button" ?disabled=${opened === null} @click=${ask}>Print …</button>`}
      ${asking ? form() : nothing}
      ${progress === null ? nothing : working(progress, "printing", () => cancel())}
      <p role="status">${said}</p>
      ${files.length === 0 ? nothing : html`<ul class="links">${files.map((file) => html`<li><button type="button" class="link"
        @click=${() => show(file)}>open ${file.split("/").at(-1)}</button></li>`)}</ul>`}`, box);
  }

  store.subscribe(({ opened }, before) => {
    if (opened !== before.opened) draw();
  });
  draw();
}
