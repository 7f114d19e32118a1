// What can be drawn: in golfers' words, in the order in which a hole is made, with the tags of a course file.
/** @typedef {import("../records").Kind} Kind */
/** @typedef {import("../records").Feature} Feature */
import { isLine } from "./shapes.js";
/** @typedef {"area" | "line" | "point"} Shape */
/** @typedef {{id: string, kind: Kind, shape: Shape, name: string, group: string}} Tool */

/** @type {Tool[]} */
export const TOOLS = [
  { id: "line", kind: "line", shape: "line", name: "line of the hole", group: "hole" },
  { id: "fairway", kind: "fairway", shape: "area", name: "fairway", group: "hole" },
  { id: "green", kind: "green", shape: "area", name: "green", group: "hole" },
  { id: "pin", kind: "pin", shape: "point", name: "pin", group: "hole" },
  { id: "tee", kind: "tee", shape: "point", name: "tee", group: "hole" },
  { id: "tee area", kind: "tee", shape: "area", name: "teeing ground", group: "hole" },
  { id: "bunker", kind: "bunker", shape: "area", name: "bunker", group: "hazards" },
  { id: "red", kind: "red", shape: "area", name: "red water", group: "hazards" },
  { id: "yellow", kind: "yellow", shape: "area", name: "yellow water", group: "hazards" },
  { id: "stream", kind: "red", shape: "line", name: "stream", group: "hazards" },
  { id: "out", kind: "out", shape: "area", name: "out of bounds", group: "hazards" },
  { id: "trees", kind: "trees", shape: "area", name: "trees", group: "trees" },
  { id: "heavy_rough", kind: "heavy_rough", shape: "area", name: "heavy rough", group: "trees" },
  { id: "rough", kind: "rough", shape: "area", name: "rough", group: "trees" },
  { id: "spot", kind: "spot", shape: "point", name: "elevation", group: "course" },
  { id: "boundary", kind: "boundary", shape: "area", name: "course boundary", group: "course" },
];

/** The tool that has an id, where it draws a kind. @param {string} id */
export const toolOf = (id) => TOOLS.find((tool) => tool.id === id) ?? null;

/** Kinds of ground, by which an outline lies over others: the later ones are seen and count first.
 * @type {Kind[]} */
export const PAINT_ORDER = [
  "other", "boundary", "rough", "heavy_rough", "trees", "fairway", "tee", "green", "bunker", "yellow", "red", "out",
  "line", "spot", "pin",
];

/** Kinds that an outline can be changed to. @type {Kind[]} */
export const AREA_KINDS = [
  "fairway", "green", "tee", "bunker", "red", "yellow", "out", "trees", "heavy_rough", "rough", "boundary",
];

/** The tags that make an outline what it is, as courses/README.md has them. @type {Record<string, Record<string, string>>} */
const TAGS = {
  fairway: { golf: "fairway" }, green: { golf: "green" }, tee: { golf: "tee" }, bunker: { golf: "bunker" },
  red: { golf: "lateral_water_hazard", natural: "water" }, yellow: { golf: "water_hazard", natural: "water" }, out: { golf: "out_of_bounds" },
  trees: { natural: "wood" }, heavy_rough: { natural: "scrub" }, rough: { golf: "rough" },
  boundary: { leisure: "golf_course" },
};
const KIND_KEYS = ["golf", "natural", "leisure", "waterway"];

/** The tags that change what an outline is; those it must lose are null.
 * @param {Kind} kind @returns {Record<string, string | null>} */
export function kindTags(kind) {
  return { ...Object.fromEntries(KIND_KEYS.map((key) => [key, null])), ...TAGS[kind] };
}

const STREAM_TAGS = /** @type {Record<string, Record<string, string | null>>} */ ({
  red: { golf: null, waterway: "stream" }, yellow: { golf: "water_hazard", waterway: "stream" },
});
/** The tags that mark a stream red or yellow. @param {Kind} kind */
export const streamTags = (kind) => STREAM_TAGS[kind];

const STREAM_M = 3;
const TREE_ROW_M = 8;
/** How wide a line of some kind is [m]: a stream as it says, a row of trees.
 * @param {Kind} kind @param {Record<string, string>} tags */
export function widthOf(kind, tags) {
  if (kind === "line" || kind === "other" || kind === "boundary") return 0;
  return Number.parseFloat(tags.width ?? "") || (kind === "trees" ? TREE_ROW_M : STREAM_M);
}

const NAMES = /** @type {Record<Kind, string>} */ ({
  ...Object.fromEntries(TOOLS.filter(({ id, kind }) => id === kind).map(({ kind, name }) => [kind, name])),
  other: "something else",
});

/** @param {Kind} kind */
export const kindName = (kind) => NAMES[kind] ?? kind;

/** What a feature is, in golfers' words. @param {Feature} feature */
export function nameOf({ kind, geometry }) {
  if ((kind === "red" || kind === "yellow") && geometry !== null && isLine(geometry)) return `${kind} stream`;
  if (kind === "trees" && geometry !== null && isLine(geometry)) return "row of trees";
  if (kind === "tee" && geometry?.type !== "Point") return "teeing ground";
  return kindName(kind);
}

/** A feature with its name or number, to tell it from others. @param {Feature} feature */
export function titleOf(feature) {
  const { kind, tags, hole } = feature;
  const name = nameOf(feature);
  if (kind === "line") return tags.ref === undefined ? name : `line of hole ${tags.ref}`;
  if (kind === "tee" && tags.tee !== undefined) return `${tags.tee} ${name}`;
  return hole === null ? name : `${name}, hole ${hole}`;
}
