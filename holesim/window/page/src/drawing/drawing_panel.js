// The panel: what is selected with its kind and tags, and the words of the check.
/** @typedef {import("../records").Feature} Feature */
/** @typedef {import("../records").Kind} Kind */
/** @typedef {import("./drawing_store.js").Drawing} Drawing */
/** @typedef {import("./drawing_tools.js").Tools} Tools */
import { html, nothing, render } from "lit-html";
import { live } from "lit-html/directives/live.js";
import { guessedMarks } from "./guesses.js";
import { AREA_KINDS, kindName, kindTags, nameOf, streamTags, titleOf } from "./kinds.js";
import { geometryOf, isLine, polygonsOf, runsOf } from "./shapes.js";
import { fieldsOf } from "./tag_fields.js";
import { saysInView, saysOf, sayName } from "./drawing_words.js";

const MOST = 12; // lines of the check shown at once

/** @param {HTMLElement} box @param {Drawing} drawing @param {Tools} tools @param {import("./drawing_map.js").DrawingMap} map */
export function drawSelected(box, drawing, tools, map) {
  const state = drawing.get();
  const feature = state.selected === null ? undefined : state.features.get(state.selected);
  if (feature === undefined) {
    render(state.name === "" ? nothing : html`<h2 id="draw-selected-name">Nothing is selected</h2>
      <p class="quiet">Click an outline, a line or a mark on the map, or take a tool.</p>${guesses(drawing)}`, box);
    return;
  }
  const area = polygonsOf(feature.geometry).length > 0;
  const corner = tools.corner();
  const corners = feature.geometry === null ? 0 : runsOf(feature.geometry).reduce((sum, { points }) => sum + points.length, 0);
  const said = saysOf(state, feature.id);
  render(html`<h2 id="draw-selected-name">${titleOf(feature)}</h2>
    <p class="quiet">${feature.geometry === null ? "has no place" : feature.geometry.type === "Point" ? "" : `${corners} corners`}</p>
    ${said.map((say) => html`<p class="say ${say.kind}">${say.text}</p>`)}
    ${feature.guessed === null ? nothing : html`<p class="say guess">Guessed: ${feature.guessed}.
      <button type="button" @click=${() => drawing.edit(`${nameOf(feature)} is right`, [{ id: feature.id, certain: true }])}>this is right</button></p>`}
    ${kindField(drawing, feature, area)}
    ${fieldsOf(feature).map((field) => tagField(drawing, feature, field))}
    <div class="actions">
      ${feature.geometry === null ? nothing : html`<button type="button" @click=${() => map.nearTo(feature)}>look closer</button>
        <button type="button" @click=${tools.copy}>copy</button>`}
      ${area && feature.geometry?.type !== "LineString" ? html`<button type="button" aria-pressed=${state.tool === "cut"} @click=${() => tools.take(state.tool === "cut" ? "select" : "cut")}>cut a hole</button>` : nothing}
      ${corner === null ? nothing : html`<button type="button" @click=${tools.remove}>remove the corner</button>`}
      ${corner === null ? html`<button type="button" @click=${tools.remove}>remove ${nameOf(feature)}</button>` : nothing}
    </div>`, box);
}

/** Tees and pins that are guessed, as buttons. @param {Drawing} drawing */
function guesses(drawing) {
  const state = drawing.get();
  if (state.hole === null) return nothing;
  return guessedMarks(state).map(({ kind, at, hole }) => html`<p class="say guess">The ${kind} of hole ${hole} is guessed.
    <button type="button" @click=${() => drawing.edit(`${kind} set`, [{ add: { kind, geometry: geometryOf("point", [at]), tags: {} } }])}>the ${kind} is there</button></p>`);
}

/** @param {Drawing} drawing @param {Feature} feature @param {boolean} area */
function kindField(drawing, feature, area) {
  const stream = feature.geometry !== null && isLine(feature.geometry) && (feature.kind === "red" || feature.kind === "yellow");
  const kinds = stream ? /** @type {Kind[]} */ (["red", "yellow"]) : AREA_KINDS;
  if (!area && !stream) return nothing;
  const words = (/** @type {Kind} */ kind) => (stream ? `${kind} stream` : kindName(kind));
  return html`<label class="field">kind <select @change=${(/** @type {Event} */ { target }) => {
    const kind = /** @type {Kind} */ (/** @type {HTMLSelectElement} */ (target).value);
    drawing.edit(`${nameOf(feature)} made ${words(kind)}`, [{ id: feature.id, tags: stream ? streamTags(kind) : kindTags(kind) }]);
  }}>${kinds.map((kind) => html`<option value=${kind} .selected=${live(kind === feature.kind)}>${words(kind)}</option>`)}</select></label>`;
}

/** @param {Drawing} drawing @param {Feature} feature @param {import("./tag_fields.js").Field} field */
function tagField(drawing, feature, field) {
  const { name, unit, choices } = field;
  const value = field.read(feature.tags);
  const send = (/** @type {string} */ text) => {
    if (text !== value) drawing.edit(`${nameOf(feature)}: ${name} ${text === "" ? "not said" : text}`, [{ id: feature.id, tags: field.write(text) }]);
  };
  const changed = (/** @type {Event} */ { target }) => {
    const input = /** @type {HTMLInputElement | HTMLSelectElement} */ (target);
    if (input.reportValidity()) send(input.value.trim());
  };
  if (choices !== undefined) {
    return html`<label class="field">${name} <select @change=${changed}>
      ${choices.map((choice) => html`<option value=${choice} .selected=${live(choice === value)}>${choice === "" ? "not said" : choice}</option>`)}</select></label>`;
  }
  return html`<label class="field">${name} <span><input type=${field.number === undefined ? "text" : "number"} step="any" min=${field.number?.[0] ?? nothing}
    max=${field.number?.[1] ?? nothing} maxlength="40" .value=${value} @change=${changed} /> ${unit}</span></label>`;
}

/** @param {HTMLElement} box @param {Drawing} drawing @param {Tools} tools @param {import("./drawing_map.js").DrawingMap} map */
export function drawWords(box, drawing, tools, map) {
  const state = drawing.get();
  const says = saysInView(state);
  const more = says.length - MOST;
  const pick = (/** @type {import("../records").Say} */ { ids }) => {
    tools.select(ids[0] ?? null);
    const feature = state.features.get(ids[0]);
    if (feature !== undefined) map.bringIn(feature);
  };
  render(state.name === "" ? nothing : html`<h2 id="draw-words-name">${says.length === 0 ? "The check finds nothing amiss" : "What the check says"}</h2>
    <ul class="says">${says.slice(0, MOST).map((say) => html`<li class=${say.kind}><button type="button" class="link" ?disabled=${say.ids.length === 0}
      @click=${() => pick(say)}><b>${sayName(say)}</b> ${say.text}</button></li>`)}</ul>
    ${more > 0 ? html`<p class="quiet">and ${more} more</p>` : nothing}`, box);
}
