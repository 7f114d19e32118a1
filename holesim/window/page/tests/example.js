// A course of three holes and answers for it.
import { START } from "../src/planning/state.js";
/** @typedef {import("../src/records").State} State */

/** @param {string} label @param {string} club */
export function strike(label, club = "driver") {
  return {
    label, club, strike: label, heading_deg: 3, aim_deg: 3, aim_text: "mid-fairway", strokes: 4.5, half: 0.1,
    over_choice: 0, carry_yd: 240, total_yd: 260, shares: {}, scores: [], outlines: [],
    middle: /** @type {[number, number]} */ ([0, 230]), along_yd: [1, 2, 3, 4, 5], across_yd: [1, 2, 3, 4, 5],
  };
}

/** @param {number} hole @param {number} par */
function holeOf(hole, par) {
  return {
    hole, par, stroke_index: hole, pin: /** @type {[number, number]} */ ([0, 380]), line: [],
    tees: [{ name: "back", at: /** @type {[number, number]} */ ([0, 0]), length_yd: 415 }],
  };
}

/** @param {Partial<State>} [change] @returns {State} */
export function opened(change = {}) {
  return {
    ...START, connection: "open", course: "x.geojson", player: "y.toml", openId: 1, openedId: 1, hole: 4, tee: "back",
    wind: { mph: 14, from_deg: 225 }, changedAt: 1000, ready: [3, 4, 5],
    opened: {
      course: {
        name: "X", file: "x.geojson", bare: "rough", boundary: null, firmness: "medium", areas: [], guesses: [],
        holes: [holeOf(3, 3), holeOf(4, 4), holeOf(5, 5)],
      },
      player: {
        name: "Y", file: "y.toml", hand: "right", usual: "up", can_choose: true, about: "", assumed: [],
        strikes: [strike("up"), strike("down"), strike("3-wood", "3-wood"), strike("7-iron", "7-iron")],
      },
      options: { temperature_f: 75, altitude_ft: 0, ground: "medium", out_of_bounds: "distance", goal: "mean" },
      cautions: [],
    },
    ...change,
  };
}

/** @param {import("../src/records").Level} level @param {number} [hole] */
export function teeAnswer(level, hole = 4) {
  return {
    level, hole, tee: "back", draws: 1024, wind: null, choice: "down", rival: "up", saves: 0.08, chance: 0.81,
    sure: "likely", close: false, line: "down saves 0.08 strokes: likely, 81 in 100", goal: "mean", unit: "strokes",
    strikes: [strike("down"), strike("up"), strike("3-wood", "3-wood")], doubt: null, why: "", notes: [],
  };
}

/** @param {number} hole */
export function rowAnswer(hole) {
  return {
    hole, par: 4, tee: "back", length_yd: 415, choice: "up", close: false, chance: 0.9, sure: "likely", saves: 0.05,
    strokes: 4.4, rival: "down",
  };
}
