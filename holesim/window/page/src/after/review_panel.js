// The review of the round that is entered, and what it taught, which goes into the golfer's file.
/** @typedef {import("../records").Reviewed} Reviewed */
import { html, nothing, render } from "lit-html";
import { live } from "lit-html/directives/live.js";
import { Cancelled } from "../jobs.js";
import { part } from "../page_parts.js";

const FEWEST = 1;

/** @param {import("./round_store.js").Round} round @param {import("../api.js").Api} api @param {import("../jobs.js").Jobs} jobs
 * @param {import("../planning/state.js").Store} store @param {() => Promise<void>} look at the folder again */
export function createReviewPanel(round, api, jobs, store, look) {
  const box = part("after-review");
  /** @type {import("../jobs.js").Progress | null} */ let progress = null;
  /** @type {(() => void) | null} */ let cancel = null;
  /** @type {Reviewed | null} */ let found = null;
  let of = ""; // the round and version that the review is of
  let player = "";
  let said = "";
  let learnt = "";

  const version = () => `${round.get().round} ${round.get().sha256}`;
  const golfer = () => {
    const { opened } = round.get();
    return opened?.golfers.includes(player) ? player : opened?.known ? opened.golfers[0] : "";
  };

  async function review() {
    const { plan, round: played } = round.get();
    [said, learnt] = ["", ""];
    const asked = version();
    const job = jobs.start({ kind: "review", plan, played, player: golfer() || null }, (told) => {
      progress = told;
      draw();
    });
    cancel = job.cancel;
    try {
      found = /** @type {Reviewed} */ ((await job.ended).answer);
      of = asked;
    } catch (failed) {
      said = failed instanceof Cancelled ? "Cancelled." : /** @type {Error} */ (failed).message;
    }
    [progress, cancel] = [null, null];
    draw();
  }

  /** Where a golfer's file goes: that of a golfer who came with holesim becomes one of the folder. @param {string} name */
  const goal = (name) => (isBuiltin(name) ? name.split("/").at(-1) ?? name : name);
  const isBuiltin = (/** @type {string} */ name) => store.get().folder?.players.some((one) => one.name === name && one.builtin) ?? false;

  async function learn() {
    if (found?.learnt === null || found?.learnt === undefined || found.player === null) return;
    const { player: from, seen, learnt: text } = found;
    try {
      await api.json("POST", "/api/rounds/learn", {
        player: goal(from), seen: isBuiltin(from) ? null : seen, played: round.get().round, text,
      });
      learnt = `${goal(from)} has learnt from this round.${isBuiltin(from) ? "" : " The file as it was is kept among its earlier versions."}`;
      said = "";
      await look();
    } catch (refused) {
      said = /** @type {Error} */ (refused).message;
    }
    draw();
  }

  /** @param {Reviewed} review */
  function learning({ learnt: text, player: name, not_learnt, learnt_before }) {
    if (learnt !== "") return html`<p>${learnt}</p>`;
    if (name === null) return html`<p class="quiet">No golfer of the folder is that of the plan: choose one, and review again, to have a file learn.</p>`;
    if (text === null) return html`<p>${name} stays as it is: ${not_learnt}.</p>`;
    if (learnt_before !== null) return html`<p>${learnt_before} has learnt from this round already.</p>`;
    return html`<button type="button" class="main" @click=${learn}>Put what it taught into ${goal(name)}</button>
      <p class="quiet">Face, swing line and club speed of the strikes hit, and the spread of face and path move by what this round tells. ${
        isBuiltin(name) ? "The golfer came with holesim: the file is a new one of the folder." : "The file as it is now is kept."}</p>`;
  }

  function draw() {
    const { opened, rows, round: played, saving, saved } = round.get();
    if (opened === null) {
      [found, of, said, learnt] = [null, "", "", ""];
      render(nothing, box);
      return;
    }
    if (found !== null && of.split(".csv ")[0] !== played.replace(/\.csv$/, "")) [found, learnt] = [null, ""];
    const holes = Object.keys(rows).length;
    const old = found !== null && of !== version();
    render(html`<h2>What the round says</h2>
      ${holes < FEWEST ? html`<p class="quiet">Enter a drive or a score first.</p>` : html`
        <label class="field">golfer's file <select @change=${(/** @type {Event} */ { target }) => { player = /** @type {HTMLSelectElement} */ (target).value; draw(); }}>
          <option value="" .selected=${live(golfer() === "")}>none</option>
          ${opened.golfers.map((name) => html`<option value=${name} .selected=${live(name === golfer())}>${name}</option>`)}</select></label>
        ${progress === null ? html`<button type="button" class="main" ?disabled=${saving || !saved} @click=${review}>Review ${holes === opened.holes.length ? "the round" : `${holes} of ${opened.holes.length} holes`}</button>`
        : html`<progress aria-label="reviewing" max=${Math.max(progress.total, 1)} .value=${progress.done}></progress>
          <button type="button" ?disabled=${progress.cancelling} @click=${() => cancel?.()}>${progress.cancelling ? "Cancelling …" : "Cancel"}</button>`}`}
      <p role="status">${said}${old ? "The round has changed since: review it again." : ""}</p>
      ${found === null ? nothing : html`<div class=${old ? "old" : ""}><h3>${found.title}</h3>
        ${found.sentences.map((line) => html`<p>${line}</p>`)}
        ${found.counts.length === 0 ? nothing : html`<div class="wide"><table><caption>Where drives finished</caption>
          <thead><tr><td></td><th scope="col">planned</th><th scope="col">19 in 20</th><th scope="col">played</th><th scope="col"><span class="unseen">verdict</span></th></tr></thead>
          <tbody>${found.counts.map(({ name, planned, span, played: came, verdict }) => html`<tr><th scope="row">${name}</th><td>${planned}</td>
            <td>${span}</td><td>${came}</td><td class="verdict">${verdict}</td></tr>`)}</tbody></table></div>`}
        ${found.unplanned.map((line) => html`<p>Not counted: ${line}.</p>`)}
        ${old ? nothing : learning(found)}
        ${found.pictures.map((picture) => html`<img alt="how far off the plan's middle the drives finished, and how often where" src=${`data:image/png;base64,${picture}`} />`)}
        <p class="quiet">${found.note}</p></div>`}`, box);
  }
  return { draw };
}
