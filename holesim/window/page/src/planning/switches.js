// The switches: strikes shown, tee, ground, weather, goal, rule, course and player.
/** @typedef {import("../records").State} State */
/** @typedef {import("../records").Options} Options */
import { html, nothing, render } from "lit-html";
import { live } from "lit-html/directives/live.js";
import { repeat } from "lit-html/directives/repeat.js";
import { openAnew } from "./answers.js";
import { markIcon, markOf, marksOf } from "../marks.js";
import { drawnStrikes, moveTo, pickedLabels, shownAnswer, shownHole, teeNames, toggleStrike } from "./state.js";
/** @typedef {{value: string, text: string, whole?: string}} Choice */

const GROUNDS = [{ value: "soft", text: "soft" }, { value: "medium", text: "medium" }, { value: "firm", text: "firm" }];
const GOALS = [
  { value: "mean", text: "strokes", whole: "fewest strokes" }, { value: "par", text: "par", whole: "par or better" },
  { value: "birdie", text: "birdie", whole: "birdie or better" },
];
const RULES = [
  { value: "distance", text: "stroke and distance" }, { value: "drop", text: "drop, two strokes (local rule)" },
];

/** Change an option of the round and open anew. @param {import("./state.js").Store} store @param {Options} change */
export function setOptions(store, change) {
  const state = store.get();
  store.set({ ...openAnew(state, { options: { ...state.options, ...change } }), changedAt: Date.now() });
}

/** Go to the next of an option's values. @param {import("./state.js").Store} store @param {"goal" | "ground" | "tee"} which */
export function stepOption(store, which) {
  const state = store.get();
  if (state.opened === null) return;
  const after = (/** @type {string[]} */ all, /** @type {string} */ now) => all[(all.indexOf(now) + 1) % all.length];
  if (which === "tee") store.set(moveTo({ tee: after(teeNames(state), state.tee) }, Date.now()));
  else if (which === "goal") setOptions(store, { goal: after(GOALS.map(({ value }) => value), goalOf(state)) });
  else setOptions(store, { ground: after(GROUNDS.map(({ value }) => value), groundOf(state)) });
}

/** @param {State} state */
const goalOf = (state) => state.options.goal ?? state.opened?.options.goal ?? "mean";
/** @param {State} state */
const groundOf = (state) => state.options.ground ?? state.opened?.options.ground ?? state.opened?.course.firmness ?? "medium";

/** @param {string} legend @param {Choice[]} choices @param {string} now @param {(value: string) => void} pick */
function radios(legend, choices, now, pick) {
  return html`<fieldset class="row"><legend>${legend}</legend>${choices.map(({ value, text, whole }) => html`
    <label class="chip" title=${whole ?? nothing}><input type="radio" name=${legend} aria-label=${whole ?? nothing}
      .checked=${live(value === now)} @change=${() => pick(value)} />${text}</label>`)}</fieldset>`;
}

/** @param {string} name @param {Choice[]} choices @param {string} now @param {(value: string) => void} pick */
function select(name, choices, now, pick) {
  return html`<label class="field">${name} <select @change=${(/** @type {Event} */ { target }) => pick(/** @type {HTMLSelectElement} */ (target).value)}>
    ${choices.map(({ value, text }) => html`<option value=${value} .selected=${live(value === now)}>${text}</option>`)}</select></label>`;
}

/** A number to type; what is half typed stays while the page is drawn anew.
 * @param {string} name @param {string} unit @param {[number, number]} span @param {number} now @param {(value: number) => void} pick */
function number(name, unit, [low, high], now, pick) {
  return html`<label class="field">${name} <span><input type="number" inputmode="numeric" min=${low} max=${high} .value=${String(now)}
    @change=${(/** @type {Event} */ { target }) => {
      const input = /** @type {HTMLInputElement} */ (target);
      if (input.reportValidity() && input.value !== "") pick(input.valueAsNumber);
    }} /> ${unit}</span></label>`;
}

/** The chips of strikes and clubs. @param {HTMLElement} box @param {import("./state.js").Store} store */
export function drawStrikeChips(box, store) {
  const state = store.get();
  const bag = state.opened?.player.strikes ?? [];
  const shown = pickedLabels(state) ?? drawnStrikes(state).map(({ label }) => label);
  const marks = marksOf(shown, bag);
  const chip = (/** @type {string} */ label) => html`<label class="chip"><input type="checkbox" data-strike=${label} .checked=${live(shown.includes(label))}
      @change=${() => {
        store.set(toggleStrike(store.get(), label));
        drawStrikeChips(box, store);
        // The chip may stand elsewhere now; the focus stays on it.
        /** @type {HTMLElement | null} */ (box.querySelector(`[data-strike="${CSS.escape(label)}"]`))?.focus();
      }} />${shown.includes(label) ? markIcon(marks.get(label) ?? markOf(label)) : nothing}${label}</label>`;
  const answer = shownAnswer(state);
  const driver = shownHole(state)?.par !== 3;
  const first = bag.filter(({ label, club }) =>
    (driver && club === "driver") || shown.includes(label) || label === answer?.choice || label === answer?.rival);
  const others = bag.filter((strike) => !first.includes(strike));
  render(bag.length === 0 ? nothing : html`<fieldset><legend class="unseen">strikes on the picture</legend>
    <div class="chips">${repeat(first, ({ label }) => label, ({ label }) => chip(label))}
      ${others.length === 0 ? nothing : html`<details><summary>others</summary><div class="chips">${repeat(others, ({ label }) => label, ({ label }) => chip(label))}</div></details>`}</div>
    </fieldset>`, box);
}

/** @param {HTMLElement} box @param {import("./state.js").Store} store */
export function drawSwitches(box, store) {
  const state = store.get();
  const { opened } = state;
  if (opened === null) {
    render(nothing, box);
    return;
  }
  const tees = teeNames(state).map((value) => ({ value, text: value }));
  const { options } = opened;
  const temperature = state.options.temperature_f ?? options.temperature_f;
  const altitude = state.options.altitude_ft ?? options.altitude_ft;
  const rule = state.options.out_of_bounds ?? options.out_of_bounds;
  render(html`
    ${radios("tee", tees, state.tee, (tee) => store.set(moveTo({ tee }, Date.now())))}
    ${radios("ground", GROUNDS, groundOf(state), (ground) => setOptions(store, { ground }))}
    ${radios("goal", GOALS, goalOf(state), (goal) => setOptions(store, { goal }))}
    <details><summary>more: ${temperature} °F, ${altitude} ft, ${RULES.find(({ value }) => value === rule)?.text}</summary>
      ${number("temperature", "°F", [-20, 130], temperature, (temperature_f) => setOptions(store, { temperature_f }))}
      ${number("altitude", "ft", [-1500, 15000], altitude, (altitude_ft) => setOptions(store, { altitude_ft }))}
      ${select("out of bounds", RULES, rule, (out_of_bounds) => setOptions(store, { out_of_bounds }))}
    </details>`, box);
}

/** The choice of course and player. @param {HTMLElement} box @param {import("./state.js").Store} store */
export function drawFilePickers(box, store) {
  const state = store.get();
  const { folder } = state;
  if (folder === null || folder.courses.length === 0 || folder.players.length === 0) {
    render(nothing, box);
    return;
  }
  const courses = folder.courses.flatMap(({ name: file, title, layouts }) => layouts.length < 2
    ? [{ value: JSON.stringify([file, null]), text: title }]
    : layouts.map((layout) => ({ value: JSON.stringify([file, layout]), text: `${title}, ${layout}` })));
  const players = folder.players.map(({ name: value, title: text }) => ({ value, text }));
  const pick = (/** @type {Parameters<typeof openAnew>[1]} */ change) =>
    store.set({ ...openAnew(store.get(), change), shown: { short: null, long: null }, changedAt: Date.now() });
  render(html`
    ${select("course", courses, JSON.stringify([state.course, state.layout]), (value) => {
      const [course, layout] = JSON.parse(value);
      pick({ course, layout });
    })}
    ${select("player", players, state.player, (player) => pick({ player }))}`, box);
}
