// All holes at a glance, and the total of the round.
/** @typedef {import("../records").State} State */
/** @typedef {import("../records").Row} Row */
/** @typedef {import("../records").Hole} Hole */
import { html, nothing, render, svg } from "lit-html";
import { markIcon, markOf } from "../marks.js";
import { rowsKey, teeKey } from "./scheduler.js";
import { holeAfter, moveTo, shownAnswer, teeOf } from "./state.js";
import { overText, sentence, sureText, worthText } from "../words.js";

/** The row of a hole as far as it is known, and whether it is of this wind and of all drives.
 * @param {State} state @param {Hole} hole @returns {{row: Row | null, fresh: boolean, sure: boolean}} */
export function rowOf(state, hole) {
  const answer = shownAnswer(state);
  const { rows } = state;
  const total = rows.round.rest ?? rows.round.moving;
  if (state.opened?.player.can_choose === false && total !== null) {
    // The strike of the day is known from all holes together.
    const row = total.rows.find((one) => one.hole === hole.hole) ?? null;
    return { row, fresh: rows.key === rowsKey(state), sure: total.level === "rest" };
  }
  if (answer !== null && hole.hole === state.hole && state.held === null) {
    const { choice, close, chance, sure, saves, rival } = answer;
    const strokes = answer.strikes.find(({ label }) => label === choice)?.strokes ?? 0;
    const length_yd = teeOf(hole, state.tee).length_yd;
    const row = { hole: hole.hole, par: hole.par, tee: state.tee, length_yd, choice, close, chance, sure, saves, strokes, rival };
    return { row, fresh: state.answer?.key === teeKey(state), sure: answer.level === "rest" };
  }
  const rest = rows.rest[hole.hole];
  return { row: rest ?? rows.moving[hole.hole] ?? null, fresh: rows.key === rowsKey(state), sure: rest !== undefined };
}

let inStrip = 0;

/** On a narrow page the holes are a strip: have the one that is shown in sight. @param {HTMLElement} box */
function showInStrip(box) {
  const [strip, button] = [box.querySelector("tbody"), box.querySelector('[aria-current="true"]')];
  if (strip === null || button === null) return false;
  const [all, one] = [strip.getBoundingClientRect(), button.getBoundingClientRect()];
  strip.scrollLeft += one.left + one.width / 2 - all.left - all.width / 2;
  return true;
}

/** @param {HTMLElement} box @param {import("./state.js").Store} store
 * @param {Map<string, import("../marks.js").Mark>} marks of the strikes on the picture */
export function drawRoundTable(box, store, marks) {
  const state = store.get();
  const holes = state.opened?.course.holes ?? [];
  const goal = state.opened?.options.goal ?? "mean";
  /** @param {number} hole */
  const go = (hole) => store.set(moveTo({ hole }, Date.now()));
  /** @param {KeyboardEvent} key */
  const press = (key) => {
    const step = /** @type {Record<string, number>} */ ({ ArrowUp: -1, ArrowLeft: -1, ArrowDown: 1, ArrowRight: 1 })[key.key];
    if (step === undefined) return;
    key.preventDefault();
    go(holeAfter(store.get(), step));
    // Drawn in the next frame, by what was queued before this.
    requestAnimationFrame(() => /** @type {HTMLElement | null} */ (box.querySelector('[aria-current="true"]'))?.focus());
  };
  /** @param {Hole} hole */
  const line = (hole) => {
    const { row, fresh, sure } = rowOf(state, hole);
    const here = hole.hole === state.hole;
    const length = teeOf(hole, state.tee).length_yd.toFixed(0);
    const mark = row === null ? null : (here && marks.get(row.choice)) || markOf(row.choice);
    return html`<tr class="${here ? "here" : ""} ${fresh ? "" : "old"}" @click=${() => go(hole.hole)}>
      <th scope="row"><button type="button" tabindex=${here ? 0 : -1} aria-current=${here ? "true" : nothing}
        aria-label=${`hole ${hole.hole}${row === null ? "" : `, ${row.choice}`}`}
        ><span>${hole.hole}</span>${mark === null ? nothing : markIcon(mark)}</button></th>
      <td class="par">${hole.par}</td><td class="yd">${length}</td>
      <td class="choice">${mark === null ? nothing : html`${markIcon(mark)} ${row?.choice}`}</td>
      <td class="sure">${row === null ? waitText(state, hole) : sureBar(row)}</td>
      <td class="worth ${sure ? "" : "about"}">${row === null || row.saves === null ? nothing : worthText(row.saves, goal, row.choice === state.opened?.player.usual)}</td>
    </tr>`;
  };
  const day = (state.rows.round.rest ?? state.rows.round.moving)?.day;
  render(html`${day ? html`<p class="day">${sentence(day)}</p>` : nothing}<table class="holes" @keydown=${press}>
    <caption class="unseen">The round, hole by hole</caption>
    <thead><tr><th scope="col">hole</th><th scope="col">par</th><th scope="col">yd</th><th scope="col">hit</th>
      <th scope="col">how sure</th><th scope="col" class="worth">${goal === "mean" ? "saves" : "in 100"}</th></tr></thead>
    <tbody>${holes.map(line)}</tbody></table>`, box);
  if (state.hole !== inStrip && showInStrip(box)) inStrip = state.hole;
}

/** @param {State} state @param {Hole} hole */
function waitText(state, hole) {
  return state.waiting.includes(hole.hole) ? html`<small>working …</small>` : nothing;
}

/** How likely the choice is the better one: a bar from even to certain, and words. @param {Row} row */
function sureBar(row) {
  if (row.rival === null) return nothing;
  const share = Math.max(0, Math.min(1, (row.chance - 0.5) * 2));
  return html`<span title=${sureText(row)}>${svg`<svg class="sure-bar" viewBox="0 0 30 8" aria-hidden="true">
    <rect class="all" width="30" height="8" /><rect class="part" width=${30 * share} height="8" /></svg>`} ${row.sure}</span>`;
}

/** @param {HTMLElement} box @param {State} state */
export function drawTotals(box, state) {
  const { round, key } = state.rows;
  const total = round.rest ?? round.moving;
  if (total === null) {
    const open = state.opened !== null;
    render(open ? html`<p class="quiet">The round's total comes once all holes are worked out.</p>` : nothing, box);
    return;
  }
  const fresh = key === rowsKey(state);
  render(html`<table class="totals ${fresh ? "" : "old"} ${round.rest === null ? "about" : ""}">
    <caption class="unseen">The round's total</caption>
    <thead><tr><td></td><th scope="col">strokes</th><th scope="col">compared with this plan</th></tr></thead>
    <tbody>${total.totals.map((one) => html`<tr class=${one.policy === "this plan" ? "here" : ""}>
      <th scope="row">${one.policy}</th><td>${one.strokes.toFixed(2)}</td><td>${overText(one)}</td></tr>`)}</tbody></table>`, box);
}
