// The folder: its courses and players, a file to add, plans saved before, and files that cannot be read.
import { html, nothing, render } from "lit-html";
import { Refused, sha256 } from "./api.js";
import { openAnew } from "./planning/answers.js";

const TAKEN = /\.(?:geojson|json|toml|csv)$/i;
const THERE = 412;

/** @param {HTMLElement} box @param {import("./planning/state.js").Store} store @param {import("./api.js").Api} api */
export function createFiles(box, store, api) {
  let said = "";
  /** @type {File | null} */ let clash = null;

  /** Look at the folder again, and open its first course and player where none is open. */
  async function look() {
    try {
      const folder = await api.folder();
      const state = store.get();
      const course = folder.courses.find((one) => one.name === state.course) ?? folder.courses[0];
      const player = folder.players.find((one) => one.name === state.player) ?? folder.players[0];
      const change = {
        course: course?.name ?? "", player: player?.name ?? "",
        layout: course?.layouts.includes(state.layout ?? "") ? state.layout : course?.layouts[0] ?? null,
      };
      const same = change.course === state.course && change.player === state.player && change.layout === state.layout;
      store.set({ folder, ...(same ? {} : openAnew(state, change)) });
    } catch (refused) {
      store.set({ said: /** @type {Error} */ (refused).message });
    }
    draw();
  }

  /** @param {File} file @param {boolean} [replace] */
  async function add(file, replace = false) {
    clash = null;
    if (!TAKEN.test(file.name)) {
      said = `${file.name} is neither a course (.geojson) nor a player (.toml).`;
      draw();
      return;
    }
    try {
      // Known before it is on disk, so that the news of the change is not taken for another's.
      store.set({ ownSaves: [...store.get().ownSaves, await sha256(file)] });
      await api.put(file.name, file, replace);
      said = `${file.name} is in the folder now.`;
      await look();
      openAdded(file.name);
    } catch (refused) {
      said = /** @type {Error} */ (refused).message;
      if (refused instanceof Refused && refused.status === THERE && !replace) clash = file;
    }
    draw();
  }

  /** Open a course or player that was just added. @param {string} added */
  function openAdded(added) {
    const state = store.get();
    const course = state.folder?.courses.find((one) => one.name === added);
    if (course !== undefined) store.set(openAnew(state, { course: added, layout: course.layouts[0] ?? null }));
    else if (state.folder?.players.some((one) => one.name === added)) store.set(openAnew(state, { player: added }));
  }

  /** @param {string} file */
  const show = (file) => () => api.show(file).catch((refused) => store.set({ said: refused.message }));

  function draw() {
    const { folder } = store.get();
    render(html`
      <label class="button writes">Add a file<input type="file" accept=".geojson,.json,.toml,.csv" class="unseen"
        @change=${(/** @type {Event} */ { target }) => {
          const input = /** @type {HTMLInputElement} */ (target);
          const file = input.files?.[0];
          input.value = "";
          if (file !== undefined) void add(file);
        }} /></label>
      <span class="quiet writes">or drop one on the page${folder === null ? "" : `; it goes to the folder ${folder.folder}`}</span>
      <p role="status">${said}</p>
      ${clash === null ? nothing : html`<button type="button" @click=${() => clash !== null && add(clash, true)}>Replace ${clash.name}</button>`}
      ${folder === null || folder.broken.length === 0 ? nothing : html`<h3>Cannot be read</h3>
        <ul class="broken">${folder.broken.map(({ name: file, error }) => html`<li>${error.startsWith(file) ? error : `${file}: ${error}`}</li>`)}</ul>`}
      ${folder === null || folder.plans.length === 0 ? nothing : html`<h3>Saved plans</h3>
        <ul class="links">${folder.plans.map(({ name: plan, files }) => html`<li>${plan}
          ${files.filter((file) => /\.(?:pdf|html)$/.test(file)).map((file) => html`
            <button type="button" class="link" @click=${show(file.startsWith(plan) ? file : `${plan}/${file}`)}>${file.split("/").at(-1)}</button>`)}</li>`)}</ul>`}`, box);
  }

  /** Copy what comes with holesim into the folder. @param {"course" | "player"} kind */
  async function copyExample(kind) {
    try {
      const copied = await api.copyExample(kind);
      said = `${copied} is in the folder now.`;
      await look();
      openAdded(copied);
    } catch (refused) {
      said = /** @type {Error} */ (refused).message;
    }
    draw();
  }

  /** Have a file picked. */
  const pick = () => /** @type {HTMLInputElement | null} */ (box.querySelector("input[type=file]"))?.click();

  const over = (/** @type {DragEvent} */ drag) => {
    if (drag.dataTransfer?.types.includes("Files")) drag.preventDefault();
  };
  document.addEventListener("dragover", over);
  document.addEventListener("drop", (drop) => {
    const file = drop.dataTransfer?.files[0];
    if (file === undefined) return;
    drop.preventDefault();
    void add(file);
  });
  draw();
  return { look, pick, copyExample };
}
/** @typedef {ReturnType<typeof createFiles>} Files */
