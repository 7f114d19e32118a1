// Flags on the map where the check has something to say.
/** @typedef {import("../records").DrawingState} DrawingState */
/** @typedef {import("../records").Point} Point */
/** @typedef {import("../records").Say} Say */
import { html, render } from "lit-html";
import { repeat } from "lit-html/directives/repeat.js";
import { saysInView, sayName } from "./drawing_words.js";
import { boxOf } from "./shapes.js";

const MOST = 40;

/** Where the flag of a word stands: where it says, or at what it speaks of. @param {Say} say
 * @param {DrawingState["features"]} features @returns {Point | null} */
export function placeOf({ at, ids }, features) {
  if (at !== null) return at;
  const geometry = ids.map((id) => features.get(id)?.geometry ?? null).find((one) => one !== null);
  if (geometry === null || geometry === undefined) return null;
  const [west, south, east, north] = boxOf(geometry);
  return [(west + east) / 2, (south + north) / 2];
}

/** @param {HTMLElement} box @param {import("./drawing_store.js").Drawing} drawing @param {import("./drawing_map.js").DrawingMap} map
 * @param {import("./drawing_tools.js").Tools} tools */
export function createFlags(box, drawing, map, tools) {
  /** @type {{say: Say, at: Point}[]} */ let flags = [];

  function place() {
    const [width, height] = map.size();
    const elements = /** @type {NodeListOf<HTMLElement>} */ (box.querySelectorAll("button"));
    elements.forEach((element, i) => {
      const [x, y] = flags[i] === undefined ? [-1, -1] : map.pixel(flags[i].at) ?? [-1, -1];
      element.hidden = x < 0 || y < 0 || x > width || y > height;
      element.style.transform = `translate(${Math.round(x)}px, ${Math.round(y)}px)`;
    });
  }

  return {
    place,
    draw() {
      const state = drawing.get();
      flags = saysInView(state).flatMap((say) => {
        const at = placeOf(say, state.features);
        return at === null ? [] : [{ say, at }];
      }).slice(0, MOST);
      render(repeat(flags, ({ say }) => `${say.kind} ${say.text}`, ({ say }) => html`<button type="button" class="flag ${say.kind}"
        aria-label=${`${sayName(say)}: ${say.text}`} title=${say.text} @click=${() => tools.select(say.ids[0] ?? null)}>${say.kind === "fault" ? "!" : "?"}</button>`), box);
      place();
    },
  };
}
