// The golfers of the folder: a list, the form of one, and measured drives that make one.
import { html, nothing, render } from "lit-html";
import { part } from "../page_parts.js";
import { createDrives } from "./drives_store.js";
import { changesResult, fitPanel, fitResult } from "./fit_panel.js";
import { golferForm } from "./golfer_form.js";
import { createGolfers } from "./golfers_store.js";
import { columnsPanel, rowsPanel, tableChoice } from "./table_panel.js";

const [NEW, DRIVES] = ["new", "drives"];

/** What the address shows beyond the view: a golfer's file, a new one, drives, or nothing. @param {string} hash */
export function placeIn(hash) {
  const found = /^#\/golfers\/(.+)$/.exec(hash);
  return found === null ? "" : decodeURIComponent(found[1]);
}

/** @param {import("../planning/state.js").Store} store @param {import("../api.js").Api} api @param {import("../jobs.js").Jobs} jobs
 * @param {() => Promise<void>} look at the folder again, for the other views */
export function createGolfersView(store, api, jobs, look) {
  const golfers = createGolfers(api);
  const drives = createDrives(api, jobs, golfers);
  /** @type {import("./table_panel.js").Hand} */ let hand = { brush: "up", block: false, first: null };
  let place = "";
  let due = false;
  let { folder } = store.get();

  /** @param {string} next */
  function go(next) {
    history.pushState(null, "", next === "" ? "#/golfers" : `#/golfers/${encodeURIComponent(next)}`);
    follow();
  }
  /** Show what the address names. */
  function follow() {
    const named = placeIn(location.hash);
    if (named !== place) {
      if (named === NEW) golfers.begin();
      else if (named === DRIVES || named === "") golfers.close();
      else if (named !== golfers.get().open?.name) void golfers.open(named);
      golfers.set({ said: "" });
    }
    place = named;
    soon();
    if (named === NEW) requestAnimationFrame(() => document.getElementById("golfer-name")?.focus());
  }
  /** @param {string} name */
  async function saved(name) {
    await look();
    history.replaceState(null, "", `#/golfers/${encodeURIComponent(name)}`);
    place = name;
    soon();
  }

  function list() {
    const { golfers: rows, said, wrong } = golfers.get();
    if (rows === null) return html`<p role="status" class=${wrong ? "wrong" : "said"}>${said}</p>`;
    return html`<h2>Golfers</h2>
      ${rows.some(({ builtin }) => !builtin) ? nothing : html`<p class="hint">No golfer of yours yet. A name, a handicap and how far a drive carries are enough for a plan.</p>`}
      <div class="actions"><button type="button" class=${place === "" || place === NEW ? "main" : ""} @click=${() => go(NEW)}>A new golfer</button>
        <button type="button" aria-pressed=${place === DRIVES} @click=${() => go(DRIVES)}>Measured drives</button></div>
      <ul class="golfers">${rows.map((row) => html`<li><button type="button" aria-current=${place === row.name ? "true" : nothing} @click=${() => go(row.name)}>
        <b>${row.title}</b><small>${row.error ?? `handicap ${row.handicap}, ${row.mph} mph${row.measured ? `, ${row.measured} drives measured` : ""}`}</small>
        <small>${row.builtin ? "comes with holesim" : row.name}</small></button></li>`)}</ul>`;
  }
  function detail() {
    if (place === DRIVES) {
      const rows = golfers.get().golfers ?? [];
      return html`${tableChoice(drives, golfers.get().tables)}${columnsPanel(drives)}
        ${rowsPanel(drives, hand, (change) => {
          hand = { ...hand, ...change };
          soon();
        })}
        ${fitPanel(drives, rows)}${fitResult(drives, rows, () => void look())}${changesResult(drives)}`;
    }
    if (golfers.get().open === null) {
      return html`<p class="quiet">${golfers.get().said || "Choose a golfer to see what is known of them, begin a new one, or measure one from a table of drives."}</p>`;
    }
    return golferForm(golfers, {
      saved: (name) => void saved(name),
      copied: (name) => {
        void look();
        go(name);
      },
      measure: () => {
        drives.set({ who: { ...drives.get().who, like: golfers.get().open?.name ?? "" }, fit: null, changes: null });
        go(DRIVES);
      },
    });
  }
  function draw() {
    due = false;
    render(list(), part("golfers-list"));
    render(detail(), part("golfers-detail"));
  }
  function soon() {
    if (due) return;
    due = true;
    requestAnimationFrame(draw);
  }

  golfers.subscribe(soon);
  drives.subscribe(soon);
  part("golfers").addEventListener("dragover", (drag) => {
    if (drag.dataTransfer?.types.includes("Files")) drag.preventDefault();
  });
  part("golfers").addEventListener("drop", (drop) => {
    const file = drop.dataTransfer?.files[0];
    if (file === undefined || /\.(?:toml|geojson|json)$/i.test(file.name)) return;
    drop.preventDefault();
    drop.stopPropagation(); // else it would be added as any file is
    if (place !== DRIVES) go(DRIVES);
    void drives.add(file);
  });
  return {
    /** Show the golfer whom the address names. */
    enter() {
      void golfers.look();
      follow();
    },
    /** Look at the golfers again where the folder has changed. */
    draw() {
      if (store.get().folder === folder) return;
      ({ folder } = store.get());
      void golfers.look();
    },
  };
}
