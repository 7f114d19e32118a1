// The aims to type: how far each strike shown is aimed off its best.
/** @typedef {import("../records").StrikeAnswer} StrikeAnswer */
import { html, nothing, render } from "lit-html";
import { rightOf } from "../geometry.js";
import { MOST_OFF, STEP, shownHeading } from "./aim_handles.js";
import { bestHeading, holdAim, releaseAim } from "./state.js";

/** @param {HTMLElement} box @param {import("./state.js").Store} store @param {StrikeAnswer[]} strikes */
export function drawAimFields(box, store, strikes) {
  const state = store.get();
  /** @param {StrikeAnswer} strike */
  const field = (strike) => {
    const off = Math.round(rightOf(shownHeading(state, strike), bestHeading(state, strike)) * 10) / 10;
    return html`<label class="field">${strike.label} <span><input type="number" min=${-MOST_OFF} max=${MOST_OFF} step=${STEP}
      aria-label="${strike.label}: degrees right of the best aim" .value=${String(off)}
      @change=${(/** @type {Event} */ { target }) => {
        const input = /** @type {HTMLInputElement} */ (target);
        const degrees = Math.max(-MOST_OFF, Math.min(MOST_OFF, input.valueAsNumber || 0));
        const now = store.get();
        store.set(degrees === 0 ? releaseAim(Date.now()) : holdAim(now, strike, bestHeading(now, strike) + degrees, Date.now()));
      }} />°</span></label>`;
  };
  render(strikes.length === 0 ? nothing : html`<details><summary>aim by numbers</summary>
    <p class="quiet">Degrees right of the best aim; left with a minus.</p>${strikes.map(field)}</details>`, box);
}
