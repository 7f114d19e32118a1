// The hole's map: a tap says where the drive finished, a drag or the arrow keys move it.
/** @typedef {import("../records").Point} Point */
import { html, render, svg } from "lit-html";
import { YARD, arcs, bearing, pointAlong } from "../geometry.js";
import { createHoleMap } from "../hole_map.js";
import { followHand, part } from "../page_parts.js";
import { finishText } from "./round_rows.js";

const STEPS = /** @type {Record<string, [number, number]>} */ ({
  ArrowUp: [1, 0], ArrowDown: [-1, 0], PageUp: [10, 0], PageDown: [-10, 0], ArrowLeft: [0, -1], ArrowRight: [0, 1],
});

/** @param {import("./round_store.js").Round} round
 * @param {{place: (at: Point) => void, type: (total: number, side: number) => void}} hand says where the drive finished */
export function createFinishMap(round, hand) {
  const target = part("after-map");
  const map = createHoleMap(target, () => draw());
  const sheet = /** @type {SVGSVGElement} */ (/** @type {unknown} */ (part("after-over")));
  const handle = /** @type {HTMLButtonElement} */ (part("after-finish"));
  /** @type {Point | null} */ let dragged = null;
  let shown = "";

  map.onTap((at) => hand.place(at));
  followHand(handle, {
    start() {
      handle.focus();
      dragged = round.drive(round.get().hole).at;
      return dragged !== null;
    },
    move({ clientX, clientY }) {
      const box = target.getBoundingClientRect();
      dragged = map.place([clientX - box.left, clientY - box.top]);
      draw();
    },
    end() {
      if (dragged !== null && dragged !== round.drive(round.get().hole).at) hand.place(dragged);
      dragged = null;
      draw();
    },
  });
  handle.addEventListener("keydown", (pressed) => {
    const step = STEPS[pressed.key];
    const { total_yd, side_yd } = round.drive(round.get().hole);
    if (step === undefined || total_yd === null || side_yd === null) return;
    pressed.preventDefault();
    hand.type(Math.max(Math.round(total_yd) + step[0], 0), Math.round(side_yd) + step[1]);
  });

  /** Draw what lies over the ground: the flag, the aim of the strike that was hit, and the finish. */
  function draw() {
    const { opened, hole: number } = round.get();
    const hole = opened?.holes.find((one) => one.hole === number);
    if (hole === undefined) return;
    const name = round.tee(number);
    const tee = hole.tees.find((one) => one.name === name) ?? hole.tees[0];
    const key = `${round.get().plan} ${number} ${name}`;
    if (key !== shown) {
      shown = key;
      map.showCourse({ course: { bare: hole.bare, areas: hole.areas, boundary: null } });
      map.showHole(hole, tee);
      map.showAgain();
    }
    const drive = round.drive(number);
    const strike = hole.planned[name].strikes.find(({ label }) => label === drive.label);
    const at = dragged ?? drive.at;
    const [start, pin] = [map.pixel(tee.at), map.pixel(hole.pin)];
    const far = strike === undefined ? null : map.pixel(pointAlong(tee.at, strike.heading_deg, tee.length_yd * YARD));
    const end = at === null ? null : map.pixel(at);
    if (start === null || pin === null) return;
    const up = bearing(tee.at, hole.pin);
    const marks = arcs(tee.length_yd, hole.par).fromTee.flatMap((yards) => {
      const place = map.pixel(pointAlong(tee.at, up + 14, yards * YARD));
      return place === null ? [] : [svg`<text class="distance" x=${place[0]} y=${place[1]}>${yards}</text>`];
    });
    render(svg`${marks}
      ${far === null ? "" : svg`<path class="aim-line" d=${`M${start[0]} ${start[1]}L${far[0]} ${far[1]}`} />`}
      ${end === null ? "" : svg`<path class="flown" d=${`M${start[0]} ${start[1]}L${end[0]} ${end[1]}`} />`}
      <path class="flag" d=${`M${pin[0]} ${pin[1]}v-22l13 5-13 5`} /><circle class="cup" cx=${pin[0]} cy=${pin[1]} r="2.5" />`, /** @type {any} */ (sheet));
    handle.hidden = end === null;
    if (end !== null) handle.style.transform = `translate(${end[0]}px, ${end[1]}px)`;
    const words = dragged === null ? finishText(drive) || "not known" : "moving";
    handle.setAttribute("aria-label", `where the drive finished: ${words}`);
    render(html`<span class="dot"></span>`, handle);
  }
  part("after-whole").addEventListener("click", () => map.fit());
  part("after-nearer").addEventListener("click", () => map.zoom(1));
  part("after-farther").addEventListener("click", () => map.zoom(-1));
  return { draw, showAgain: map.showAgain, map };
}
