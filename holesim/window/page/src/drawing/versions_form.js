// The earlier versions of the course file.
import { html, nothing, render } from "lit-html";
import { folded, saidLine, sent } from "./form_parts.js";

const MONTHS = ["January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November", "December"];

/** When a version was saved, in words. @param {string} version such as 2026-11-29T16-20-11 */
export function whenText(version) {
  const found = /^(\d{4})-(\d\d)-(\d\d)T(\d\d)-(\d\d)-(\d\d)/.exec(version);
  if (found === null) return version;
  const [, year, month, day, hour, minute, second] = found;
  return `${Number(day)} ${MONTHS[Number(month) - 1]} ${year}, ${hour}:${minute}:${second}`;
}

/** @param {HTMLElement} box @param {import("./form_parts.js").Desk} desk */
export function createVersionsForm(box, { drawing, api, show }) {
  let said = "";
  let open = false;
  let name = "";

  /** See which versions there are now. */
  async function look() {
    const asked = drawing.get().name;
    const address = `/api/drawings/${asked.split("/").map(encodeURIComponent).join("/")}`;
    try {
      const { versions } = await api.json("GET", address);
      if (drawing.get().name === asked) drawing.set({ versions });
    } catch (refused) {
      said = /** @type {Error} */ (refused).message;
      draw();
    }
  }

  /** @param {string} version */
  async function restore(version) {
    ({ said } = await sent(drawing, "restore", { version }));
    draw();
    if (said === "") show(drawing.get().hole);
  }

  function draw() {
    const state = drawing.get();
    if (state.name !== name) [name, said, open] = [state.name, "", false];
    if (state.name === "") return void render(nothing, box);
    const toggled = (/** @type {boolean} */ now) => {
      if (now && !open) void look();
      open = now;
    };
    render(folded("Earlier versions", { open, toggled }, html`
      ${state.versions.length === 0 ? html`<p class="quiet">None is kept yet: the first is kept when a changed course is saved.</p>` : html`<ul class="versions">
        ${state.versions.map(({ version, bytes }) => html`<li><span>${whenText(version)} <small>${Math.max(1, Math.round(bytes / 1000))} kB</small></span>
          <button type="button" aria-label="bring back ${whenText(version)}" @click=${() => restore(version)}>bring back</button></li>`)}</ul>`}
      ${saidLine(said)}`), box);
  }

  return { draw };
}
