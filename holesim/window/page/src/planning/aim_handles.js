// The aims as handles: a marker of each strike at the end of its aim line, to be moved sideways.
/** @typedef {import("../records").StrikeAnswer} StrikeAnswer */
/** @typedef {import("../records").State} State */
/** @typedef {import("../marks.js").Mark} Mark */
import { html, nothing, render, svg } from "lit-html";
import { live } from "lit-html/directives/live.js";
import { repeat } from "lit-html/directives/repeat.js";
import { YARD, bearing, offBest, pointAlong, rightOf } from "../geometry.js";
import { followHand } from "../page_parts.js";
import { spread } from "./place.js";
import { bestHeading, holdAim, releaseAim, shownHole, teeOf } from "./state.js";
import { costText } from "../words.js";

export const STEP = 0.5; // deg, an arrow key; ten of them a page key
export const MOST_OFF = 20; // deg
const APART = 24; // px, so that no marker lies over another
const SLIPPED = 3; // px, under which a press is no drag

const STEPS = /** @type {Record<string, number>} */ ({
  ArrowLeft: -1, ArrowDown: -1, ArrowRight: 1, ArrowUp: 1, PageDown: -10, PageUp: 10,
});

/** The native control behind a handle. @param {HTMLElement} handle */
const inputIn = (handle) => handle.querySelector("input");

/** The heading shown for a strike: the one it is held along, else the best. @param {State} state @param {StrikeAnswer} strike */
export function shownHeading(state, strike) {
  return heldAlong(state, strike) ?? bestHeading(state, strike);
}

/** @param {State} state @param {StrikeAnswer} strike */
function heldAlong({ held }, strike) {
  return held?.label === strike.label ? held.heading_deg : null;
}

/** What a held aim costs, in words; empty for the best aim. @param {State} state @param {StrikeAnswer} strike */
export function heldText(state, strike) {
  const heading = heldAlong(state, strike);
  if (heading === null) return "";
  const off = offBest(heading, bestHeading(state, strike));
  const { over_best: cost } = strike;
  const known = cost !== undefined && Math.abs(rightOf(strike.heading_deg, heading)) < 0.06;
  return known ? `${off}: ${costText(cost, state.opened?.options.goal ?? "mean")}` : off;
}

/** @param {HTMLElement} layer over the map @param {import("./state.js").Store} store
 * @param {import("../hole_map.js").HoleMap} map */
export function createAimHandles(layer, store, map) {
  /** @type {{strike: StrikeAnswer, mark: Mark}[]} */ let shown = [];
  /** @type {Map<string, import("../records").Point>} */ const places = new Map();
  /** @type {{label: string, offset: number, x: number, moved: boolean} | null} */ let drag = null;

  const strikeOf = (/** @type {string} */ label) => shown.find(({ strike }) => strike.label === label)?.strike;
  const hold = (/** @type {string} */ label, /** @type {number} */ heading) => {
    const strike = strikeOf(label);
    if (strike !== undefined) store.set(holdAim(store.get(), strike, heading, Date.now()));
  };
  const release = () => store.set(releaseAim(Date.now()));

  /** Targets overlap where aims are close: take the marker nearest to the finger. @param {PointerEvent} at */
  function nearest(at) {
    const box = layer.getBoundingClientRect();
    const away = (/** @type {string} */ label) => {
      const [x, y] = places.get(label) ?? [Infinity, Infinity];
      return Math.hypot(at.clientX - box.left - x, at.clientY - box.top - y);
    };
    return [...places.keys()].sort((a, b) => away(a) - away(b))[0];
  }

  /** The heading from the tee to what is under the finger. @param {PointerEvent} at */
  function headingAt(at) {
    const box = layer.getBoundingClientRect();
    const hole = shownHole(store.get());
    if (hole === null) return 0;
    return bearing(teeOf(hole, store.get().tee).at, map.place([at.clientX - box.left, at.clientY - box.top]));
  }

  followHand(layer, {
    start(at) {
      const label = nearest(at);
      const strike = strikeOf(label);
      if (strike === undefined) return false;
      drag = { label, offset: rightOf(shownHeading(store.get(), strike), headingAt(at)), x: at.clientX, moved: false };
      layer.querySelector(`[data-strike="${CSS.escape(label)}"]`)?.dispatchEvent(new Event("take"));
      store.set({ handDown: true });
      return true;
    },
    move(at) {
      if (drag === null) return;
      drag.moved ||= Math.abs(at.clientX - drag.x) > SLIPPED;
      if (drag.moved) hold(drag.label, headingAt(at) + drag.offset);
    },
    end() {
      const tapped = drag !== null && !drag.moved ? drag.label : null;
      drag = null;
      store.set({ handDown: false });
      if (tapped !== null) tap(tapped);
    },
  });

  let lastTap = { label: "", at: 0 };
  /** Two taps in short order bring the best aim back. @param {string} label */
  function tap(label) {
    const now = Date.now();
    if (lastTap.label === label && now - lastTap.at < 400) release();
    lastTap = { label, at: now };
  }

  /** @param {KeyboardEvent} key @param {StrikeAnswer} strike */
  function press(key, strike) {
    const side = STEPS[key.key];
    if (side !== undefined) hold(strike.label, shownHeading(store.get(), strike) + side * STEP);
    else if (key.key === "Home" || (key.key === "Escape" && store.get().held !== null)) release();
    else return;
    key.preventDefault();
    key.stopPropagation();
  }

  return {
    /** @param {{strike: StrikeAnswer, mark: Mark}[]} next */
    show(next) {
      shown = next;
      this.draw();
    },
    /** Draw the handles where the view has them. */
    draw() {
      const state = store.get();
      const hole = shownHole(state);
      places.clear();
      if (hole === null) return;
      const from = teeOf(hole, state.tee).at;
      const ends = shown.flatMap(({ strike }) => {
        const place = map.pixel(pointAlong(from, shownHeading(state, strike), strike.total_yd * YARD));
        return place === null ? [] : [{ label: strike.label, place }];
      });
      const drawn = spread(ends.map(({ place }) => place), APART);
      /** @type {Map<string, import("../records").Point>} */ const leaders = new Map();
      ends.forEach(({ label, place }, i) => {
        places.set(label, drawn[i]);
        leaders.set(label, [place[0] - drawn[i][0], place[1] - drawn[i][1]]);
      });
      const handle = (/** @type {{strike: StrikeAnswer, mark: Mark}} */ { strike, mark }) => {
        const leader = leaders.get(strike.label);
        if (leader === undefined) return nothing;
        const said = heldText(state, strike);
        const off = rightOf(shownHeading(state, strike), bestHeading(state, strike));
        return html`<div class="aim" data-strike=${strike.label}
            @take=${(/** @type {Event} */ { currentTarget }) => inputIn(/** @type {HTMLElement} */ (currentTarget))?.focus({ preventScroll: true })}>
          <input type="range" class="behind" min=${-MOST_OFF} max=${MOST_OFF} step=${STEP} .value=${live(off.toFixed(1))}
            aria-label="aim of ${strike.label}" aria-valuetext=${said || `the best: ${strike.aim_text}`}
            @input=${(/** @type {Event} */ { target }) => hold(strike.label, bestHeading(store.get(), strike) + /** @type {HTMLInputElement} */ (target).valueAsNumber)}
            @keydown=${(/** @type {KeyboardEvent} */ key) => press(key, strike)}>
          ${svg`<svg viewBox="-13 -13 26 26" aria-hidden="true">
            ${Math.abs(leader[0]) < 1 ? nothing : svg`<path class="leader" d="M0 0L${leader[0]} ${leader[1]}" />
              <circle class="end" cx=${leader[0]} cy=${leader[1]} r="2.5" fill=${mark.colour} />`}
            <path d=${mark.shape} fill=${mark.colour} /></svg>`}
          ${said === "" ? nothing : html`<span class="held" aria-hidden="true">${said}</span>`}
        </div>`;
      };
      render(repeat(shown, ({ strike }) => strike.label, handle), layer);
      for (const element of /** @type {NodeListOf<HTMLElement>} */ (layer.querySelectorAll(".aim"))) {
        const [x, y] = places.get(element.dataset.strike ?? "") ?? [0, 0];
        element.style.transform = `translate(${x}px, ${y}px)`;
      }
    },
    /** Put the focus on the next handle. */
    focus() {
      const all = /** @type {HTMLElement[]} */ ([...layer.querySelectorAll(".aim input")]);
      all[(all.findIndex((one) => one === document.activeElement) + 1) % all.length]?.focus();
    },
  };
}
