// Drawing a course: all its parts, put together when Draw is first chosen.
/** @typedef {import("../records").DrawingState} DrawingState */
import { html, render } from "lit-html";
import { openAnew } from "../planning/answers.js";
import { part } from "../page_parts.js";
import { drawAnswer } from "./drawing_answer.js";
import { createDrawingBar } from "./drawing_bar.js";
import { createFlags } from "./drawing_flags.js";
import { aroundHole, drawHoles, lineOf } from "./drawing_holes.js";
import { listenToDrawingKeys } from "./drawing_keys.js";
import { createForms } from "./drawing_forms.js";
import { createDrawingMap } from "./drawing_map.js";
import { drawSelected, drawWords } from "./drawing_panel.js";
import { paintScene } from "./drawing_scene.js";
import { drawPrompt, drawToolbar } from "./drawing_toolbar.js";
import { createTools } from "./drawing_tools.js";

/** @param {import("../planning/state.js").Store} store @param {import("../api.js").Api} api
 * @param {import("./drawing_store.js").Drawing} drawing @param {() => Promise<void>} look at the folder again */
export function createDrawingView(store, api, drawing, look) {
  const tools = createTools(drawing);
  const map = createDrawingMap(part("draw-map"), tools.hands, (sheet) => paintScene(sheet, drawing, tools, map.size()), () => flags.place());
  tools.attach(map);
  const flags = createFlags(part("draw-flags"), drawing, map, tools);
  const bar = createDrawingBar(part("draw-bar"), part("draw-start"), part("draw-told"), { store, api, drawing, tools, look });
  let prompt = "";
  map.onPrompt((asked) => {
    prompt = asked;
    draw();
  });
  const forms = createForms({ drawing, map, tools, api, store, look, show });

  /** Show a hole, upright, or the whole course. @param {number | null} hole */
  function show(hole) {
    tools.settle();
    drawing.set({ hole, selected: null });
    const { opened } = store.get();
    // A hole that has only just been drawn is planned as soon as it has been checked.
    const known = opened?.course.file === drawing.get().name && opened.course.holes.some((one) => one.hole === hole);
    if (hole !== null && known) store.set({ hole, held: null, changedAt: Date.now() });
    fit();
  }

  function fit() {
    const state = drawing.get();
    const line = state.hole === null ? null : lineOf(state, state.hole);
    if (line !== null) map.upright(line, aroundHole(state, line[line.length - 1]));
    else if (state.hole === null) map.whole(state.features.values());
  }

  let due = false;
  let fitted = "";
  function draw() {
    due = false;
    const state = drawing.get();
    part("draw").classList.toggle("empty", state.name === "");
    map.show(state.features.values(), state.selected);
    bar.draw();
    drawHoles(part("draw-holes"), drawing, show);
    drawToolbar(part("draw-tools"), drawing, tools);
    drawSelected(part("draw-selected"), drawing, tools, map);
    drawWords(part("draw-words"), drawing, tools, map);
    drawAnswer(part("draw-answer"), store, drawing);
    forms.draw();
    flags.draw();
    if (fitted !== state.name && state.name !== "" && (state.hole === null || state.checked >= 0)) {
      fitted = state.name;
      map.resized();
      fit();
    }
    drawPrompt(part("draw-prompt"), drawing, tools, prompt);
  }
  function soon() {
    if (due) return;
    due = true;
    requestAnimationFrame(draw);
  }

  render(html`<button type="button" @click=${fit}>fit</button>
    <button type="button" aria-label="nearer" @click=${() => map.zoom(1)}>+</button>
    <button type="button" aria-label="farther" @click=${() => map.zoom(-1)}>−</button>`, part("draw-view"));
  listenToDrawingKeys(() => store.get().view === "draw", drawing, tools, show);
  drawing.subscribe((state, before) => {
    if (state.name !== before.name) store.set({ drawn: state.name });
    // The plan of what is drawn is asked for as soon as it has been checked.
    if (state.checked !== before.checked && state.usable && state.name !== "") {
      const layout = store.get().course === state.name ? store.get().layout : null;
      const hole = state.holes.some((one) => one.hole === state.hole) ? state.hole : null;
      store.set({ ...openAnew(store.get(), { course: state.name, layout }), ...(hole === null ? {} : { hole, held: null }), changedAt: Date.now() });
    }
    soon();
  });
  store.subscribe((state, before) => {
    if (before.connection === "lost" && state.connection === "open" && drawing.get().name !== "") void drawing.open(drawing.get().name);
    if (state.view !== "draw") return;
    if (state.course !== before.course && drawing.get().name === "") openPlanned();
    soon();
  });

  /** Open the course that is open in Plan. */
  function openPlanned() {
    const { course, hole } = store.get();
    if (course !== "" && drawing.get().name !== course) void drawing.open(course, hole);
  }

  return {
    /** Show the drawing of the course that is open in Plan. */
    enter() {
      openPlanned();
      map.resized();
      soon();
    },
    drawing, map, tools,
  };
}
