// The plan view: the parts that draw the state of the plan, put together.
/** @typedef {import("../records").State} State */
import { html, nothing, render } from "lit-html";
import { marksOf } from "../marks.js";
import { part } from "../page_parts.js";
import { remember } from "../remember.js";
import { drawAimFields } from "./aim_fields.js";
import { createAimHandles, shownHeading } from "./aim_handles.js";
import { drawBeginning, isBeginning } from "./begin.js";
import { createDial } from "./dial.js";
import { drawHeadline, drawNotes, spokenLine } from "./headline.js";
import { createHoleMap } from "../hole_map.js";
import { listenToKeys } from "./keys.js";
import { drawRoundTable, drawTotals } from "./round_table.js";
import { createPrint } from "./print.js";
import { createSave } from "./save.js";
import { drawScores } from "./scores.js";
import { START, drawnStrikes, shownHole, teeOf } from "./state.js";
import { areaOf, drawOverMap, marginsOf, stripWords } from "./strips.js";
import { drawStrikeChips, drawSwitches } from "./switches.js";

/** @param {State} state */
function drawFrame({ opened, hole }) {
  if (opened === null) return;
  const title = `Hole ${hole}, ${opened.course.name}`;
  if (document.title !== title) document.title = title;
  render(html`${opened.player.name}: ${opened.player.about}`, part("about"));
  const guessed = [...opened.course.guesses, ...opened.player.assumed];
  render(guessed.length === 0 ? nothing : html`<details><summary>Assumed, not in the files (${guessed.length})</summary>
    <ul>${guessed.map((line) => html`<li>${line}</li>`)}</ul></details>`, part("assumed"));
}

/** @param {import("./state.js").Store} store @param {import("../api.js").Api} api @param {import("../files.js").Files} files
 * @param {import("../jobs.js").Jobs} jobs */
export function createPlanView(store, api, files, jobs) {
  const map = createHoleMap(part("map"), viewMoved);
  const sheet = /** @type {SVGSVGElement} */ (/** @type {unknown} */ (part("over-map")));
  const handles = createAimHandles(part("aims"), store, map);
  const dial = createDial(part("wind"), store);
  const save = createSave(part("save"), store, api, jobs, () => void files.look());
  createPrint(part("print"), store, api, jobs, () => void files.look());

  /** The strikes drawn, each with its mark and its aim. */
  function shownStrikes() {
    const state = store.get();
    const strikes = drawnStrikes(state);
    const marks = marksOf(strikes.map(({ label }) => label), state.opened?.player.strikes ?? []);
    return strikes.flatMap((strike) => {
      const mark = marks.get(strike.label);
      return mark === undefined ? [] : [{ strike, mark, heading: shownHeading(state, strike) }];
    });
  }

  /** Where a part of the page lies over the picture [px]. @param {string} id */
  function boxOf(id) {
    const [picture, box] = [part("picture").getBoundingClientRect(), part(id).getBoundingClientRect()];
    return new DOMRect(box.left - picture.left, box.top - picture.top, box.width, box.height);
  }

  let dialDue = false;
  let roomBefore = "";
  /** Lay the dial beside a hole that is new on the picture, and draw what lies over the ground. */
  function viewMoved() {
    const state = store.get();
    if (state.view !== "plan") return;
    const hole = shownHole(state);
    const strikes = drawnStrikes(state);
    const area = areaOf(Math.max(strikes.length, 2), map.size());
    const room = JSON.stringify(area);
    if (hole !== null && !state.handDown && (dialDue || room !== roomBefore)) {
      [dialDue, roomBefore] = [false, room];
      dial.place(area, boxOf("corner"), map.sights(hole, teeOf(hole, state.tee), strikes));
    }
    drawOver();
  }

  function drawOver() {
    const state = store.get();
    const hole = shownHole(state);
    if (hole === null) return;
    drawOverMap(sheet, map, { hole, tee: teeOf(hole, state.tee) }, shownStrikes(), [boxOf("wind"), boxOf("corner")]);
    handles.draw();
  }

  let fittedTo = "";
  /** @param {State} state @param {State} before */
  function drawMap(state, before) {
    const hole = shownHole(state);
    if (hole === null || state.opened === null) return;
    const tee = teeOf(hole, state.tee);
    if (state.opened !== before.opened) map.showCourse(state.opened);
    const moved = state.opened !== before.opened || state.hole !== before.hole || state.tee !== before.tee;
    if (moved) map.showHole(hole, tee);
    const shown = shownStrikes();
    map.setMargins(marginsOf(Math.max(shown.length, 2), map.size()[0]));
    // Fitted to the first answer of a hole, and then only at rest.
    const place = `${state.openId} ${state.hole} ${state.tee}`;
    if (shown.length > 0 && (fittedTo !== place || (state.answer?.level === "rest" && !state.handDown && state.held === null))) {
      map.fitDrives(shown.map(({ strike }) => strike));
      if (fittedTo !== place) {
        [fittedTo, dialDue] = [place, true];
        map.redraw();
      }
    }
    handles.show(shown);
    drawOver();
  }

  /** @type {State} */ let drawn = START;
  function draw() {
    const [state, before] = [store.get(), drawn];
    if (state.view !== "plan") return;
    drawn = state;
    drawMap(state, before);
    const shown = shownStrikes();
    drawHeadline(part("headline"), state, shown);
    drawScores(part("scores"), shown);
    drawAimFields(part("typed-aims"), store, shown.map(({ strike }) => strike));
    drawNotes(part("notes"), state, shown.map(({ strike }) => stripWords(strike)));
    drawRoundTable(part("holes"), store, new Map(shown.map(({ strike, mark }) => [strike.label, mark])));
    drawTotals(part("totals"), state);
    drawStrikeChips(part("strikes"), store);
    drawSwitches(part("switches"), store);
    drawFrame(state);
    drawBeginning(part("begin"), state.folder, files);
    part("plan").classList.toggle("begins", isBeginning(state.folder));
    dial.draw();
    part("picture").classList.toggle("empty", state.opened === null);
    if (!state.handDown && state.opened !== null) remember(state);
    const spoken = spokenLine(state);
    if (spoken !== "" && part("spoken").textContent !== spoken) part("spoken").textContent = spoken;
  }
  part("whole-hole").addEventListener("click", () => map.fit());
  part("nearer").addEventListener("click", () => map.zoom(1));
  part("farther").addEventListener("click", () => map.zoom(-1));
  const list = /** @type {HTMLDialogElement} */ (part("key-list"));
  part("show-keys").addEventListener("click", () => list.showModal());
  listenToKeys(store, { wind: dial.focus, aim: handles.focus, save: save.ask, whole: map.fit, list });

  return {
    draw,
    enter() {
      map.showAgain();
      store.set({ handDown: false, changedAt: Date.now() });
    },
  };
}
