// Tables of drives: chosen, their columns, and each drive.
/** @typedef {import("./drives_store.js").Drives} Drives */
import { html, nothing } from "lit-html";
import { live } from "lit-html/directives/live.js";
import { isMarked, linesBetween, marked, markOf, NO_MARKS } from "./marks.js";
/** @typedef {{brush: import("./marks.js").Brush, block: boolean, first: number | null}} Hand */

const BRUSHES = /** @type {[import("./marks.js").Brush, string][]} */ ([["up", "up"], ["level", "level"], ["down", "down"], ["out", "a mishit: out"]]);

/** Where tables come from. @param {Drives} drives @param {string[]} tables of the folder */
export function tableChoice(drives, tables) {
  const { chosen, looked, clash, said, wrong } = drives.get();
  const pick = (/** @type {Event} */ { target }) => {
    const input = /** @type {HTMLInputElement} */ (target);
    const file = input.files?.[0];
    input.value = "";
    if (file !== undefined) void drives.add(file);
  };
  const paste = (/** @type {SubmitEvent} */ submitted) => {
    submitted.preventDefault();
    const form = /** @type {HTMLFormElement} */ (submitted.target);
    const given = new FormData(form);
    const [text, name] = [String(given.get("text") ?? ""), String(given.get("as") ?? "").trim() || "pasted"];
    if (text.trim() === "") return drives.set({ said: "Paste the table first, with its header.", wrong: true });
    void drives.add(new File([text], /\.csv$/i.test(name) ? name : `${name}.csv`, { type: "text/csv" }));
  };
  return html`<section id="range-tables"><h2>Measured drives</h2>
    <p class="quiet">A table off a launch monitor, a row for each drive. Drop it here, choose it or paste it; it goes to the folder.</p>
    <div class="row-of"><label class="button">Choose a table<input type="file" accept=".csv,.txt,.tsv" class="unseen" @change=${pick} /></label></div>
    <details class="fold"><summary>Paste a table</summary><form class="paste" @submit=${paste}>
      <label><span class="words">the table, with its header</span><textarea name="text" rows="6" spellcheck="false"></textarea></label>
      <label class="field">name <input type="text" name="as" maxlength="60" placeholder="range 2026-05-12" autocomplete="off" /></label>
      <button type="submit">Use this table</button></form></details>
    <p role="status" class=${wrong ? "wrong" : "said"}>${said}</p>
    ${clash === null ? nothing : html`<button type="button" @click=${() => drives.add(clash, true)}>Replace ${clash.name}</button>`}
    ${tables.length === 0 ? nothing : html`<fieldset class="tables"><legend>Tables of the folder; several are several sessions of one golfer</legend>
      ${tables.map((name) => html`<div class="table-row"><label class="tick"><input type="checkbox" .checked=${live(chosen.includes(name))}
        @change=${(/** @type {Event} */ { target }) => drives.choose(name, /** @type {HTMLInputElement} */ (target).checked)} />${name}</label>
        ${chosen.length > 1 && chosen.includes(name) ? html`<button type="button" aria-pressed=${looked?.name === name} @click=${() => drives.look(name)}>show</button>` : nothing}</div>`)}</fieldset>`}
  </section>`;
}

/** What each column is taken for. @param {Drives} drives */
export function columnsPanel(drives) {
  const { looked, meanings, columns } = drives.get();
  if (looked === null) return nothing;
  const picked = (/** @type {Event} */ { target }) => /** @type {HTMLSelectElement} */ (target).value;
  const known = looked.columns.filter(({ name }) => name !== "").length;
  return html`<section id="range-columns"><h2>Columns of ${looked.name} <small>${known} of ${looked.columns.length} are used</small></h2>
    ${looked.fault === "" ? nothing : html`<p class="wrong" role="alert">${looked.fault}</p>`}
    ${looked.guesses.length === 0 ? nothing : html`<ul class="guesses">${looked.guesses.map((guess) => html`<li>${guess}</li>`)}</ul>`}
    <div class="wide"><table class="columns"><thead><tr><th scope="col">header</th><th scope="col">three values</th><th scope="col">what it is</th><th scope="col">unit</th><th scope="col">positive</th></tr></thead>
    <tbody>${looked.columns.map((column, place) => {
      const meaning = meanings.find(({ name }) => name === column.name);
      const of = column.header || `column ${place + 1}`;
      return html`<tr class=${column.name === "" ? "unused" : ""}><th scope="row">${column.header || "(no header)"}</th><td class="samples">${column.samples.join("  ")}</td>
        <td><select aria-label="what ${of} is" @change=${(/** @type {Event} */ picking) => drives.take(place, { name: picked(picking), unit: "", positive: "" })}>
          <option value="" .selected=${live(column.name === "")}>not used</option>
          ${meanings.map(({ name, words }) => html`<option value=${name} .selected=${live(name === column.name)}>${words}</option>`)}</select>
          ${column.fault === null ? nothing : html`<span class="wrong">${column.fault}</span>`}</td>
        <td>${(meaning?.units.length ?? 0) < 2 ? column.unit : html`<select aria-label="unit of ${of}" @change=${(/** @type {Event} */ picking) => drives.take(place, { unit: picked(picking) })}>
          ${column.unit === "" ? html`<option value="" .selected=${live(true)}></option>` : nothing}
          ${meaning?.units.map((unit) => html`<option .selected=${live(unit === column.unit)}>${unit}</option>`)}</select>`}</td>
        <td>${(meaning?.ends.length ?? 0) === 0 ? nothing : html`<select aria-label="which end of ${of} is positive" @change=${(/** @type {Event} */ picking) => drives.take(place, { positive: picked(picking) })}>
          ${meaning?.ends.map((end) => html`<option .selected=${live(end === column.positive)}>${end}</option>`)}</select>`}</td></tr>`;
    })}</tbody></table></div>
    ${columns === null ? nothing : html`<p class="quiet">What you said of the columns is kept beside the table, for the command as for the window.
      <button type="button" class="link" @click=${() => {
        drives.set({ columns: null });
        void drives.lookAgain();
      }}>read the table as it says itself</button></p>`}</section>`;
}

/** Each drive, to be marked by a tap. @param {Drives} drives @param {Hand} hand @param {(hand: Partial<Hand>) => void} take */
export function rowsPanel(drives, hand, take) {
  const { looked, marks } = drives.get();
  if (looked === null || looked.rows.length === 0) return nothing;
  const held = marks[looked.name] ?? NO_MARKS;
  const tap = (/** @type {number} */ line) => {
    if (hand.block && hand.first === null) return take({ first: line });
    drives.mark(marked(held, looked.rows, hand.block ? linesBetween(looked.rows, hand.first ?? line, line) : [line], hand.brush));
    take({ first: null });
  };
  const unsaid = looked.rows.filter((row) => markOf(held, row) === null).length;
  const some = looked.rows.length > unsaid && unsaid > 0 && looked.rows.some((row) => !["out", null].includes(markOf(held, row)));
  return html`<details class="fold" id="range-drives"><summary>The drives, one by one: say which strike each was, take a mishit out</summary>
    <div class="brushes"><fieldset class="choice"><legend>a tap says</legend><div class="chips">${BRUSHES.map(([brush, words]) => html`<label class="chip"><input type="radio" name="brush"
      .checked=${live(hand.brush === brush)} @change=${() => take({ brush, first: null })} />${words}</label>`)}</div></fieldset>
    <fieldset class="choice"><legend>of</legend><div class="chips">${[false, true].map((block) => html`<label class="chip"><input type="radio" name="block"
      .checked=${live(hand.block === block)} @change=${() => take({ block, first: null })} />${block ? "a block: its first, then its last" : "one drive"}</label>`)}</div></fieldset></div>
    <p role="status" class="quiet">${hand.first !== null ? `From line ${hand.first} to: tap the last drive of the block.` : ""}
      ${held.out.length > 0 ? `${held.out.length} out. ` : ""}${some ? `${unsaid} without a strike, which are left out as they stand. ` : ""}</p>
    <div class="wide drives"><table><thead><tr><th scope="col">line</th><th scope="col">strike</th>${looked.shown.map((header) => html`<th scope="col">${header}</th>`)}</tr></thead>
    <tbody>${looked.rows.map((row) => {
      const mark = markOf(held, row);
      const words = mark === "out" ? "out" : mark ?? "not said";
      return html`<tr class="${mark ?? ""} ${hand.first === row.line ? "first" : ""}" @click=${() => tap(row.line)}><td>${row.line}</td>
        <td><button type="button" aria-label="drive in line ${row.line}: ${words}">${words}</button></td>${row.cells.map((cell) => html`<td>${cell}</td>`)}</tr>`;
    })}</tbody></table></div>
    ${looked.more > 0 ? html`<p class="quiet">and ${looked.more} more drives, as the table has them</p>` : nothing}
    ${isMarked(held) ? html`<p class="quiet">The table as corrected is kept beside it, so that the command finds the same.
      <button type="button" class="link" @click=${() => drives.mark(NO_MARKS)}>take the corrections back</button></p>` : nothing}</details>`;
}
