// The scores of the hole for each strike shown, as small bars with numbers.
/** @typedef {import("../records").StrikeAnswer} StrikeAnswer */
/** @typedef {import("../marks.js").Mark} Mark */
import { html, nothing, render, svg } from "lit-html";
import { markIcon } from "../marks.js";
import { inHundred } from "../words.js";

const WIDE = 100;

/** @param {HTMLElement} box @param {{strike: StrikeAnswer, mark: Mark}[]} shown */
export function drawScores(box, shown) {
  if (shown.length === 0) {
    render(nothing, box);
    return;
  }
  const names = shown[0].strike.scores.map(({ name: score }) => score);
  const most = Math.max(0.01, ...shown.flatMap(({ strike }) => strike.scores.map(({ share }) => share)));
  render(html`<table class="scores ${shown.length > 2 ? "many" : ""}">
    <caption>Scores in 100 rounds</caption>
    <thead><tr><td></td>${shown.map(({ strike, mark }) => html`<th scope="col">${markIcon(mark)} ${strike.label}</th>`)}</tr></thead>
    <tbody>
      ${names.map((score, i) => html`<tr><th scope="row">${score}</th>
        ${shown.map(({ strike, mark }) => bar(strike.scores[i]?.share ?? 0, most, mark))}</tr>`)}
      <tr class="mean"><th scope="row">strokes</th>
        ${shown.map(({ strike }) => html`<td>${strike.strokes.toFixed(2)} <small>±${strike.half.toFixed(2)}</small></td>`)}</tr>
      <tr><th scope="row">carry, total, yd</th>
        ${shown.map(({ strike }) => html`<td>${strike.carry_yd.toFixed(0)}, ${strike.total_yd.toFixed(0)}</td>`)}</tr>
      <tr><th scope="row">fairway or green</th>
        ${shown.map(({ strike: { shares } }) => html`<td>${inHundred(shares.fairway + shares.green)}</td>`)}</tr>
      <tr><th scope="row">penalty or out</th>
        ${shown.map(({ strike: { shares } }) => html`<td>${inHundred(shares.penalty + shares.out)}</td>`)}</tr>
    </tbody></table>`, box);
}

/** @param {number} share @param {number} most @param {Mark} mark */
function bar(share, most, mark) {
  return html`<td class="bar">${svg`<svg viewBox="0 0 ${WIDE} 12" preserveAspectRatio="none" aria-hidden="true">
    <rect width=${(share / most) * WIDE} height="12" fill=${mark.colour} /></svg>`}<span>${inHundred(share)}</span></td>`;
}
