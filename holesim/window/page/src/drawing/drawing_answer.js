// What the plan says of the hole in view, as it is drawn now.
import { html, nothing, render } from "lit-html";
import { teeKey } from "../planning/scheduler.js";
import { shownAnswer, shownHole, teeOf } from "../planning/state.js";
import { sentence } from "../words.js";

/** @param {HTMLElement} box @param {import("../planning/state.js").Store} store @param {import("./drawing_store.js").Drawing} drawing */
export function drawAnswer(box, store, drawing) {
  const [state, drawn] = [store.get(), drawing.get()];
  render(drawn.name === "" ? nothing : html`<p class="line">${wordsOf(state, drawn)}</p>`, box);
}

/** @param {import("../records").State} state @param {import("../records").DrawingState} drawn */
function wordsOf(state, drawn) {
  if (drawn.checked >= 0 && !drawn.usable) return "No plan: mend what is wrong first.";
  if (drawn.hole === null) return "Choose a hole to see what to hit on it.";
  if (state.player === "") return "No plan: the folder has no player. Add one under Plan.";
  if (state.course !== drawn.name || state.opened === null || state.opened.course.file !== drawn.name) return "Waiting for a hole that can be played.";
  const hole = shownHole(state);
  if (hole === null || state.hole !== drawn.hole) return "No plan: this hole is not drawn yet.";
  const about = `Hole ${hole.hole}, par ${hole.par}, ${teeOf(hole, state.tee).length_yd.toFixed(0)} yd`;
  const answer = shownAnswer(state);
  if (answer === null) return `${about}: flying the drives …`;
  const settled = state.answer?.key === teeKey(state) && state.answer.level === "rest";
  return `${about}: ${settled ? "" : "about: "}${sentence(answer.line)}`;
}
