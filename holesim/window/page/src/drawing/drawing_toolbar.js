// The tools, in the order in which a hole is made.
import { html, nothing, render } from "lit-html";
import { live } from "lit-html/directives/live.js";
import { TOOLS, toolOf } from "./kinds.js";

const GROUPS = [["hole", "the hole"], ["hazards", "hazards"], ["trees", "trees and rough"], ["course", "the course"]];

/** @param {HTMLElement} box @param {import("./drawing_store.js").Drawing} drawing @param {import("./drawing_tools.js").Tools} tools */
export function drawToolbar(box, drawing, tools) {
  const state = drawing.get();
  const button = (/** @type {string} */ id, /** @type {string} */ words) => html`<button type="button" data-tool=${id}
    aria-pressed=${state.tool === id} @click=${() => tools.take(state.tool === id ? "select" : id)}>${words}</button>`;
  render(state.name === "" ? nothing : html`
    ${button("select", "select")}
    ${GROUPS.map(([group, name]) => html`<span role="group" aria-label=${name}>
      ${TOOLS.filter((tool) => tool.group === group).map(({ id, name: words }) => button(id, words))}
      ${group === "trees" ? button("brush", "tree brush") : nothing}</span>`)}`, box);
}

/** What to do with the tool in hand, over the map, and what ends it.
 * @param {HTMLElement} box @param {import("./drawing_store.js").Drawing} drawing @param {import("./drawing_tools.js").Tools} tools
 * @param {string} prompt what a form asks to click at */
export function drawPrompt(box, drawing, tools, prompt) {
  const { tool } = drawing.get();
  const again = () => drawPrompt(box, drawing, tools, prompt);
  const hint = prompt || hintOf(tool);
  const line = toolOf(tool)?.shape === "line";
  render(html`
    ${hint === "" ? nothing : html`<p role="status">${hint}</p>`}
    ${tool !== "brush" ? nothing : html`<label class="field">width <input type="range" min="4" max="40" step="1" .value=${live(String(tools.brushWidth()))}
      @input=${(/** @type {Event} */ { target }) => { tools.setBrushWidth(Number(/** @type {HTMLInputElement} */ (target).value)); again(); }} />
      <span>${tools.brushWidth()} yd</span></label>`}
    ${tool !== "spot" ? nothing : html`<label class="field">elevation <span><input type="number" step="any" min="-1500" max="30000"
      .value=${live(tools.spotFeet()?.toString() ?? "")} @input=${(/** @type {Event} */ { target }) => {
        const input = /** @type {HTMLInputElement} */ (target);
        tools.setSpotFeet(input.value === "" || !input.checkValidity() ? null : input.valueAsNumber);
      }} /> ft above any one level</span></label>`}
    ${tools.sketched() === 0 ? nothing : html`
      <button type="button" class="main" @click=${tools.finish}>${line ? "end the line" : "close the outline"}</button>
      <button type="button" @click=${tools.backSketch}>one corner back</button>`}
    ${hint === "" ? nothing : html`<button type="button" @click=${tools.stop}>${prompt !== "" ? "give up" : tool === "brush" ? "put the brush down" : "do not draw"}</button>`}`, box);
}

/** What to do with a tool in hand. @param {string} tool */
function hintOf(tool) {
  if (tool === "select") return "";
  if (tool === "brush") return "Drag over the ground to paint trees.";
  if (tool === "spot") return "Type the elevation, then click where it is.";
  if (toolOf(tool)?.shape === "point") return "Click where it is.";
  if (tool === "cut") return "Click the corners of the hole, within the outline.";
  return "Click corner by corner; a double click or Enter ends.";
}
