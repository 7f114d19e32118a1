// The start of a round's entry: a round of the folder, a saved plan, or a plan made now.
/** @typedef {import("../records").Folder} Folder */
import { html, nothing, render } from "lit-html";
import { Cancelled } from "../jobs.js";
import { part } from "../page_parts.js";
import { folderName } from "../words.js";

/** @param {import("./round_store.js").Round} round @param {import("../planning/state.js").Store} store
 * @param {import("../api.js").Api} api @param {import("../jobs.js").Jobs} jobs @param {() => Promise<void>} look at the folder again */
export function createRoundStart(round, store, api, jobs, look) {
  const box = part("after-start");
  /** @type {import("../jobs.js").Progress | null} */ let progress = null;
  /** @type {(() => void) | null} */ let cancel = null;
  let said = "";
  /** @type {string[]} */ let tees = [];
  let teesOf = "";

  const chosen = () => {
    const form = /** @type {HTMLFormElement | null} */ (box.querySelector("form"));
    return form === null ? null : new FormData(form);
  };

  /** @param {string} value */
  async function lookAtTees(value) {
    if (teesOf === value) return;
    teesOf = value;
    const [course, layout] = JSON.parse(value);
    try {
      tees = (await api.json("GET", `/api/rounds/tees?${new URLSearchParams({ course, ...(layout === null ? {} : { layout }) })}`)).tees;
    } catch (refused) {
      [tees, said] = [[], /** @type {Error} */ (refused).message];
    }
    draw();
  }

  async function plan() {
    const form = chosen();
    if (form === null) return;
    const [course, layout] = JSON.parse(String(form.get("course")));
    const [player, tee] = [String(form.get("player")), String(form.get("tee"))];
    const [wind_mph, wind_from_deg] = [Number(form.get("mph") || 0), Number(form.get("from") || 0)];
    const titles = [store.get().folder?.courses.find(({ name }) => name === course)?.title, store.get().folder?.players.find(({ name }) => name === player)?.title];
    const words = [...titles, tee, wind_mph === 0 ? "calm" : `${wind_mph} mph from ${wind_from_deg}`].join(" ");
    const name = `plans/${folderName(words)}`;
    said = "";
    const job = jobs.start({
      kind: "plan", name, course, layout, player, tees: tee === "" ? null : [tee],
      options: { wind_mph, wind_from_deg: wind_mph === 0 ? 0 : wind_from_deg },
    }, (told) => {
      progress = told;
      draw();
    });
    cancel = job.cancel;
    try {
      await job.ended;
      await look();
      await round.open(`${name}/plan.json`, "", 0);
    } catch (failed) {
      said = failed instanceof Cancelled ? "Cancelled: nothing was planned." : /** @type {Error} */ (failed).message;
    }
    [progress, cancel] = [null, null];
    draw();
  }

  /** @param {Folder} folder */
  function planForm({ courses, players }) {
    const options = courses.flatMap(({ name: file, title, layouts }) => layouts.length < 2
      ? [{ value: JSON.stringify([file, null]), text: title }]
      : layouts.map((layout) => ({ value: JSON.stringify([file, layout]), text: `${title}, ${layout}` })));
    if (teesOf === "" && options.length > 0) void lookAtTees(options[0].value);
    return html`<form @submit=${(/** @type {Event} */ sent) => { sent.preventDefault(); void plan(); }}>
      <label class="field">course <select name="course" @change=${(/** @type {Event} */ { target }) => lookAtTees(/** @type {HTMLSelectElement} */ (target).value)}>
        ${options.map(({ value, text }) => html`<option value=${value}>${text}</option>`)}</select></label>
      <label class="field">golfer <select name="player">${players.map(({ name, title }) => html`<option value=${name}>${title}</option>`)}</select></label>
      <label class="field">tee <select name="tee"><option value="">the golfer's own</option>${tees.map((tee) => html`<option value=${tee}>${tee}</option>`)}</select></label>
      <label class="field">wind <span><input type="number" name="mph" min="0" max="80" value="0" /> mph</span></label>
      <label class="field">from <span><input type="number" name="from" min="0" max="360" value="0" /> °</span></label>
      ${progress === null ? html`<button type="submit" class="main">Plan it</button>` : html`
        <label class="field">planning <progress max=${Math.max(progress.total, 1)} .value=${progress.done}></progress></label>
        <button type="button" ?disabled=${progress.cancelling} @click=${() => cancel?.()}>${progress.cancelling ? "Cancelling …" : "Cancel"}</button>`}
    </form>`;
  }

  function draw() {
    const { folder } = store.get();
    const { opened, rounds } = round.get();
    box.hidden = opened !== null;
    if (opened !== null || folder === null) {
      render(nothing, box);
      return;
    }
    const named = rounds.filter((one) => folder.plans.some(({ name }) => name === one.plan));
    const lacks = folder.courses.length === 0 || folder.players.length === 0;
    render(html`
      <p role="status">${said || round.get().said}</p>
      <section><h2>Which plan was played?</h2>
        <p class="quiet">A round is compared with the plan that it was played by: in the wind that blew, from the tee that was played.</p>
        ${folder.plans.length === 0 ? html`<p>No plan is saved yet. Save one in the Plan view, or make it here.</p>` : html`<ul class="choices">${folder.plans.map(({ name }) => html`<li>
          <button type="button" @click=${() => round.open(`${name}/plan.json`, "", 0)}>${name.replace(/^plans\//, "")}</button></li>`)}</ul>`}</section>
      ${named.length === 0 ? nothing : html`<section><h2>Go on with a round</h2><ul class="choices">${named.map((one) => html`<li>
        <button type="button" @click=${() => round.reopen(one)}>${one.name.replace(/^rounds\/|\.csv$/g, "")}</button></li>`)}</ul></section>`}
      <section><h2>Or plan it now</h2>${lacks
        ? html`<p class="hint">A plan needs a course and a golfer in the folder. <a href="#/draw">Draw a course</a>, or add the files in the <a href="#/plan">Plan view</a>.</p>`
        : planForm(folder)}</section>`, box);
  }
  return { draw };
}
