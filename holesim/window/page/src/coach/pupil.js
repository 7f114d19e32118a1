// A pupil: what another face spread would save, and over their own speed where the better strike changes.
/** @typedef {import("../records").Golfer} Golfer */
import { html, nothing, render } from "lit-html";
import { live } from "lit-html/directives/live.js";
import { Cancelled } from "../jobs.js";
import { part } from "../page_parts.js";
import { changeText, sheetsOf, worthText } from "./pupil_words.js";

const AT_REST_MS = 700;

/** @param {import("./coach_view.js").Desk} desk */
export function createPupil(desk) {
  const box = part("coach-pupil");
  const { api, jobs } = desk;
  let percent = 0;
  /** @type {number | null} */ let hole = null;
  /** @type {{hole: number, par: number}[]} */ let holes = [];
  let of = ""; // the golfer and the round that all this is of
  /** @type {{text: string, draws: number} | null} */ let face = null;
  let asking = false;
  let again = false;
  /** @type {ReturnType<typeof setTimeout> | undefined} */ let resting;
  /** @type {import("../jobs.js").Progress | null} */ let progress = null;
  /** @type {(() => void) | null} */ let cancel = null;
  /** @type {{sentences: string[], winds: string[], pictures: string[]} | null} */ let even = null;
  let said = "";

  const words = () => {
    const { course, layout, pupil, mph, from } = desk.get();
    return {
      course, player: pupil, ...(layout === null ? {} : { layout }), ...(hole === null ? {} : { hole: String(hole) }),
      mph: String(mph), from_deg: String(from),
    };
  };

  /** Ask what the change saves; one question is on its way, and the newest follows. @param {"moving" | "rest"} level */
  async function ask(level) {
    clearTimeout(resting);
    if (asking) {
      again = true;
      return;
    }
    asking = true;
    const asked = { key: `${of} ${percent} ${hole}`, words: { ...words(), percent: String(percent), level } };
    try {
      const answer = await api.json("GET", `/api/coach/face?${new URLSearchParams(asked.words)}`);
      if (answer.replaced !== true && asked.key === `${of} ${percent} ${hole}`) [face, said] = [answer, ""];
    } catch (refused) {
      [face, said] = [null, /** @type {Error} */ (refused).message];
    }
    asking = false;
    if (again) {
      again = false;
      void ask("moving");
    } else if (level === "moving" && hole !== null) {
      resting = setTimeout(() => void ask("rest"), AT_REST_MS);
    }
    draw();
  }

  async function lookAtHoles() {
    const { course, layout } = desk.get();
    try {
      holes = (await api.json("GET", `/api/coach/holes?${new URLSearchParams({ course, ...(layout === null ? {} : { layout }) })}`)).holes;
      hole = holes.find(({ par }) => par > 3)?.hole ?? null;
    } catch (refused) {
      [holes, hole, said] = [[], null, /** @type {Error} */ (refused).message];
    }
    draw();
    if (hole !== null) void ask("moving");
  }

  async function breakEven() {
    said = "";
    const { course, layout, pupil, mph, from } = desk.get();
    const options = mph === 0 ? {} : { wind_mph: mph, wind_from_deg: from };
    const key = of;
    const job = jobs.start({ kind: "tipping", course, layout, player: pupil, over: "club-speed", hole, options }, (told) => {
      progress = told;
      draw();
    });
    cancel = job.cancel;
    try {
      const { answer } = await job.ended;
      if (key === of) even = answer;
    } catch (failed) {
      said = failed instanceof Cancelled ? "Cancelled." : /** @type {Error} */ (failed).message;
    }
    [progress, cancel] = [null, null];
    draw();
  }

  function draw() {
    const state = desk.get();
    const golfer = state.golfers.find(({ name }) => name === state.pupil);
    box.hidden = golfer === undefined || state.course === "";
    if (golfer === undefined || state.course === "") {
      clearTimeout(resting);
      of = "";
      render(nothing, box);
      return;
    }
    const key = JSON.stringify([state.pupil, state.course, state.layout, state.mph, state.from]);
    if (key !== of) {
      [of, face, even, said, percent] = [key, null, null, "", 0];
      void lookAtHoles();
    }
    const sheets = sheetsOf(state.files, golfer.name);
    const worth = state.worth[golfer.name];
    render(html`<h2>${golfer.title} <small>handicap ${golfer.handicap}, ${golfer.speed_mph.toFixed(0)} mph, ${golfer.strikes.join(" and ")}</small></h2>
      ${sheets.length === 0 ? html`<p class="quiet">No sheets are made yet: tick this golfer, and make the lesson.</p>` : html`<ul class="links">${sheets.map((file) => html`<li>
        <button type="button" class="link" @click=${() => api.show(file).catch((refused) => desk.say(refused.message))}>${file.split("/").at(-1)}</button></li>`)}</ul>`}
      <label class="field">hole <select @change=${(/** @type {Event} */ { target }) => {
        const { value } = /** @type {HTMLSelectElement} */ (target);
        [hole, face, even] = [value === "" ? null : Number(value), null, null];
        void ask("moving");
        draw();
      }}>${holes.map(({ hole: number, par }) => html`<option value=${number} .selected=${live(number === hole)}>${number}, par ${par}</option>`)}
        <option value="" .selected=${live(hole === null)}>all holes</option></select></label>
      <h3 id="coach-face-name">What if the face spread were different?</h3>
      <div class="slider"><span aria-hidden="true">narrower</span><input id="coach-face" type="range" min="-40" max="40" step="5" aria-labelledby="coach-face-name"
        aria-valuetext=${changeText(percent)} .value=${live(String(percent))} @input=${(/** @type {Event} */ { target }) => {
          percent = Number(/** @type {HTMLInputElement} */ (target).value);
          void ask("moving");
          draw();
        }} /><span aria-hidden="true">wider</span></div>
      <div class="actions"><b>${changeText(percent)}</b>${[-20, 0].map((value) => html`<button type="button" @click=${() => {
        percent = value;
        void ask("moving");
        draw();
      }}>${value === 0 ? "as it is" : "a fifth narrower"}</button>`)}</div>
      <p role="status" class=${asking ? "waiting" : ""}>${face === null ? said || "finding …" : `${face.text} (${face.draws.toLocaleString("en")} drives a strike)`}</p>
      <h3>Break-even over club speed</h3>
      ${progress === null ? html`<button type="button" @click=${breakEven}>Find it on ${hole === null ? "all holes" : `hole ${hole}`}</button>`
      : html`<progress aria-label="finding the break-even" max=${Math.max(progress.total, 1)} .value=${progress.done}></progress>
        <button type="button" ?disabled=${progress.cancelling} @click=${() => cancel?.()}>${progress.cancelling ? "Cancelling …" : "Cancel"}</button>`}
      ${face !== null && said !== "" ? html`<p role="status">${said}</p>` : nothing}
      ${even === null ? nothing : html`${even.sentences.map((line) => html`<p>${line}</p>`)}
        ${even.pictures.map((picture) => html`<img alt="what each strike costs over club speed; the sentences say where it changes" src=${`data:image/png;base64,${picture}`} />`)}`}
      ${worth === undefined ? nothing : html`<h3>What practice pays</h3><p>${worthText(worth)}</p><details><summary>all of it</summary><pre>${worth.text}</pre></details>`}`, box);
  }
  return { draw };
}
