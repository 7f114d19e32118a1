// Hazards by their numbers, and the numbers of the hole in view.
/** @typedef {import("./hazard_numbers.js").Listed} Listed */
/** @typedef {import("./hazard_numbers.js").TypedHazard} TypedHazard */
import { html, nothing, render } from "lit-html";
import { repeat } from "lit-html/directives/repeat.js";
import { lineOf } from "./drawing_holes.js";
import { choiceField, folded, saidLine, sent, textField } from "./form_parts.js";
import { WORDS, hazardBy, hazardText, listed, typedFrom, wordFor } from "./hazard_numbers.js";

const LIST = "draw-hazard-words";
const SIDES = /** @type {[string, string][]} */ ([["across", "across"], ["left", "left"], ["right", "right"]]);

/** @returns {TypedHazard} */
const blank = () => ({ word: "", side: "across", from: "", to: "", off: "", wide: "" });

/** @param {HTMLElement} box @param {import("./form_parts.js").Desk} desk */
export function createHazardForm(box, { drawing, map, tools }) {
  let typed = blank();
  let said = "";
  let open = false;
  let place = "";
  /** Numbers typed into a row. @type {{id: number, typed: TypedHazard, said: string, asks: boolean} | null} */ let changed = null;

  /** @param {Partial<TypedHazard>} change */
  const type = (change) => void (typed = { ...typed, ...change });

  async function add() {
    const { hole } = drawing.get();
    if (hole === null) return;
    const hazard = hazardBy(typed, hole);
    if (typeof hazard === "string") said = hazard;
    else {
      ({ said } = await sent(drawing, "hazards", { id: null, ...hazard }));
      if (said === "") typed = { ...blank(), word: typed.word, side: typed.side };
    }
    draw();
  }

  /** @param {Listed} one @param {Partial<TypedHazard>} change */
  function retype(one, change) {
    const { id } = one.feature;
    const state = drawing.get();
    const line = state.hole === null ? null : lineOf(state, state.hole);
    const before = changed?.id === id ? changed.typed : typedFrom(one, line);
    changed = { id, typed: { ...before, ...change }, said: "", asks: false };
  }

  /** Draw a row's hazard anew by its numbers; one that was drawn by hand only after asking. @param {Listed} one @param {boolean} asked */
  async function redraw({ feature }, asked) {
    const { hole } = drawing.get();
    if (changed === null || changed.id !== feature.id || hole === null) return;
    const hazard = hazardBy(changed.typed, hole);
    if (typeof hazard === "string") changed = { ...changed, said: hazard };
    else if (feature.noted === null && !asked) changed = { ...changed, asks: true };
    else {
      const { said: refusal } = await sent(drawing, "hazards", { id: feature.id, ...hazard });
      changed = refusal === "" || changed === null ? null : { ...changed, said: refusal, asks: false };
    }
    draw();
  }

  function leave() {
    changed = null;
    draw();
  }

  /** @param {Listed} one */
  function select({ feature }) {
    tools.select(feature.id);
    map.bringIn(feature);
  }

  /** @param {Listed} one */
  function row(one) {
    const { feature, numbers } = one;
    const state = drawing.get();
    const mine = changed?.id === feature.id ? changed : null;
    const now = mine?.typed ?? typedFrom(one, state.hole === null ? null : lineOf(state, state.hole));
    const text = hazardText(wordFor(feature, numbers), numbers);
    const chosen = state.selected === feature.id;
    const across = now.side === "across";
    return html`<li class=${chosen ? "chosen" : ""}><form aria-label=${text} @submit=${(/** @type {Event} */ event) => { event.preventDefault(); void redraw(one, false); }}>
      <button type="button" class="name" aria-pressed=${chosen} @click=${() => select(one)}>${text}</button>
      ${chosen ? html`<div class="pair">${textField("from", now.from, (from) => retype(one, { from }), { unit: "yd" })}
        ${textField("to", now.to, (to) => retype(one, { to }), { unit: "yd" })}</div>
        <div class="pair">${across ? nothing : textField("off the line", now.off, (off) => retype(one, { off }), { unit: "yd" })}
          ${textField("how wide", now.wide, (wide) => retype(one, { wide }), { unit: "yd" })}</div>
        <p class="quiet">${feature.noted === null ? "drawn by hand" : "drawn by its numbers"}</p>
        <div class="actions"><button type="submit">move it to these numbers</button></div>` : nothing}
      ${mine?.asks ? html`<p class="say guess" role="alert">It was drawn by hand. Draw it anew by its numbers?
        <button type="button" @click=${() => redraw(one, true)}>draw it anew</button> <button type="button" @click=${leave}>leave it</button></p>` : nothing}
      ${saidLine(mine?.said ?? "")}</form></li>`;
  }

  function draw() {
    const state = drawing.get();
    const line = state.hole === null ? null : lineOf(state, state.hole);
    if (state.name === "" || state.hole === null || line === null) return void render(nothing, box);
    const here = `${state.name} ${state.hole}`;
    if (here !== place) [place, said, changed] = [here, "", null];
    const rows = listed(state, state.hole);
    render(html`<h2 id="draw-hazard-name">Numbers of hole ${state.hole}</h2>
      ${rows.length === 0 ? html`<p class="quiet">No hazard lies near its line yet.</p>`
        : html`<ul class="numbers" aria-label="hazards from the back tee, in yards">${repeat(rows, ({ feature }) => feature.id, row)}</ul>`}
      ${folded("A hazard by its numbers", { open, toggled: (now) => { open = now; } }, html`<form aria-label="a hazard by its numbers" @submit=${(/** @type {Event} */ event) => { event.preventDefault(); void add(); }}>
        ${textField("what", typed.word, (word) => type({ word }), { list: LIST, wide: true })}
        <datalist id=${LIST}>${WORDS.map((word) => html`<option value=${word}></option>`)}</datalist>
        ${choiceField("side", typed.side, SIDES, (side) => { type({ side }); draw(); })}
        <div class="pair">${textField("from", typed.from, (from) => type({ from }), { unit: "yd" })}
        ${textField("to", typed.to, (to) => type({ to }), { unit: "yd" })}</div>
        <div class="pair">${typed.side === "across" ? nothing : textField("off the line", typed.off, (off) => type({ off }), { unit: "yd" })}
        ${textField("how wide", typed.wide, (wide) => type({ wide }), { unit: "yd" })}</div>
        <p class="quiet">From and to: straight from the back tee. ${typed.side === "across" ? "How wide" : "Off the line: its near side. How wide"}: square to the line of play. Nothing typed there: the usual.</p>
        <div class="actions"><button type="submit" class="main">Draw it</button></div>${saidLine(said)}</form>`)}`, box);
  }

  return { draw };
}
