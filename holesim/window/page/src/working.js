// Long work as a page shows it.
import { html } from "lit-html";

/** What is being done, how far it is, and a cancel. @param {import("./jobs.js").Progress} progress @param {string} work @param {() => void} cancel */
export function working({ cancelling, done, total }, work, cancel) {
  return html`<label class="field">${work} <progress max=${Math.max(total, 1)} .value=${done}></progress></label>
    <p class="quiet">${total > 0 ? `${done} of ${total} steps` : "starting …"}</p>
    <button type="button" ?disabled=${cancelling} @click=${cancel}>${cancelling ? "Cancelling …" : "Cancel"}</button>`;
}
