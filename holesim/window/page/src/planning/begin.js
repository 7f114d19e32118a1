// A folder to begin in: a course, a golfer, a wind, each with the ways to it.
/** @typedef {import("../records").Folder} Folder */
import { html, nothing, render } from "lit-html";

/** Whether a course or a player is still missing. @param {Folder | null} folder */
export function isBeginning(folder) {
  return folder !== null && (folder.courses.length === 0 || folder.players.length === 0);
}

/** @param {{title: string}[]} files */
const titles = (files) => files.slice(0, 3).map(({ title }) => title).join(", ") + (files.length > 3 ? " …" : "");

/** @param {HTMLElement} box @param {Folder | null} folder @param {import("../files.js").Files} files */
export function drawBeginning(box, folder, files) {
  if (folder === null || !isBeginning(folder)) {
    render(nothing, box);
    return;
  }
  const { courses, players } = folder;
  const [course, player] = [courses.length > 0, players.length > 0];
  const add = html`<button type="button" @click=${files.pick}>Add a file</button>`;
  render(html`<h1 id="begin-name">A plan needs a course, a golfer and a wind</h1>
    <ol>
      ${step("A course", course ? titles(courses) : "its tees, greens and what lies between", course, course ? nothing : html`
        <a class="button main" href="#/draw">Draw a course</a> ${add}
        <button type="button" @click=${() => files.copyExample("course")}>Copy the demo course here</button>`)}
      ${step("A golfer", player ? titles(players) : "a handicap and a carry will do", player, player ? nothing : html`
        <a class="button ${course ? "main" : ""}" href="#/golfers">Describe a golfer</a> ${add}
        <button type="button" @click=${() => files.copyExample("player")}>Copy the demo golfer here</button>`)}
      ${step("A wind", "set on the plan itself, which opens once course and golfer are here", false, nothing)}
    </ol>`, box);
}

/** @param {string} name @param {string} about @param {boolean} done @param {unknown} ways */
function step(name, about, done, ways) {
  return html`<li class=${done ? "done" : ""}><p><b>${name}</b> <span class="quiet">${done ? "here: " : ""}${about}</span></p>
    ${ways === nothing ? nothing : html`<p class="actions writes">${ways}</p>`}</li>`;
}
