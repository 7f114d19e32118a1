// What is played, where and by whom.
/** @typedef {import("../records").CaptainState} CaptainState */
import { html, nothing } from "lit-html";
import { working } from "../working.js";
import { field, select, tick } from "./parts.js";

const FORMATS = [
  { value: "singles", text: "singles" }, { value: "four-ball", text: "four-ball" }, { value: "foursomes", text: "foursomes" },
  { value: "greensomes", text: "greensomes" }, { value: "stroke", text: "stroke play" },
];
const GROUNDS = [{ value: "", text: "as the course says" }, ...["soft", "medium", "firm"].map((value) => ({ value, text: value }))];
const RULES = [{ value: "distance", text: "stroke and distance" }, { value: "drop", text: "drop, two strokes (local rule)" }];
const DRAWS = [{ value: "256", text: "256 (quick)" }, { value: "1024", text: "1,024 (usual)" }, { value: "4096", text: "4,096 (slow)" }];

/** The courses of the folder, one entry for each layout. @param {import("../records").Folder | null} folder */
export function courseChoices(folder) {
  return (folder?.courses ?? []).flatMap(({ name, title, layouts }) => (layouts.length > 1 ? layouts : [null]).map((layout) => ({
    value: JSON.stringify([name, layout]), text: layout ?? title,
  })));
}

/** Players and opponents of a team, in short. @param {NonNullable<CaptainState["shown"]>} team */
export function teamWords({ players, opponents, order_known, places, tees }) {
  const order = opponents.length === 0 ? "" : order_known ? ", in known order" : ", in unknown order";
  return [
    `${players.length} players${places === null ? "" : `, of whom ${places} play`}`,
    `${opponents.length === 0 ? "no" : opponents.length} opponents${order}`,
    ...Object.entries(tees).map(([sex, tee]) => `${sex === "man" ? "men" : "women"} from the ${tee} tees`),
  ].join("; ");
}

/** @param {CaptainState} state @param {import("../records").Folder | null} folder
 * @param {import("./captain_store.js").Captain} captain @param {{begin: () => void, change: () => void}} form
 * @param {(team: string) => void} choose */
export function setupForm(state, folder, captain, form, choose) {
  const { asked, squads, shown } = state;
  const courses = courseChoices(folder);
  const teams = (squads?.teams ?? []).map(({ name, title, builtin }) => ({ value: name, text: builtin ? `${title} (example)` : `${title} (${name})` }));
  const ask = (/** @type {Partial<CaptainState["asked"]>} */ change) => captain.set({ asked: { ...captain.get().asked, ...change } });
  const blank = { value: "", text: "choose …" };
  return html`
    ${folder !== null && courses.length === 0 ? html`<p class="hint">First a course: draw one in Draw, or drop its file into the folder in Plan.</p>` : nothing}
    ${select("course", [...(state.course === "" ? [blank] : []), ...courses], state.course, (course) => captain.set({ course }))}
    ${select("team", [...(state.team === "" ? [blank] : []), ...teams], state.team, choose)}
    ${shown === null ? nothing : html`<p class="quiet">${teamWords(shown)}</p>`}
    <div class="actions"><button type="button" @click=${form.begin}>Put a team together</button>
      ${shown === null || shown.builtin ? nothing : html`<button type="button" @click=${form.change}>Change this team</button>`}</div>
    ${select("format", FORMATS, asked.format, (format) => ask({ format }))}
    ${asked.format === "stroke" ? field("totals that count", asked.count, (count) => ask({ count }), "all") : nothing}
    ${tick("handicap strokes count (net)", asked.net, (net) => ask({ net }))}
    ${field("wind", asked.wind, (wind) => ask({ wind }), "calm, or SW 14")}
    <details><summary>More of the day</summary>
      ${select("ground", GROUNDS, asked.ground, (ground) => ask({ ground }))}
      ${field("temperature °F", asked.temperature_f, (temperature_f) => ask({ temperature_f }))}
      ${field("altitude ft", asked.altitude_ft, (altitude_ft) => ask({ altitude_ft }))}
      ${select("out of bounds", RULES, asked.out_of_bounds, (out_of_bounds) => ask({ out_of_bounds }))}
      ${select("drives a strike", DRAWS, asked.draws, (draws) => ask({ draws }))}
    </details>
    ${state.progress !== null && state.work === "planning" ? html`<div>${working(state.progress, "planning", captain.cancel)}</div>`
    : html`<button type="button" class="main" ?disabled=${state.progress !== null} @click=${() => void captain.plan()}>Plan the team</button>`}
    ${(squads?.broken ?? []).map(({ error }) => html`<p class="say fault">${error}</p>`)}`;
}
