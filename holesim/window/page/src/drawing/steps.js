// What a step changes in what is drawn, before the server has answered.
/** @typedef {import("../records").Feature} Feature */
/** @typedef {import("../records").Change} Change */
import { nameOf } from "./kinds.js";

/** The features after some changes. @param {Map<number, Feature>} features @param {Change[]} changes
 * @param {number[]} fresh ids for what is added, in order */
export function withChanges(features, changes, fresh) {
  const after = new Map(features);
  let added = 0;
  for (const change of changes) {
    if ("add" in change) {
      const { kind, geometry, tags } = change.add;
      const one = { id: fresh[added++], label: "", kind, hole: null, tags, geometry, guessed: null, noted: null };
      after.set(one.id, { ...one, label: nameOf(one) });
      continue;
    }
    const feature = after.get(change.id);
    if (feature === undefined) continue;
    if ("remove" in change) after.delete(change.id);
    else if ("geometry" in change) after.set(change.id, { ...feature, geometry: change.geometry, noted: null });
    else if ("certain" in change) after.set(change.id, { ...feature, guessed: null });
    else after.set(change.id, { ...feature, tags: mergedTags(feature.tags, change.tags) });
  }
  return after;
}

/** @param {Record<string, string>} tags @param {Record<string, string | null>} change */
function mergedTags(tags, change) {
  const kept = Object.entries({ ...tags, ...change }).filter(([, value]) => value !== null);
  return /** @type {Record<string, string>} */ (Object.fromEntries(kept));
}

/** The changes with ids that have become known put in; null where one speaks of what was refused.
 * @param {Change[]} changes @param {Map<number, number>} known @returns {Change[] | null} */
export function withIds(changes, known) {
  const put = changes.map((change) => ("add" in change || change.id > 0 ? change : { ...change, id: known.get(change.id) ?? 0 }));
  return put.some((change) => "id" in change && change.id === 0) ? null : put;
}
