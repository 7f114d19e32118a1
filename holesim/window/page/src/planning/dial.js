// The wind as a handle: away from the centre is speed, the angle is where it comes from on the picture.
/** @typedef {import("../records").State} State */
/** @typedef {import("../records").Wind} Wind */
/** @typedef {import("../marks.js").Mark} Mark */
import { html, nothing, render, svg } from "lit-html";
import { live } from "lit-html/directives/live.js";
import { DIAL_MPH, dialPoint, ringPath, windAt } from "../geometry.js";
import { markIcon, marksOf } from "../marks.js";
import { followHand } from "../page_parts.js";
import { alongEdges, emptiest, overlap } from "./place.js";
import { RING_STEP, ringKey, ringPair } from "./scheduler.js";
import { moveTo, upward } from "./state.js";
import { MOST_MPH, parseWind, turned, windOnHole, windText, windWords } from "./wind.js";

const TURNS = /** @type {Record<string, number>} */ ({ ArrowLeft: -1, ArrowRight: 1, PageDown: -10, PageUp: 10 }); // deg
const RIM = 64; // of a dial 200 wide
const RING = [72, 80];
const TICK = 6;
const GRAB = 24;
const EDGE = 6; // px

/** @param {HTMLElement} box @param {import("./state.js").Store} store */
export function createDial(box, store) {
  let mistake = "";
  let explained = false;
  /** What is being typed. @type {string | null} */ let draft = null;
  /** The last wind that was typed, in the words it was typed in. */ let typed = { text: "", wind: store.get().wind };
  const same = (/** @type {Wind} */ one, /** @type {Wind} */ other) => one.mph === other.mph && one.from_deg === other.from_deg;
  const set = (/** @type {Wind} */ wind) => {
    mistake = "";
    draft = null;
    if (!same(wind, store.get().wind)) store.set(moveTo({ wind }, Date.now()));
  };
  const fieldText = (/** @type {Wind} */ wind) =>
    draft ?? (typed.text !== "" && same(typed.wind, wind) ? typed.text : windText(wind));

  /** @param {KeyboardEvent} key */
  function press(key) {
    const { mph, from_deg: from } = store.get().wind;
    const turn = TURNS[key.key];
    if (turn !== undefined) set({ mph, from_deg: turned(from + turn) });
    else if (key.key === "ArrowUp") set({ mph: Math.min(mph + 1, MOST_MPH), from_deg: from });
    else if (key.key === "ArrowDown") set({ mph: Math.max(mph - 1, 0), from_deg: from });
    else if (key.key === "Home") set({ mph: 0, from_deg: from });
    else if (/^\d$|^[-+.]$/.test(key.key)) key.stopPropagation(); // what is typed goes into the field below
    else return;
    key.preventDefault();
    key.stopPropagation();
  }

  /** @param {Event} typed */
  function read({ currentTarget }) {
    const text = /** @type {HTMLInputElement} */ (currentTarget).value.trim();
    const wind = parseWind(text);
    if ("error" in wind) [mistake, draft] = [wind.error, text];
    else {
      typed = { text, wind };
      set(wind);
    }
    draw();
  }

  function draw() {
    const state = store.get();
    const { wind } = state;
    const up = upward(state);
    const [x, y] = dialPoint(wind, up, RIM);
    render(html`
      <div id="dial">
        <input type="number" class="behind" min="-1" max="360" step="1" .value=${live(wind.from_deg.toFixed(0))} aria-label="wind"
          aria-valuetext=${windWords(wind, up)} aria-describedby="ring-key" autocomplete="off" @keydown=${press}
          @input=${(/** @type {Event} */ { target }) => set({ mph: wind.mph, from_deg: turned(/** @type {HTMLInputElement} */ (target).valueAsNumber || 0) })}>
        ${svg`<svg viewBox="-100 -100 200 200" aria-hidden="true">
          <circle class="disc" r="98" />
          ${ring(state, up)}
          ${[10, 20, DIAL_MPH].map((mph) => svg`<circle class="speed" r=${(mph / DIAL_MPH) * RIM} />`)}
          ${[10, 20].map((mph) => svg`<text class="mph" x="0" y=${(mph / DIAL_MPH) * RIM + 4}>${mph}</text>`)}
          <path class="line-of-play" d="M0 30V-34M-4-28 0-34 4-28" />
          <g transform="rotate(${-up})"><path class="north" d="M0-80V-86" /><text class="north" y="-88" transform="rotate(${up} 0 -92)">N</text></g>
          ${wind.mph === 0 ? nothing : blow(x, y)}
          <circle class="wind-handle" cx=${x} cy=${y} r="10" />
        </svg>`}
      </div>
      <p class="felt">${wind.mph === 0 ? "drag the circle" : windOnHole(wind, up)}</p>
      <div class="row">
        <input id="wind-text" type="text" aria-label="wind, like SW 14 or calm" autocomplete="off" spellcheck="false"
          .value=${live(fieldText(wind))} aria-invalid=${mistake !== ""} aria-describedby="wind-mistake" @change=${read}
          @input=${(/** @type {Event} */ { currentTarget }) => void (draft = /** @type {HTMLInputElement} */ (currentTarget).value)}
          @focus=${(/** @type {Event} */ { currentTarget }) => /** @type {HTMLInputElement} */ (currentTarget).select()} />
        <button type="button" aria-label="what the rim shows" aria-expanded=${explained} aria-controls="ring-key"
          @click=${() => { explained = !explained; draw(); }}>?</button>
      </div>
      <div class="said"><p id="wind-mistake" role="status">${mistake}</p>
        <p id="ring-key" ?hidden=${!explained}>${ringWords(state)}</p></div>`, box);
  }

  draw();

  const dial = /** @type {HTMLElement} */ (box.querySelector("#dial"));
  const control = /** @type {HTMLElement} */ (dial.querySelector("input"));
  let offset = /** @type {import("../records").Point} */ ([0, 0]);
  /** @param {PointerEvent} at @returns {import("../records").Point} */
  const placeOf = (at) => {
    const { left, top, width } = dial.getBoundingClientRect();
    return [((at.clientX - left) / width) * 200 - 100, ((at.clientY - top) / width) * 200 - 100];
  };
  followHand(dial, {
    start(at) {
      const place = placeOf(at);
      if (Math.hypot(...place) > 100) return false;
      const handle = dialPoint(store.get().wind, upward(store.get()), RIM);
      const from = /** @type {import("../records").Point} */ ([handle[0] - place[0], handle[1] - place[1]]);
      offset = Math.hypot(...from) < GRAB ? from : [0, 0];
      control.focus({ preventScroll: true });
      store.set({ handDown: true });
      if (offset[0] === 0 && offset[1] === 0) this.move(at);
      return true;
    },
    move(at) {
      const [x, y] = placeOf(at);
      set(windAt([x + offset[0], y + offset[1]], upward(store.get()), RIM, store.get().wind));
    },
    end: () => store.set({ handDown: false }),
  });
  return {
    draw,
    focus: () => control.focus(),
    /** Lay the dial where it covers the least. @param {import("./place.js").Box} area of the picture
     * @param {import("./place.js").Box} taken a part of it @param {import("../records").Point[]} points not to be covered */
    place({ left, top, right, bottom }, taken, points) {
      const area = { left: left + EDGE, top: top + EDGE, right: right - EDGE, bottom: bottom - EDGE };
      const boxes = alongEdges(area, box.offsetWidth, box.offsetHeight);
      const free = emptiest(boxes.filter((one) => !overlap(one, taken)), points) ?? boxes[0];
      box.classList.toggle("high", free.top < top + 150);
      box.style.transform = `translate(${free.left}px, ${free.top}px)`;
    },
  };
}

/** The arrow of where it blows to, through the centre. @param {number} x @param {number} y of the handle */
function blow(x, y) {
  const away = Math.hypot(x, y);
  const angle = (Math.atan2(x, -y) * 180) / Math.PI;
  const to = Math.max(away * 0.8, 16);
  return svg`<path class="blow" transform="rotate(${angle})" d="M-2.5 ${-away}H2.5V${to - 12}H9L0 ${to + 4}-9 ${to - 12}H-2.5Z" />`;
}

/** The ring: which strike is better from each direction, by colour and by ticks outside or inside.
 * @param {State} state @param {number} up */
function ring(state, up) {
  const [inner, outer] = RING;
  const pair = ringPair(state);
  const marks = marksOf(pair, state.opened?.player.strikes ?? []);
  const points = state.wind.mph > 0 && state.ring.key === ringKey(state) ? state.ring.points : [];
  return svg`<circle class="ring-ground" r=${(inner + outer) / 2} stroke-width=${outer - inner} />
    ${points.map(({ from_deg, better }) => {
      const mark = better === null ? undefined : marks.get(better);
      const angle = from_deg - up;
      const [from, to] = better === pair[0] ? [outer, outer + TICK] : [inner - TICK, inner];
      return svg`<path d=${ringPath(inner, outer, angle - RING_STEP / 2, angle + RING_STEP / 2)} fill=${mark?.colour ?? "#b9b9b9"} />
        ${mark === undefined ? nothing : svg`<path class="ring-tick" transform="rotate(${angle})" d="M0 ${-from}V${-to}" />`}`;
    })}`;
}

/** What the ring says, in words. @param {State} state */
function ringWords(state) {
  const pair = ringPair(state);
  if (pair.length < 2) return "The rim shows the better strike in a wind from there.";
  const marks = marksOf(pair, state.opened?.player.strikes ?? []);
  const icon = (/** @type {string} */ label) => {
    const mark = marks.get(label);
    return mark === undefined ? nothing : markIcon(mark);
  };
  return html`The rim shows the better strike in a wind of this speed from there: ${icon(pair[0])} ${pair[0]}, ticks
    outside; ${icon(pair[1])} ${pair[1]}, ticks inside; grey, no difference.`;
}
