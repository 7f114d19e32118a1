// What became of the drive on one hole: what was hit, where it finished, and the score.
/** @typedef {import("../records").Drive} Drive */
/** @typedef {import("../records").Point} Point */
import { html, nothing, render } from "lit-html";
import { keyed } from "lit-html/directives/keyed.js";
import { live } from "lit-html/directives/live.js";
import { part } from "../page_parts.js";
import { LIE_WORDS, OTHER, finishText, readSide, sideText } from "./round_rows.js";

/** @param {import("./round_store.js").Round} round */
export function createHoleEntry(round) {
  const box = part("after-entry");
  let said = "";
  /** Where the last finish was asked for, so that an older answer does not replace a newer one. */
  let asked = 0;

  /** Ask where a drive finished, and keep it. @param {Record<string, string>} where @param {Partial<Drive>} [more] */
  async function keepFinish(where, more = {}) {
    const { hole } = round.get();
    const turn = ++asked;
    try {
      const { at, total_yd, side_yd, lie } = await round.finish({ ...where, ...(more.label === undefined ? {} : { label: more.label }) });
      if (turn !== asked) return;
      said = lie === null && more.lie === undefined ? "That is beyond the plan's map: say what the ball lay in." : "";
      round.change(hole, { at, total_yd, side_yd, lie: lie ?? "", ...more });
    } catch (refused) {
      said = /** @type {Error} */ (refused).message;
      draw();
    }
  }
  const place = (/** @type {Point} */ at, /** @type {Partial<Drive>} */ more = {}) => void keepFinish({ at: at.join(",") }, more);
  const type = (/** @type {number} */ total, /** @type {number} */ side) => void keepFinish({ total_yd: String(total), side_yd: String(side) });

  /** Say what was hit: the side counts from that strike's aim. @param {string} label */
  function hit(label) {
    const { hole } = round.get();
    const { at, lie } = round.drive(hole);
    if (label === OTHER) round.change(hole, { label, at: null, total_yd: null, side_yd: null });
    else if (at === null) round.change(hole, { label });
    else place(at, { label, lie });
  }

  /** Read both fields when one was changed; what is half typed waits. */
  function typed() {
    const total = /** @type {HTMLInputElement} */ (part("after-total")).value.trim();
    const sideOf = /** @type {HTMLInputElement} */ (part("after-side")).value.trim();
    const { hole } = round.get();
    if (total === "" && sideOf === "") {
      if (round.drive(hole).total_yd !== null) round.change(hole, { at: null, total_yd: null, side_yd: null });
      return;
    }
    if (total === "" || sideOf === "") return;
    const side = readSide(sideOf);
    if (!/^\d+(\.\d+)?$/.test(total) || side === null) {
      said = "Write how far as 245, and how far to the side as 12 R or 27 L.";
      draw();
      return;
    }
    type(Number(total), side);
  }

  /** @param {string} group @param {{value: string, text: string}[]} choices @param {string} now @param {(value: string) => void} pick */
  const radios = (group, choices, now, pick) => html`<fieldset><legend>${group}</legend><div class="chips">${choices.map(({ value, text }) => html`
    <label class="chip"><input type="radio" name=${group} .checked=${live(value === now)} @change=${() => pick(value)} />${text}</label>`)}</div></fieldset>`;

  /** @param {number} step */
  function go(step) {
    const { opened, hole } = round.get();
    const numbers = (opened?.holes ?? []).map((one) => one.hole);
    const next = numbers[numbers.indexOf(hole) + step];
    if (next !== undefined) round.set({ hole: next });
  }

  function draw() {
    const { opened, hole: number } = round.get();
    const hole = opened?.holes.find((one) => one.hole === number);
    if (opened === null || hole === undefined) {
      render(nothing, box);
      return;
    }
    const [drive, planned] = [round.drive(number), round.planned(number)];
    const choice = planned?.choice ?? "";
    const known = planned?.strikes.some(({ label }) => label === drive.label) ?? false;
    const strikes = (planned?.strikes ?? []).map(({ label }) => ({ value: label, text: label === choice ? `${label} (planned)` : label }));
    const { par } = hole;
    const scores = Array.from({ length: 7 }, (_, k) => par - 2 + k).filter((score) => score > 0);
    const at = opened.holes.findIndex((one) => one.hole === number);
    // What is half typed stays while the page is drawn anew, but not for another hole.
    render(html`${keyed(number, html`
      <h2>Hole ${number} <small>par ${par}, ${Math.round((hole.tees.find(({ name }) => name === round.tee(number)) ?? hole.tees[0]).length_yd)} yards</small></h2>
      ${radios("hit", [...strikes, { value: OTHER, text: known ? OTHER : drive.label || OTHER }], known ? drive.label : OTHER, hit)}
      ${known ? html`
        <div class="typed"><label class="field">how far <span><input id="after-total" type="text" inputmode="decimal" autocomplete="off"
            .value=${drive.total_yd === null ? "" : String(drive.total_yd)} @change=${typed} /> yd</span></label>
          <label class="field">off the aim <span><input id="after-side" type="text" autocomplete="off" placeholder="12 R"
            .value=${drive.side_yd === null ? "" : sideText(drive.side_yd)} @change=${typed} /> yd</span></label></div>
        <p class="quiet">${drive.at === null ? "Tap on the map where the drive finished, or write it here." : "Drag the ring, or move it by the arrow keys, to correct it."}</p>
        ${radios("it lay in", opened.lies.map((value) => ({ value, text: LIE_WORDS[value] ?? value })), drive.lie, (lie) => round.change(number, { lie }))}`
      : html`<p class="quiet">The plan does not have that club on this hole: the review counts the score alone, not the drive.</p>`}
      <fieldset><legend>score</legend><div class="chips">${scores.map((score) => html`<label class="chip score"><input type="radio" name="score"
          .checked=${live(drive.score === score)} @change=${() => round.change(number, { score })} />${score}</label>`)}
        <label class="field more">other <input type="number" min="1" max="30" .value=${drive.score === null || scores.includes(drive.score) ? "" : String(drive.score)}
          @change=${(/** @type {Event} */ { target }) => {
            const input = /** @type {HTMLInputElement} */ (target);
            if (input.reportValidity() && input.value !== "") round.change(number, { score: Math.round(input.valueAsNumber) });
          }} /></label></div></fieldset>
      <div class="actions"><button type="button" ?disabled=${at === 0} @click=${() => go(-1)}>Hole before</button>
        <button type="button" class="main" ?disabled=${at === opened.holes.length - 1} @click=${() => go(1)}>Next hole</button>
        <button type="button" class="link" ?disabled=${round.get().rows[number] === undefined} @click=${() => round.clear(number)}>Clear this hole</button></div>
      <p role="status">${said || finishText(drive)}</p>`)}`, box);
  }
  return {
    draw, place, type,
    /** Forget what was said of the hole before. */
    calm() {
      said = "";
      asked += 1;
    },
  };
}
