// Which course is drawn, whether it is saved, and undo and redo.
/** @typedef {import("../records").DrawingState} DrawingState */
/** @typedef {import("../records").Folder} Folder */
import { html, nothing, render } from "lit-html";
import { live } from "lit-html/directives/live.js";
import { folderName } from "../words.js";
import { canUndo } from "./drawing_keys.js";

/** The course files that can be drawn: of the folder, also broken ones. @param {Folder | null} folder */
export function drawable(folder) {
  if (folder === null) return [];
  const whole = folder.courses.map(({ name, title, builtin }) => ({ name, title: builtin ? `${title} (to look at)` : title }));
  const broken = folder.broken.filter(({ drawable: can }) => can === true).map(({ name }) => ({ name, title: `${name}, with a mistake` }));
  return [...whole, ...broken];
}

/** Whether all is on disk, in words. @param {DrawingState} state */
export function savedWords({ saved, clash, waiting, builtin }) {
  if (clash !== null) return "not saved";
  return builtin ? "" : saved && waiting === 0 ? "saved" : "saving …";
}

/** A file name that is free. @param {string} title @param {Folder | null} folder */
export function freeFile(title, folder) {
  const stem = folderName(title);
  const taken = new Set([...(folder?.courses ?? []), ...(folder?.broken ?? [])].map(({ name }) => name));
  for (let i = 1; ; i++) {
    const name = `${stem}${i === 1 ? "" : `-${i}`}.geojson`;
    if (!taken.has(name)) return name;
  }
}

/** @param {HTMLElement} box @param {HTMLElement} start @param {HTMLElement} told
 * @param {{store: import("../planning/state.js").Store, api: import("../api.js").Api,
 *   drawing: import("./drawing_store.js").Drawing, tools: import("./drawing_tools.js").Tools, look: () => Promise<void>}} parts */
export function createDrawingBar(box, start, told, { store, api, drawing, tools, look }) {
  let naming = false;
  let title = "";
  let said = "";

  /** @param {string} name */
  function choose(name) {
    naming = name === "";
    if (name !== "" && name !== drawing.get().name) void drawing.open(name);
    draw();
  }

  /** @param {Event} sent */
  async function create(sent) {
    sent.preventDefault();
    const name = freeFile(title, store.get().folder);
    if (folderName(title) === "") {
      said = "Give the course a name with a letter or a digit in it.";
      draw();
      return;
    }
    try {
      await api.json("POST", "/api/drawings", { name, title });
      [naming, title, said] = [false, "", ""];
      await look();
      await drawing.open(name, 1);
    } catch (refused) {
      said = /** @type {Error} */ (refused).message;
    }
    draw();
  }

  /** Go on under another name: the file was changed by another, or came with holesim. */
  async function keepMine() {
    const name = freeFile(drawing.get().title || "course", store.get().folder);
    try {
      const answer = await drawing.send("copy", { name });
      await look();
      await drawing.open(answer.name, drawing.get().hole);
    } catch (refused) {
      drawing.set({ message: /** @type {Error} */ (refused).message });
    }
  }

  const forget = () => drawing.send("forget", {}).catch((refused) => drawing.set({ message: refused.message }));

  function draw() {
    const state = drawing.get();
    const files = drawable(store.get().folder);
    const ask = naming || (state.name === "" && files.length === 0);
    const undo = canUndo(state);
    const named = (/** @type {string} */ does, /** @type {string | null} */ says) => `${does}${says === null ? "" : `: ${says}`}`;
    render(html`
      <label class="field">course <select @change=${(/** @type {Event} */ { target }) => choose(/** @type {HTMLSelectElement} */ (target).value)}>
        ${state.name === "" || !files.some(({ name }) => name === state.name) ? html`<option value=${state.name} .selected=${live(!naming)}>${state.title || "choose …"}</option>` : nothing}
        ${files.map(({ name, title: text }) => html`<option value=${name} .selected=${live(!naming && name === state.name)}>${text}</option>`)}
        <option value="" .selected=${live(naming)}>a new course …</option></select></label>
      ${state.name === "" ? nothing : html`
        <button type="button" ?disabled=${!undo} title=${undo ? named("Undo", state.undoSays) : nothing} aria-label=${named("undo", undo ? state.undoSays : null)}
          @click=${() => { tools.settle(); if (!tools.backSketch()) drawing.undo(); }}>↶ undo <small>${undo ? state.undoSays ?? "" : ""}</small></button>
        <button type="button" ?disabled=${!state.canRedo} aria-label=${named("redo", state.redoSays)} @click=${drawing.redo}>↷ redo <small>${state.redoSays ?? ""}</small></button>
        <span role="status" class="saved">${savedWords(state)}</span>`}
      ${ask ? html`<form @submit=${create}>
        <label class="field">name of the new course <input type="text" maxlength="80" .value=${live(title)}
          @input=${(/** @type {Event} */ { target }) => { title = /** @type {HTMLInputElement} */ (target).value; }} /></label>
        <button type="submit" class="main">Begin</button>${said === "" ? nothing : html`<p role="alert">${said}</p>`}</form>` : nothing}`, box);
    render(state.name === "" ? html`<p class="hint">Choose the course to draw, or begin a new one.</p>` : nothing, start);
    // Over the map, which must not move under a hand.
    render(html`
      ${!state.builtin ? nothing : html`<div class="clash"><p>This course came with holesim and stays as it is. Draw on a copy of it.</p>
        <button type="button" @click=${keepMine}>Make a copy and draw on it</button></div>`}
      ${state.clash === null ? nothing : html`<div class="clash" role="alert"><p>${state.clash}</p>
        <button type="button" @click=${keepMine}>Keep mine under another name</button>
        <button type="button" @click=${forget}>Read what is on disk</button></div>`}
      ${state.message === "" ? nothing : html`<p class="told" role="alert">${state.message}
        <button type="button" class="link" @click=${() => drawing.set({ message: "" })}>close</button></p>`}`, told);
  }
  return { draw };
}
