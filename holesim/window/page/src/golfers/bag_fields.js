// The clubs of a golfer by how far they carry.
/** @typedef {import("./golfers_store.js").Golfers} Golfers */
import { html, nothing } from "lit-html";
import { numberIn } from "../drawing/form_parts.js";
import { valueAt, withReach, withValue } from "./content.js";
import { numberField } from "./strike_fields.js";

/** The clubs that a golfer has, as stated and as is usual. @param {import("./records").OpenGolfer} open */
export function bagOf(open) {
  const usual = Object.keys(open.usual ?? {}).flatMap((place) => /^clubs\.(.*)\.carry_yd$/.exec(place)?.[1] ?? []);
  return [...new Set([...Object.keys(open.content.clubs ?? {}), ...usual])]
    .sort((one, other) => (open.usual?.[`clubs.${other}.carry_yd`]?.[0] ?? 0) - (open.usual?.[`clubs.${one}.carry_yd`]?.[0] ?? 0));
}

/** @param {Golfers} golfers */
export function bagFields(golfers) {
  const { open } = golfers.get();
  if (open === null) return nothing;
  const add = (/** @type {Event} */ { currentTarget }) => {
    const inputs = [.../** @type {HTMLElement} */ (currentTarget).closest(".add")?.querySelectorAll("input") ?? []];
    const [club, carry] = inputs.map(({ value }) => value.trim());
    const yards = numberIn(carry);
    if (club === "" || yards === null) return golfers.set({ said: "Say which club it is, and how far it carries.", wrong: true });
    for (const input of inputs) input.value = "";
    golfers.change((now) => withReach(now, ["clubs", club], "carry_yd", yards));
  };
  const entered = (/** @type {KeyboardEvent} */ pressed) => {
    if (pressed.key !== "Enter") return;
    pressed.preventDefault(); // else the golfer would be saved
    add(pressed);
  };
  return html`<p class="quiet">A club that you do not list is the usual one for your club speed. One that you list takes the place of the usual one of its number.</p>
    <div class="numbers bag">${bagOf(open).map((club) => {
      const place = ["clubs", club];
      const stated = valueAt(open.content, place) !== undefined;
      return html`<div class="club">${numberField(golfers, stated ? club : `${club}, usual`, [...place, "carry_yd"], {
        unit: "yd", set: (value) => golfers.change((now) => withReach(now, place, "carry_yd", value)) })}
        ${stated && !open.builtin ? html`<button type="button" class="link" aria-label="take out the ${club}"
          @click=${() => golfers.change((now) => withValue(now, place, undefined))}>take out</button>` : nothing}</div>`;
    })}</div>
    ${open.builtin ? nothing : html`<div class="add" role="group" aria-label="another club">
      <label class="field">another club <input type="text" @keydown=${entered} maxlength="40" autocomplete="off" placeholder="4-hybrid" /></label>
      <label class="field">carries <span><input type="text" class="short" @keydown=${entered} inputmode="decimal" maxlength="8" autocomplete="off" /> yd</span></label>
      <button type="button" @click=${add}>Add the club</button></div>`}`;
}
