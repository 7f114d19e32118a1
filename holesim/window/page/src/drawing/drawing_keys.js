// The keys of the drawing.
/** @param {import("../records").DrawingState} state */
export const canUndo = ({ canUndo: can, waiting }) => can || waiting > 0;

const ARROWS = /** @type {Record<string, [number, number]>} */ ({
  ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1],
});

/** @param {() => boolean} here whether the drawing is shown @param {import("./drawing_store.js").Drawing} drawing
 * @param {import("./drawing_tools.js").Tools} tools @param {(hole: number | null) => void} show */
export function listenToDrawingKeys(here, drawing, tools, show) {
  /** @param {KeyboardEvent} pressed @returns {boolean} whether the key did something */
  function press(pressed) {
    const { key, shiftKey } = pressed;
    const control = pressed.ctrlKey || pressed.metaKey;
    const state = drawing.get();
    const small = key.toLowerCase();
    if (control && small === "z" && !shiftKey) {
      tools.settle();
      if (!tools.backSketch() && canUndo(drawing.get())) drawing.undo();
      return true;
    }
    if (control && (small === "y" || small === "z")) {
      if (state.canRedo) drawing.redo();
      return true;
    }
    if (control || pressed.altKey) return false;
    if (key === "Escape") {
      tools.escape();
      return true;
    }
    const onMap = document.activeElement === document.body || document.activeElement?.closest("#draw-picture, #draw-tools") !== null;
    if (!onMap) return false;
    if (key === "Enter" && tools.sketched() > 0) tools.finish();
    else if (key === "Delete" || key === "Backspace") tools.remove();
    else if (key in ARROWS) return tools.nudge(...ARROWS[key]);
    else if ((key === "n" || key === "p") && state.hole !== null) show(Math.max(1, Math.min(36, state.hole + (key === "n" ? 1 : -1))));
    else return false;
    return true;
  }

  document.addEventListener("keydown", (pressed) => {
    const { target } = pressed;
    if (!here() || document.querySelector("dialog[open]") !== null) return;
    // What is typed has an undo of its own; a choice or a slider has none.
    if (target instanceof Element && target.matches("input:not([type=range]), textarea")) return;
    const control = pressed.ctrlKey || pressed.metaKey;
    if (target instanceof Element && target.matches("select, input") && !control && pressed.key !== "Escape") return;
    // Enter and arrows on a button of the page are that button's own.
    if (target instanceof HTMLButtonElement && pressed.key === "Enter") return;
    if (press(pressed)) pressed.preventDefault();
  });
}
