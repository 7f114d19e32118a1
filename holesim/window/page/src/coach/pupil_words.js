// What the coach's desk writes in words and names; pure functions.
/** @typedef {import("../records").Golfer} Golfer */
/** @typedef {import("../records").Worth} Worth */
import { folderName } from "../words.js";

/** What practice pays a golfer most. @param {Worth | undefined} worth */
export function worthText(worth) {
  if (worth === undefined) return "";
  const { name, saved, low, high } = worth.best;
  return `${name}: ${saved.toFixed(2)} strokes (${low.toFixed(2)} to ${high.toFixed(2)})`.replaceAll("-", "−");
}

/** The folder of sheets for a course on a day. @param {string} course @param {string} day */
export function sheetsName(course, day) {
  return `sheets/${folderName(`${course} ${day}`)}`;
}

/** The files made for a golfer, of all that a piece of work made. @param {string[]} files @param {string} player the golfer's file */
export function sheetsOf(files, player) {
  const stem = (player.split("/").at(-1) ?? "").replace(/\.[^.]*$/, "");
  return files.filter((file) => /\.(?:pdf|html)$/.test(file) && (file.split("/").at(-1) ?? "").replace(/\.(?:pocket|lesson|coach|page)\.\w+$/, "") === stem);
}

/** How a face spread is changed, in words. @param {number} percent */
export function changeText(percent) {
  if (percent === 0) return "as it is";
  return `${Math.abs(percent)} % ${percent < 0 ? "narrower" : "wider"}`;
}

/** The golfer that the address names. @param {string} hash */
export function pupilIn(hash) {
  const named = /^#\/coach\/(.+)$/.exec(hash)?.[1] ?? "";
  try {
    return decodeURIComponent(named);
  } catch {
    return "";
  }
}
