// Fields of a golfer's form that say how the driver is hit, and how swings scatter.
/** @typedef {import("./golfers_store.js").Golfers} Golfers */
import { html, nothing } from "lit-html";
import { live } from "lit-html/directives/live.js";
import { numberIn } from "../drawing/form_parts.js";
import { usualText, valueAt, withReach, withStrike, withValue } from "./content.js";

/** @typedef {{key: string, words: string, unit: string, scale?: number, sure?: boolean}} Field sure: no standard error is stated */
/** @type {Field[]} */
const STRIKE = [
  { key: "attack_deg", words: "attack, up positive", unit: "°" },
  { key: "dynamic_loft_deg", words: "dynamic loft", unit: "°" },
  { key: "high_mm", words: "strike above the middle", unit: "mm" },
  { key: "toe_mm", words: "strike towards the toe", unit: "mm" },
  { key: "tee_height_mm", words: "tee height", unit: "mm", sure: true },
  { key: "face_deg", words: "face, right of the aim", unit: "°" },
  { key: "swing_line_deg", words: "swing line, right of the aim", unit: "°" },
];
/** @type {Field[]} */
const SPREAD = [
  { key: "face_deg", words: "face", unit: "°" },
  { key: "path_deg", words: "path", unit: "°" },
  { key: "attack_deg", words: "attack", unit: "°" },
  { key: "dynamic_loft_deg", words: "dynamic loft", unit: "°" },
  { key: "speed_pct", words: "club speed", unit: "%" },
  { key: "toe_mm", words: "strike, heel and toe", unit: "mm" },
  { key: "high_mm", words: "strike, up and down the face", unit: "mm" },
  { key: "miss_rate", words: "bad misses, in 100 swings", unit: "", scale: 100 },
];

const written = (/** @type {number | undefined} */ value, scale = 1) => (value === undefined ? "" : String(Number((value * scale).toPrecision(6))));

/** What is wrong at a place, beside its field. @param {Golfers} golfers @param {string[]} place */
export function faultAt(golfers, place) {
  const name = place.join(".");
  const found = golfers.get().open?.faults.find((fault) => fault.place === name);
  return found === undefined ? nothing : html`<span class="wrong" id="wrong-${name}">${found.says}</span>`;
}

/** Whether a place has a fault. @param {Golfers} golfers @param {string[]} place */
export const isWrong = (golfers, place) => golfers.get().open?.faults.some((fault) => fault.place === place.join(".")) === true;

/** A number of a golfer's file: empty for what is usual, which then stands in the field.
 * @param {Golfers} golfers @param {string} words @param {string[]} place
 * @param {{unit?: string, scale?: number, width?: string, label?: string, set?: (value: number | undefined) => void}} [more] */
export function numberField(golfers, words, place, { unit = "", scale = 1, width = "", label, set } = {}) {
  const { open } = golfers.get();
  if (open === null) return nothing;
  const wrong = isWrong(golfers, place);
  const changed = (/** @type {Event} */ { target }) => {
    const input = /** @type {HTMLInputElement} */ (target);
    const text = input.value.trim();
    const number = numberIn(text);
    // What is no number is sent as it is, so that the server says so beside the field.
    const value = text === "" ? undefined : number === null ? text : Number((number / scale).toPrecision(10));
    if (set !== undefined && typeof value !== "string") set(value);
    else golfers.change((now) => withValue(now, place, value));
  };
  const held = valueAt(open.content, place);
  return html`<label class="number ${width}">${label === undefined ? html`<span class="words">${words}</span>` : nothing}
    <span class="typed"><input type="text" inputmode="decimal" maxlength="12" autocomplete="off" aria-label=${label ?? `${words}${unit === "" ? "" : `, ${unit}`}`}
      aria-invalid=${wrong ? "true" : nothing} aria-describedby=${wrong ? `wrong-${place.join(".")}` : nothing} ?disabled=${open.builtin}
      placeholder=${usualText(open.usual?.[place.join(".")], scale)} .value=${typeof held === "string" ? held : written(held, scale)}
      @change=${changed} /> ${unit}</span>${faultAt(golfers, place)}</label>`;
}

/** A number with how surely it is known. @param {Golfers} golfers @param {string[]} table @param {Field} field */
function sureField(golfers, table, { key, words, unit, scale, sure }) {
  const stated = valueAt(golfers.get().open?.content ?? {}, [...table, key]) !== undefined;
  return html`<div class="sure">${numberField(golfers, words, [...table, key], { unit, scale })}
    ${sure || !stated ? nothing : html`<span class="give">±</span> ${numberField(golfers, "", [...table, "se", key], { scale, width: "error", label: `${words}, how far it may be off` })}`}</div>`;
}

/** The driver strikes. @param {Golfers} golfers */
export function strikesFields(golfers) {
  const { open } = golfers.get();
  if (open === null) return nothing;
  const strikes = open.content.strikes ?? {};
  const none = Object.keys(strikes).length === 0;
  return html`<p class="quiet">Empty fields are usual for this golfer, and as unsure as ± says. ${none ? "No strike is ticked: up and down, each in the usual way." : ""}</p>
    ${["up", "level", "down"].map((strike) => {
      const table = ["strikes", strike];
      const hit = strike in strikes;
      const reach = (/** @type {"carry_yd" | "club_speed_mph"} */ key) => (/** @type {number | undefined} */ value) => golfers.change((now) => withReach(now, table, key, value));
      return html`<fieldset class="strike"><legend class="unseen">${strike}</legend>
        <label class="tick"><input type="checkbox" ?disabled=${open.builtin} .checked=${live(hit)}
          @change=${(/** @type {Event} */ { target }) => golfers.change((now) => withStrike(now, strike, /** @type {HTMLInputElement} */ (target).checked))} />
          hits the driver ${strike}</label>
        ${hit ? html`<div class="numbers">
          ${numberField(golfers, "carry", [...table, "carry_yd"], { unit: "yd", set: reach("carry_yd") })}
          ${numberField(golfers, "club speed", [...table, "club_speed_mph"], { unit: "mph", set: reach("club_speed_mph") })}
          ${STRIKE.map((field) => sureField(golfers, table, field))}</div>` : nothing}</fieldset>`;
    })}`;
}

/** How swings scatter. @param {Golfers} golfers */
export function spreadFields(golfers) {
  return html`<p class="quiet">Standard deviations from swing to swing, of all clubs: two swings in three are within it. What is usual goes by handicap.</p>
    <div class="numbers">${SPREAD.map((field) => sureField(golfers, ["spread"], field))}</div>`;
}
