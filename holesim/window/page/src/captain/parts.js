// Fields of the captain's forms.
import { html } from "lit-html";
import { live } from "lit-html/directives/live.js";
/** @typedef {{value: string, text: string}} Choice */

/** What was typed or chosen. @param {Event} event */
export const valueOf = ({ target }) => /** @type {HTMLInputElement | HTMLSelectElement} */ (target).value;

/** @param {string} label @param {Choice[]} choices @param {string} now @param {(value: string) => void} pick */
export function select(label, choices, now, pick) {
  return html`<label class="field">${label} <select @change=${(/** @type {Event} */ event) => pick(valueOf(event))}>
    ${choices.map(({ value, text }) => html`<option value=${value} .selected=${live(value === now)}>${text}</option>`)}</select></label>`;
}

/** @param {string} label @param {string} now @param {(value: string) => void} type @param {string} [hint] */
export function field(label, now, type, hint = "") {
  return html`<label class="field">${label} <input type="text" maxlength="80" placeholder=${hint} .value=${live(now)}
    @input=${(/** @type {Event} */ event) => type(valueOf(event))} /></label>`;
}

/** @param {string} label @param {boolean} now @param {(value: boolean) => void} pick */
export function tick(label, now, pick) {
  return html`<label class="tick"><input type="checkbox" .checked=${live(now)}
    @change=${(/** @type {Event} */ { target }) => pick(/** @type {HTMLInputElement} */ (target).checked)} />${label}</label>`;
}
