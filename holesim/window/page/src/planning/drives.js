// Where the drives finish, as nested outlines, and the aim lines: drawn apart from the ground, which then
// need not be painted again while the wind is turned.
/** @typedef {import("../records").StrikeAnswer} StrikeAnswer */
/** @typedef {import("../records").Point} Point */
/** @typedef {import("../records").Polygon} Polygon */
/** @typedef {{strike: StrikeAnswer, colour: string, heading: number}} Drawn */
import { svg } from "lit-html";
import { YARD, pointAlong } from "../geometry.js";

const LONG = 100; // m, over which the scale of the picture is measured

/** The path of some polygons, in metres from the tee. @param {Polygon[]} polygons @param {Point} tee */
export function outlinePath(polygons, [east, north]) {
  const ring = (/** @type {Point[]} */ points) =>
    `M${points.map(([x, y]) => `${(x - east).toFixed(1)} ${(y - north).toFixed(1)}`).join("L")}Z`;
  return polygons.flatMap((rings) => rings.map(ring)).join("");
}

/** @type {WeakMap<StrikeAnswer, {share: number, path: string}[]>} */ const paths = new WeakMap();

/** The outlines of a strike's finishes, the widest first. @param {StrikeAnswer} strike @param {Point} tee */
function outlinesOf(strike, tee) {
  let found = paths.get(strike);
  if (found === undefined) {
    found = [...strike.outlines].sort((a, b) => b.share - a.share)
      .map(({ share, polygons }) => ({ share, path: outlinePath(polygons, tee) }));
    paths.set(strike, found);
  }
  return found;
}

/** @param {Drawn[]} drawn @param {Point} tee @param {import("../hole_map.js").HoleMap} map */
export function drawDrives(drawn, tee, map) {
  const at = map.pixel(tee);
  const east = map.pixel([tee[0] + LONG, tee[1]]);
  const north = map.pixel([tee[0], tee[1] + LONG]);
  if (at === null || east === null || north === null) return [];
  const axes = [east, north].flatMap(([x, y]) => [(x - at[0]) / LONG, (y - at[1]) / LONG]);
  const lines = drawn.map(({ strike, heading }) => {
    const [x, y] = pointAlong([0, 0], heading, strike.total_yd * YARD);
    return `M0 0L${x.toFixed(2)} ${y.toFixed(2)}`;
  });
  // All white casings lie under all strikes, so that none is hidden by another's.
  const cased = [...drawn.flatMap(({ strike }) => outlinesOf(strike, tee).map(({ path }) => path)), ...lines];
  return svg`<g class="drives" transform="matrix(${axes.join(" ")} ${at[0]} ${at[1]})">
    ${cased.map((path) => svg`<path class="halo" d=${path} />`)}
    ${drawn.map(({ strike, colour }) => outlinesOf(strike, tee).map(({ share, path }) => svg`
      <path class=${share <= 0.5 ? "half" : "nine"} d=${path} stroke=${colour} fill=${colour} />`))}
    ${drawn.map(({ colour }, i) =>
    // The later ones in dashes, so that lines along one heading are all seen.
    svg`<path class="aim-line ${i > 0 ? "over" : ""}" d=${lines[i]} stroke=${colour} />`)}</g>`;
}
