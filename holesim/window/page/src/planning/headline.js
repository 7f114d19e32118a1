// The one plain line of the hole, and under it where to aim, why, and what is least certain.
/** @typedef {import("../records").State} State */
/** @typedef {import("../records").StrikeAnswer} StrikeAnswer */
/** @typedef {import("../marks.js").Mark} Mark */
import { html, nothing, render } from "lit-html";
import { heldText } from "./aim_handles.js";
import { markIcon } from "../marks.js";
import { teeKey } from "./scheduler.js";
import { shownAnswer, shownHole, teeOf } from "./state.js";
import { sentence, thousands } from "../words.js";

/** @param {HTMLElement} box @param {State} state @param {{strike: StrikeAnswer, mark: Mark}[]} shown */
export function drawHeadline(box, state, shown) {
  const answer = shownAnswer(state);
  const hole = shownHole(state);
  if (hole === null) {
    render(html`<p class="line">${state.course === "" ? "No course is open." : "Reading course and player …"}</p>`, box);
    return;
  }
  const tee = teeOf(hole, state.tee);
  const about = html`<h1><span class="hole-number">Hole ${hole.hole}</span> par ${hole.par}, ${tee.length_yd.toFixed(0)} yd, ${tee.name} tee${answer === null ? "" : `; ${thousands(answer.draws)} drives`}</h1>`;
  if (answer === null) {
    const said = state.waiting.includes(hole.hole)
      ? "Working out the expected strokes on this hole …" : "Flying the drives …";
    const once = state.compiling ? html`<p>Compiling, once on this machine: about half a minute.</p>` : nothing;
    render(html`${about}<p class="line">${said}</p>${once}`, box);
    return;
  }
  const settled = state.answer?.key === teeKey(state) && state.answer.level === "rest";
  render(html`${about}
    <p class="line ${settled ? "" : "passing"}">${settled ? nothing : html`<span class="about">about: </span>`}${sentence(answer.line)}</p>
    <ul class="aims">${shown.map(({ strike, mark }) => html`<li>
      ${markIcon(mark)} <b>${strike.label}</b> ${heldText(state, strike) || `aim ${strike.aim_text}`}</li>`)}</ul>
    ${answer.why === "" ? nothing : html`<p>${sentence(`${answer.choice}: ${answer.why}`)}</p>`}
    ${answer.doubt === null ? nothing : html`<p class="doubt">${sentence(answer.doubt)}</p>`}`, box);
}

/** What else there is to know of the hole, and for those who do not see the picture what its strips say.
 * @param {HTMLElement} box @param {State} state @param {string[]} strips */
export function drawNotes(box, state, strips) {
  const answer = shownAnswer(state);
  const notes = answer === null ? [] : [answer.flips_text ?? "", ...answer.notes].filter((text) => text !== "");
  render(html`${notes.map((text) => html`<p class="doubt">${sentence(text)}</p>`)}
    ${strips.map((text) => html`<p class="unseen">${text}</p>`)}`, box);
}

/** What a screen reader is told at rest; empty while anything moves. @param {State} state */
export function spokenLine(state) {
  const answer = shownAnswer(state);
  if (answer === null || state.handDown || state.answer?.key !== teeKey(state)) return "";
  if (state.answer.level !== "rest" && state.held === null) return "";
  return `Hole ${answer.hole}: ${answer.line}`;
}
