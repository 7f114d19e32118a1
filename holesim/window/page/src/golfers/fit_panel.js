// The fit: whose drives they are, how far the work is, what came of it, and what changed between sessions.
/** @typedef {import("./drives_store.js").Drives} Drives */
/** @typedef {import("./records").GolferRow} GolferRow */
import { html, nothing, svg } from "lit-html";
import { live } from "lit-html/directives/live.js";
import { fileName } from "./golfers_store.js";
import { linePoints } from "./lines.js";

/** @param {Drives} drives @param {GolferRow[]} golfers */
export function fitPanel(drives, golfers) {
  const state = drives.get();
  const { looked, who, balls, days, chosen, working, work, usual } = state;
  if (looked === null) return nothing;
  const tell = (/** @type {Partial<typeof who>} */ change) => drives.set({ who: { ...who, ...change }, fit: null, changes: null });
  const chips = (/** @type {string} */ words, /** @type {string[][]} */ choices, /** @type {string} */ value, /** @type {(value: string) => void} */ set) => html`
    <fieldset class="choice"><legend>${words}</legend><div class="chips">${choices.map(([key, said]) => html`<label class="chip"><input type="radio" name="fit ${words}"
      .checked=${live(key === value)} @change=${() => set(key)} />${said}</label>`)}</div></fieldset>`;
  const text = (/** @type {string} */ words, /** @type {"golfer" | "handicap"} */ key) => html`<label class="number"><span class="words">${words}</span><span class="typed"><input type="text" maxlength="80"
    autocomplete="off" .value=${who[key]} @change=${(/** @type {Event} */ { target }) => tell({ [key]: /** @type {HTMLInputElement} */ (target).value })} /></span></label>`;
  const undated = looked.sessions.some(({ day }) => day === null) || days[looked.name] !== undefined;
  const sessions = chosen.length > 1 ? chosen.length : looked.sessions.length;
  return html`<section id="range-fit"><h2>Whose drives they are</h2><div class="least">
    <label class="number"><span class="words">golfer</span><select @change=${(/** @type {Event} */ { target }) => tell({ like: /** @type {HTMLSelectElement} */ (target).value })}>
      <option value="" .selected=${live(who.like === "")}>someone without a file</option>
      ${golfers.filter(({ error }) => error === undefined).map(({ name, title }) => html`<option value=${name} .selected=${live(name === who.like)}>${title}, ${name}</option>`)}</select></label>
    ${who.like !== "" ? nothing : html`${text("name", "golfer")}${chips("plays as", [["man", "man"], ["woman", "woman"]], who.sex, (sex) => tell({ sex }))}
      ${chips("hand", [["right", "right"], ["left", "left"]], who.hand, (hand) => tell({ hand }))}${text("handicap index", "handicap")}`}
    ${chips("balls", [["course", "the golfer's own"], ["range", "range balls: direction only"]], balls, (kind) => {
      drives.set({ balls: /** @type {"course" | "range"} */ (kind), fit: null, changes: null });
      void drives.lookAgain();
    })}
    ${chips("usual strike", [["", "not said"], ["up", "up"], ["level", "level"], ["down", "down"]], usual, (name) => drives.set({ usual: name, fit: null }))}
    ${undated ? html`<label class="number"><span class="words">${looked.name} was measured on</span><span class="typed"><input type="date" .value=${days[looked.name] ?? ""}
      @change=${(/** @type {Event} */ { target }) => {
        const next = { ...days, [looked.name]: /** @type {HTMLInputElement} */ (target).value };
        if (next[looked.name] === "") delete next[looked.name];
        drives.set({ days: next, fit: null, changes: null });
        void drives.lookAgain();
      }} /></span></label>` : nothing}
    ${/which number is the day/.test(`${looked.fault} ${looked.guesses.join(" ")}`) || state.dayFirst !== null ? chips("12/05/2026 is", [["day", "12 May"], ["month", "5 December"]],
      state.dayFirst === null ? "" : state.dayFirst ? "day" : "month", (word) => {
        drives.set({ dayFirst: word === "day", fit: null, changes: null });
        void drives.lookAgain();
      }) : nothing}</div>
    ${looked.sessions.length === 0 ? nothing : html`<p>${looked.sessions.map(({ name, day, drives: count }) => `${day ?? name}: ${count} drives`).join("; ")}</p>`}
    <div class="actions"><button type="button" class="main" ?disabled=${working !== "" || looked.fault !== ""} @click=${() => drives.order("measure")}>Fit the golfer to the drives</button>
      ${sessions < 2 ? nothing : html`<button type="button" ?disabled=${working !== ""} @click=${() => drives.order("changes")}>What changed between sessions</button>`}</div>
    ${state.stale === null ? nothing : html`<p><button type="button" @click=${() => drives.replaceKept()}>Replace the corrections kept before</button></p>`}
    ${working === "" ? nothing : html`<div class="work"><progress aria-label="how far the work is" max=${work?.total || 1} value=${work === null || work.done === 0 ? nothing : work.done}></progress>
      <button type="button" ?disabled=${work === null || work.cancelling} @click=${drives.stop}>${work?.cancelling ? "Stopping" : "Stop"}</button></div>`}
    <p class=${state.wrong ? "wrong" : "said"}>${state.said}</p></section>`;
}

/** What came of the fit. @param {Drives} drives @param {GolferRow[]} golfers @param {(name: string) => void} saved */
export function fitResult(drives, golfers, saved) {
  const { fit, who } = drives.get();
  if (fit === null) return nothing;
  const like = golfers.find(({ name }) => name === who.like);
  const usual = like !== undefined && !like.builtin ? like.name : fileName(fit.name);
  const save = async (/** @type {SubmitEvent} */ submitted) => {
    submitted.preventDefault();
    const typed = String(new FormData(/** @type {HTMLFormElement} */ (submitted.target)).get("file") ?? "").trim() || usual;
    const name = /\.toml$/i.test(typed) ? typed : `${typed}.toml`;
    if (await drives.save(name, golfers.some((one) => one.name === name))) saved(name);
  };
  return html`<section id="range-found"><h2>What the drives say of ${fit.name}</h2>
    ${fit.sentences.map((sentence) => html`<p>${sentence}</p>`)}
    ${[...fit.warnings, ...fit.guesses].map((line) => html`<p class="quiet">${line}</p>`)}
    <img src="data:image/png;base64,${fit.picture}" alt="Where the drives landed, and outlines of half and of nine in ten of the fitted golfer's, strike by strike" />
    <form class="add" @submit=${save}><label class="field">file <input type="text" name="file" class="wide-name" maxlength="80" autocomplete="off" .value=${usual} /></label>
      <button type="submit" class="main">Save the golfer</button>
      <span class="quiet">${golfers.some(({ name }) => name === usual) ? "What the file was before is kept." : ""}</span></form>
    <details class="fold"><summary>Every number</summary><pre>${fit.text}</pre></details></section>`;
}

/** What changed between sessions. @param {Drives} drives */
export function changesResult(drives) {
  const { changes } = drives.get();
  if (changes === null) return nothing;
  return html`<section id="range-changes"><h2>What changed <small>${changes.sessions.map(({ name, drives: count }) => `${name}: ${count} drives`).join("; ")}</small></h2>
    ${changes.sentences.map((sentence) => html`<p>${sentence}</p>`)}
    <div class="wide"><table class="changes"><thead><tr><th scope="col">from session to session</th><td></td><th scope="col">first</th><th scope="col">last</th><th scope="col">change</th>
      <th scope="col">9 in 10 between</th><th scope="col">more than a good day</th></tr></thead>
    <tbody>${changes.rows.map((row) => html`<tr><th scope="row">${row.words}</th><td>${lineOf(row.values)}</td><td>${row.first}</td><td>${row.last}</td><td>${row.change}</td>
      <td>${row.between}</td><td>${row.sure}</td></tr>`)}</tbody></table></div>
    ${changes.guesses.map((line) => html`<p class="quiet">${line}</p>`)}
    <details class="fold"><summary>How it is counted</summary><pre>${changes.text}</pre></details></section>`;
}

/** A small line through a number in each session. @param {number[]} values */
function lineOf(values) {
  const points = linePoints(values, 84, 24, 4);
  return svg`<svg class="line" viewBox="0 0 84 24" width="84" height="24" aria-hidden="true"><polyline points=${points.map((point) => point.join(",")).join(" ")} />
    ${points.map(([x, y]) => svg`<circle cx=${x} cy=${y} r="2.6" />`)}</svg>`;
}
