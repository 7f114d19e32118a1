// The paper of all sheets: chosen once, and kept by this browser.
import { html } from "lit-html";
import { live } from "lit-html/directives/live.js";

const KEY = "holesim paper";
const SIZES = [{ value: "a4", text: "A4" }, { value: "letter", text: "letter" }];

/** What sheets are made for. */
export const paper = () => (localStorage.getItem(KEY) === "letter" ? "letter" : "a4");

export function paperField() {
  return html`<label class="field">paper <select @change=${(/** @type {Event} */ { target }) => localStorage.setItem(KEY, /** @type {HTMLSelectElement} */ (target).value)}>
    ${SIZES.map(({ value, text }) => html`<option value=${value} .selected=${live(value === paper())}>${text}</option>`)}</select></label>`;
}
