// What the forms of the drawing have in common: folds, fields and numbers as people type them.
/** What forms work on.
 * @typedef {{drawing: import("./drawing_store.js").Drawing, map: import("./drawing_map.js").DrawingMap,
 *   tools: import("./drawing_tools.js").Tools, api: import("../api.js").Api, store: import("../planning/state.js").Store,
 *   look: () => Promise<void>, show: (hole: number | null) => void}} Desk */
/** A mark on the map while something is placed. @typedef {{at: import("../records").Point, text: string}} PlacingMark */
import { html, nothing } from "lit-html";
import { live } from "lit-html/directives/live.js";

/** A number as people type it; null where it is none. @param {string} text */
export function numberIn(text) {
  const plain = text.trim().replace(/^[−–]/, "-").replace(/^(-?\d*),(\d+)$/, "$1.$2").replace(/\s*(?:yards?|yds?|yd|y|°|deg(?:rees)?)$/i, "");
  return /^[+-]?(?:\d+\.?\d*|\.\d+)$/.test(plain) ? Number(plain) : null;
}

/** One click or tap on the map, which is brought into view. @param {Desk["map"]} map @param {string} prompt */
export function pickOn(map, prompt) {
  map.target.parentElement?.scrollIntoView({ block: "nearest" });
  return map.pickPoint(prompt);
}

/** Bring a form back into view, after clicks on the map. @param {HTMLElement} box */
export const backTo = (box) => box.scrollIntoView({ block: "nearest" });

/** Send something; what is refused is told at the form, not at the top of the page. @param {Desk["drawing"]} drawing
 * @param {string} path @param {object} body @param {string} [method]
 * @returns {Promise<{answer: any, said: string}>} said: why it was refused, or "" */
export async function sent(drawing, path, body, method = "POST") {
  drawing.set({ message: "" });
  try {
    return { answer: await drawing.send(path, body, { method }), said: "" };
  } catch (refused) {
    const said = /** @type {Error} */ (refused).message;
    if (drawing.get().message === said) drawing.set({ message: "" });
    return { answer: null, said };
  }
}

/** A field for a number or a few words. @param {string} name @param {string} value @param {(text: string, done: boolean) => void} typed done: the hand has left it
 * @param {{unit?: string, list?: string, wide?: boolean}} [more] */
export function textField(name, value, typed, { unit = "", list, wide = false } = {}) {
  const changed = (/** @type {Event} */ { target, type }) => typed(/** @type {HTMLInputElement} */ (target).value, type === "change");
  return html`<label class="field">${name} <span><input type="text" class=${wide ? "wide" : "short"} inputmode=${wide ? nothing : "decimal"} maxlength="60"
    list=${list ?? nothing} autocomplete="off" .value=${live(value)} @input=${changed} @change=${changed} /> ${unit}</span></label>`;
}

/** @param {string} name @param {string} value @param {[string, string][]} choices value and words @param {(value: string) => void} chosen */
export function choiceField(name, value, choices, chosen) {
  return html`<label class="field">${name} <select @change=${(/** @type {Event} */ { target }) => chosen(/** @type {HTMLSelectElement} */ (target).value)}>
    ${choices.map(([key, words]) => html`<option value=${key} .selected=${live(key === value)}>${words}</option>`)}</select></label>`;
}

/** @param {string} line */
export const saidLine = (line) => (line === "" ? nothing : html`<p class="say fault" role="alert">${line}</p>`);

/** A part of the panel that folds away. @param {string} title @param {{open: boolean, toggled: (open: boolean) => void}} fold
 * @param {unknown} content */
export function folded(title, { open, toggled }, content) {
  return html`<details class="form" .open=${live(open)} @toggle=${(/** @type {Event} */ { target }) => toggled(/** @type {HTMLDetailsElement} */ (target).open)}>
    <summary>${title}</summary>${content}</details>`;
}
