// Putting a team together: golfers of the folder, and others by handicap and club speed.
/** @typedef {import("../records").CaptainState} CaptainState */
/** @typedef {import("../records").TeamForm} TeamForm */
import { html, nothing } from "lit-html";
import { folderName } from "../words.js";
import { field, select, tick } from "./parts.js";
import { contentOf, formOf, newPerson, newTeam, relative } from "./team_words.js";

const SEXES = [{ value: "man", text: "man" }, { value: "woman", text: "woman" }];
const KINDS = /** @type {const} */ (["players", "opponents"]);

/** @param {import("./captain_store.js").Captain} captain @param {import("../planning/state.js").Store} store
 * @param {Pick<import("../api.js").Api, "json">} api @param {(team: string) => void} choose @param {() => void} draw */
export function createTeamForm(captain, store, api, choose, draw) {
  /** @type {TeamForm | null} */ let form = null;
  let mistake = "";

  /** @param {Partial<TeamForm>} change */
  function set(change) {
    if (form !== null) form = { ...form, ...change };
    draw();
  }
  const place = (/** @type {TeamForm} */ { name, title }) => (name === "" ? `${folderName(title) || "team"}.toml` : name);

  async function save() {
    if (form === null) return;
    const found = contentOf(form, captain.get().asked.format);
    if ("mistake" in found) {
      mistake = found.mistake;
      draw();
      return;
    }
    const name = place(form);
    try {
      await api.json("PUT", `/api/captain/teams/${name.split("/").map(encodeURIComponent).join("/")}`, { content: found.content, seen: form.seen });
      form = null;
      mistake = "";
      captain.set({ heard: "", said: `Saved as ${name}.` });
      await captain.look();
      choose(name);
    } catch (error) {
      mistake = /** @type {Error} */ (error).message;
      draw();
    }
  }

  /** @param {TeamForm} now @param {"players" | "opponents"} kind */
  function people(now, kind) {
    const rows = now.people[kind];
    const put = (/** @type {typeof rows} */ changed) => set({ people: { ...(form ?? now).people, [kind]: changed } });
    const own = (store.get().folder?.players ?? []).filter(({ builtin }) => !builtin)
      .map((golfer) => ({ ...golfer, file: relative(golfer.name, place(now)) }));
    const typed = rows.map((row, i) => ({ row, i })).filter(({ row }) => row.file === "" || !own.some(({ file }) => file === row.file));
    const one = kind === "players" ? "player" : "opponent";
    return html`<fieldset class="people"><legend>${kind}</legend>
      ${own.map(({ title, file }) => tick(title, rows.some((row) => row.file === file), (on) => put(on ? [...rows, { ...newPerson(), file }]
      : rows.filter((row) => row.file !== file))))}
      ${typed.map(({ row, i }, number) => {
      const change = (/** @type {Partial<typeof row>} */ part) => put(rows.map((other, k) => (k === i ? { ...other, ...part } : other)));
      const out = html`<button type="button" aria-label="take out ${row.name || row.file || `${one} ${number + 1}`}"
        @click=${() => put(rows.filter((_, k) => k !== i))}>Take out</button>`;
      return row.file !== "" ? html`<div class="person"><span>${row.file}</span>${out}</div>` : html`<div class="person">
        ${field("name", row.name, (name) => change({ name }))}${field("handicap", row.handicap, (handicap) => change({ handicap }), "12.4")}
        ${field("club speed mph", row.speed, (speed) => change({ speed }), "95")}${select("sex", SEXES, row.sex, (sex) => change({ sex }))}${out}</div>`;
    })}
      <button type="button" @click=${() => put([...rows, newPerson()])}>Add ${kind === "players" ? "a player" : "an opponent"} by handicap</button></fieldset>`;
  }

  return {
    open: () => form !== null,
    begin() {
      form = newTeam();
      mistake = "";
      draw();
    },
    change() {
      const { shown, asked } = captain.get();
      if (shown === null) return;
      form = formOf(shown, asked.format);
      mistake = shown.comments ? "The file has comments, which would be lost: save the team under another name." : "";
      draw();
    },
    render() {
      if (form === null) return nothing;
      const now = form;
      const format = captain.get().asked.format;
      return html`<form class="team" @submit=${(/** @type {Event} */ sent) => { sent.preventDefault(); void save(); }}>
        <h2>${now.seen === null ? "A new team" : `Change ${now.name}`}</h2>
        ${field("name of the team", now.title, (title) => set({ title }))}
        ${now.seen === null ? nothing : html`<button type="button" @click=${() => set({ name: "", seen: null })}>Save it as a new team</button>`}
        <p class="quiet">goes to the file ${place(now)}</p>
        ${KINDS.map((kind) => people(now, kind))}
        ${tick("the opponents play in this order", now.order_known, (order_known) => set({ order_known }))}
        <details ?open=${now.seen !== null}><summary>Tees, places and allowance</summary>
          ${field("men's tees", now.men, (men) => set({ men }), "their own")}${field("women's tees", now.women, (women) => set({ women }), "their own")}
          ${field("how many play", now.places, (places) => set({ places }), "all")}
          ${field(`allowance for ${format} %`, now.allowance, (allowance) => set({ allowance }), "the usual")}
          <p class="quiet">Course rating and slope, a card for women, and who plays together or apart stand in the file.</p></details>
        ${mistake === "" ? nothing : html`<p role="alert" class="say fault">${mistake}</p>`}
        <div class="actions"><button type="submit" class="main">Save the team</button>
          <button type="button" @click=${() => { form = null; draw(); }}>Do not save</button></div></form>`;
    },
  };
}
