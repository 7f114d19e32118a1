// A golfer's form: the least first, all else folded away.
/** @typedef {import("./golfers_store.js").Golfers} Golfers */
import { html, nothing } from "lit-html";
import { live } from "lit-html/directives/live.js";
import { whenText } from "../drawing/versions_form.js";
import { bagFields } from "./bag_fields.js";
import { handicapIn, handicapText, valueAt, withReach, withValue } from "./content.js";
import { fileName } from "./golfers_store.js";
import { faultAt, isWrong, numberField, spreadFields, strikesFields } from "./strike_fields.js";

const MISSES = [["both", "both ways"], ["left", "left"], ["right", "right"]];

/** One of a few words, as buttons. @param {Golfers} golfers @param {string} words @param {string[][]} choices value and words
 * @param {string} value @param {(value: string) => void} chosen @param {unknown} [fault] */
function chips(golfers, words, choices, value, chosen, fault = nothing) {
  return html`<fieldset class="choice"><legend>${words}</legend><div class="chips">${choices.map(([key, said]) => html`
    <label class="chip"><input type="radio" name=${words} ?disabled=${golfers.get().open?.builtin} .checked=${live(key === value)}
      @change=${() => chosen(key)} />${said}</label>`)}</div>${fault}</fieldset>`;
}

/** A part that folds away. @param {string} title @param {unknown} content */
const fold = (title, content) => html`<details class="fold"><summary>${title}</summary>${content}</details>`;

/** @param {Golfers} golfers @param {{saved: (name: string) => void, copied: (name: string) => void, measure: () => void}} then */
export function golferForm(golfers, then) {
  const { open, checked, changed, busy, said, wrong } = golfers.get();
  if (open === null) return nothing;
  const { content, builtin } = open;
  const set = (/** @type {string} */ key) => (/** @type {unknown} */ value) => golfers.change((now) => withValue(now, [key], value));
  const reach = (/** @type {"carry_yd" | "club_speed_mph"} */ key) => (/** @type {number | undefined} */ value) => golfers.change((now) => withReach(now, [], key, value));
  const missing = ["name", "sex", "hand", "handicap_index"].filter((key) => content[key] === undefined || content[key] === "");
  const ready = checked && missing.length === 0 && open.faults.length === 0;
  const save = async (/** @type {Event} */ submitted) => {
    submitted.preventDefault();
    const name = await golfers.save();
    if (name !== "") then.saved(name);
  };
  const copy = async () => {
    const name = await golfers.copy();
    if (name !== "") then.copied(name);
  };
  return html`<form id="golfer-form" autocomplete="off" novalidate @submit=${save}>
    <h2>${content.name || "A new golfer"} <small>${open.name}${open.about === undefined || open.name === "" ? "" : `, ${open.about}`}</small></h2>
    ${builtin ? html`<p class="hint">This golfer comes with holesim and cannot be changed.
      <button type="button" class="main" ?disabled=${busy} @click=${copy}>Copy to the folder</button></p>` : nothing}
    <div class="least">
      <label class="number name"><span class="words">name</span><span class="typed"><input type="text" id="golfer-name" maxlength="80" ?disabled=${builtin} .value=${live(content.name ?? "")}
        @input=${(/** @type {Event} */ { target }) => golfers.change((now) => withValue(now, ["name"], /** @type {HTMLInputElement} */ (target).value || undefined), false)} /></span></label>
      ${chips(golfers, "plays as", [["man", "man"], ["woman", "woman"]], content.sex ?? "", set("sex"))}
      ${chips(golfers, "hand", [["right", "right"], ["left", "left"]], content.hand ?? "", set("hand"))}
      <label class="number"><span class="words">handicap index</span><span class="typed"><input type="text" inputmode="text" maxlength="6" ?disabled=${builtin} placeholder="such as 14.2 or +1"
        aria-invalid=${isWrong(golfers, ["handicap_index"]) && content.handicap_index !== undefined ? "true" : nothing}
        .value=${typeof content.handicap_index === "string" ? content.handicap_index : handicapText(content.handicap_index)}
        @change=${(/** @type {Event} */ { target }) => {
          const text = /** @type {HTMLInputElement} */ (target).value.trim();
          set("handicap_index")(text === "" ? undefined : handicapIn(text) ?? text);
        }} /></span>${content.handicap_index === undefined ? nothing : faultAt(golfers, ["handicap_index"])}</label>
      ${numberField(golfers, "a drive carries", ["carry_yd"], { unit: "yd", set: reach("carry_yd") })}
      ${numberField(golfers, "or club speed", ["club_speed_mph"], { unit: "mph", set: reach("club_speed_mph") })}
      ${chips(golfers, "usual miss", open.miss === "other" ? [...MISSES, ["other", "as stated"]] : MISSES, open.miss ?? "both",
        (side) => side !== "other" && void golfers.miss(side))}
      <p class="quiet miss">${open.miss_words ?? ""}</p>
    </div>
    ${(open.assumed ?? []).length === 0 ? nothing : html`<details class="fold"><summary>Usual for this handicap: ${(open.assumed ?? []).length} things that are not said</summary>
      <ul>${open.assumed?.map((line) => html`<li>${line}</li>`)}</ul></details>`}
    ${fold("Clubs, by carry", bagFields(golfers))}
    ${fold("Strikes: attack, loft, strike point, tee height", html`${strikesFields(golfers)}
      ${chips(golfers, "usual strike", [["", "not said"], ...Object.keys(content.strikes ?? { up: {}, down: {} }).map((name) => [name, name])], content.usual ?? "", (name) => set("usual")(name || undefined))}
      ${chips(golfers, "chooses the strike hole by hole", [["", "as is usual"], ["yes", "yes"], ["no", "no"]],
        content.can_choose === undefined ? "" : content.can_choose ? "yes" : "no", (word) => set("can_choose")(word === "" ? undefined : word === "yes"))}`)}
    ${fold("Spread", spreadFields(golfers))}
    ${open.name === "" || builtin ? nothing : fold("Earlier versions", open.versions.length === 0 ? html`<p class="quiet">None is kept yet: the first is kept when the golfer is changed.</p>`
      : html`<ul class="versions">${open.versions.map(({ version }) => html`<li>${whenText(version)} <button type="button" ?disabled=${busy}
        aria-label="bring back ${whenText(version)}" @click=${() => golfers.restore(version)}>bring back</button></li>`)}</ul>`)}
    ${builtin ? nothing : html`<div class="actions"><button type="submit" class="main" ?disabled=${busy || !ready || (!changed && open.name !== "")}>${open.name === "" ? "Save the golfer" : "Save"}</button>
      <span class="quiet">${missing.length > 0 ? `Still to say: ${missing.map((key) => (key === "sex" ? "man or woman" : key.replace("_", " "))).join(", ")}.`
        : open.faults.length > 0 ? elsewhere(open.faults) : open.name === "" ? `It is kept as ${fileName(content.name)}.` : changed ? "Not saved yet." : ""}</span></div>`}
    <p role="status" class=${wrong ? "wrong" : "said"}>${said}</p>
    ${open.name === "" ? nothing : html`<p><button type="button" @click=${then.measure}>Measure ${valueAt(content, ["name"])} from a range table</button></p>`}
  </form>`;
}

/** What is still wrong. @param {import("./records").Fault[]} faults */
function elsewhere(faults) {
  if (faults[0].place === "club_speed_mph") return `${faults[0].says[0].toUpperCase()}${faults[0].says.slice(1)}.`;
  return faults.length === 1 ? "One number is wrong; see beside it." : `${faults.length} numbers are wrong; see beside them.`;
}
