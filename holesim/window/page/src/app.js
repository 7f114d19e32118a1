// The page: its views, of which one is shown, its messages, and the socket.
/** @typedef {import("./records").State} State */
import { html, nothing, render } from "lit-html";
import { createAfterView } from "./after/after_view.js";
import { createApi, takeToken } from "./api.js";
import { createCaptainView } from "./captain/captain_view.js";
import { createCoachView } from "./coach/coach_view.js";
import { createDrawing } from "./drawing/drawing_store.js";
import { createDrawingView } from "./drawing/drawing_view.js";
import { createFiles } from "./files.js";
import { createGolfersView } from "./golfers/golfers_view.js";
import { createJobs } from "./jobs.js";
import { createNews, keepAsking } from "./live.js";
import { part } from "./page_parts.js";
import { createPlanView } from "./planning/plan_view.js";
import { drawFilePickers } from "./planning/switches.js";
import { START, createStore } from "./planning/state.js";
import { remembered } from "./remember.js";
import { createShare } from "./share.js";
/** @typedef {{enter: () => void, draw?: () => void}} View what is done as a view is shown, and once a frame after a change */

const token = await takeToken();
const store = createStore({ ...START, ...remembered() });
const api = createApi(token);
const files = createFiles(part("files"), store, api);
const news = createNews();
const drawing = createDrawing(api, news);
const jobs = createJobs(api, news);
createShare(api, news, (said) => store.set({ said }));

/** How each view is made, when it is first shown. @type {Record<State["view"], () => View>} */
const VIEWS = {
  plan: () => createPlanView(store, api, files, jobs),
  draw: () => createDrawingView(store, api, drawing, files.look),
  golfers: () => createGolfersView(store, api, jobs, files.look),
  coach: () => createCoachView(store, api, jobs, files.look),
  captain: () => createCaptainView(store, api, jobs, files.look),
  after: () => createAfterView(store, api, jobs, files.look),
};
const names = /** @type {State["view"][]} */ (Object.keys(VIEWS));
/** @type {Partial<Record<State["view"], View>>} */ const made = {};

const OWN_HOSTS = ["127.0.0.1", "localhost"];

/** @param {State} state */
function drawMessages({ connection, said }) {
  const lines = {
    opening: "", open: "",
    lost: "holesim does not answer; the page tries again by itself. Is it still running in its terminal?",
    refused: OWN_HOSTS.includes(location.hostname)
      ? "This page has no key, or an old one. Start holesim open again and use the address it prints."
      : "This device has no key, or an old one. Scan the code anew: in the window on its own machine, press Share.",
  };
  const line = lines[connection] || said;
  render(line === "" ? nothing : html`<p>${line} ${connection === "open" ? html`<button type="button" class="link"
    @click=${() => store.set({ said: "" })}>close</button>` : nothing}</p>`, part("message"));
}

/** Views of one course and one player, which the header offers. */
const OF_ONE = ["plan", "draw"];

let due = false;
function draw() {
  due = false;
  const state = store.get();
  drawMessages(state);
  part("pickers").hidden = part("about").hidden = !OF_ONE.includes(state.view);
  document.body.dataset.may = state.folder?.may ?? "all";
  part("show-share").hidden = state.folder?.shared !== true;
  drawFilePickers(part("pickers"), store);
  render((state.opened?.cautions ?? []).map((caution) => html`<li>${caution}</li>`), part("cautions"));
  made[state.view]?.draw?.();
}
store.subscribe(() => {
  if (due) return;
  due = true;
  requestAnimationFrame(draw);
});

/** Show a view. @param {State["view"]} view */
function show(view) {
  for (const name of names) {
    part(name).hidden = name !== view;
    if (name === view) part(`show-${name}`).setAttribute("aria-current", "page");
    else part(`show-${name}`).removeAttribute("aria-current");
  }
  document.body.dataset.view = view;
  document.title = part(`show-${view}`).textContent;
  const before = store.get().view;
  store.set({ view });
  if (view === "plan" && before !== "plan") void files.look();
  (made[view] ??= VIEWS[view]()).enter();
}
/** The view that the address names; what comes after it belongs to the view. */
const named = () => names.find((name) => location.hash.split(/[/?]/)[1] === name) ?? "plan";
/** The address that each view had when it was left. @type {Partial<Record<State["view"], string>>} */
const left = {};
for (const name of names) {
  part(`show-${name}`).addEventListener("click", () => {
    const { view } = store.get();
    if (named() === view) left[view] = location.hash;
    if (name !== view) history.pushState(null, "", left[name] ?? `#/${name}`);
    show(name);
  });
}
addEventListener("popstate", () => show(named()));

show(named());
draw();
if (token === "") store.set({ connection: "refused" });
else {
  keepAsking(store, token, news);
  void files.look();
}
