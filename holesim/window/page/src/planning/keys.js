// The keys of the page, and their list.
import { holeAfter, moveTo, releaseAim, toggleStrike } from "./state.js";
import { stepOption } from "./switches.js";

/** @param {import("./state.js").Store} store
 * @param {{wind: () => void, aim: () => void, save: () => void, whole: () => void, list: HTMLDialogElement}} parts */
export function listenToKeys(store, parts) {
  const go = (/** @type {number} */ steps) => store.set(moveTo({ hole: holeAfter(store.get(), steps) }, Date.now()));
  const toggle = (/** @type {string} */ label) => {
    const state = store.get();
    if (state.opened?.player.strikes.some((strike) => strike.label === label)) store.set(toggleStrike(state, label));
  };
  /** @type {Record<string, () => unknown>} */
  const keys = {
    "n": () => go(1), "p": () => go(-1),
    "u": () => toggle("up"), "d": () => toggle("down"), "l": () => toggle("level"),
    "g": () => stepOption(store, "goal"), "f": () => stepOption(store, "ground"), "t": () => stepOption(store, "tee"),
    "w": parts.wind, "a": parts.aim, "s": parts.save, "h": parts.whole,
    "Escape": () => store.get().held !== null && store.set(releaseAim(Date.now())),
    "?": () => parts.list.showModal(),
  };
  document.addEventListener("keydown", (pressed) => {
    const { target, key } = pressed;
    if (store.get().view !== "plan" && key !== "?") return;
    if (pressed.ctrlKey || pressed.metaKey || pressed.altKey || document.querySelector("dialog[open]") !== null) return;
    if (target instanceof Element && target.matches("input[type=text], input[type=number]:not(.behind), select, textarea")) return;
    const act = keys[key];
    if (act === undefined) return;
    pressed.preventDefault();
    act();
  });
}
