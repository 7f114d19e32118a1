// What a reload keeps: the course and player, the hole, the wind.
/** @typedef {import("./records").State} State */

const KEY = "holesim view";
const KEPT = /** @type {const} */ (["course", "layout", "player", "options", "hole", "tee", "wind"]);

/** What was shown before a reload. @returns {Partial<State>} */
export function remembered() {
  try {
    const kept = JSON.parse(sessionStorage.getItem(KEY) ?? "{}");
    return Object.fromEntries(KEPT.filter((key) => key in kept).map((key) => [key, kept[key]]));
  } catch {
    return {};
  }
}

/** @param {State} state */
export function remember(state) {
  sessionStorage.setItem(KEY, JSON.stringify(Object.fromEntries(KEPT.map((key) => [key, state[key]]))));
}
