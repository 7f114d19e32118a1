// Where the course lies on the earth: one point whose latitude and longitude are known.
/** @typedef {import("../records").Point} Point */
import { html, nothing, render } from "lit-html";
import { degreesIn, placeIn } from "./degrees.js";
import { backTo, choiceField, folded, numberIn, pickOn, saidLine, sent, textField } from "./form_parts.js";

const CLICKED = "click";

/** @param {HTMLElement} box @param {import("./form_parts.js").Desk} desk @param {() => void} marked called when marks have changed */
export function createPlaceForm(box, { drawing, map, show }, marked) {
  let typed = { latitude: "", longitude: "", turn: "0" };
  let from = CLICKED;
  /** @type {Point | null} */ let clicked = null;
  let said = "";
  let open = false;
  let name = "";

  /** @param {string} line */
  function tell(line) {
    said = line;
    draw();
  }

  /** One field may be given both, as they are copied from elsewhere. @param {"latitude" | "longitude"} key @param {string} text @param {boolean} done */
  function type(key, text, done) {
    const both = done ? placeIn(text) : null;
    typed = both === null ? { ...typed, [key]: text } : { ...typed, latitude: String(both.latitude), longitude: String(both.longitude) };
    if (both !== null) draw();
  }

  const backTees = () => drawing.get().holes.flatMap(({ hole, tees }) => (tees[0] === undefined ? [] : [{ hole, at: tees[0].at }]));

  async function click() {
    clicked = await pickOn(map, "Click a point whose latitude and longitude you know.");
    from = CLICKED;
    tell("");
    marked();
    backTo(box);
  }

  async function move() {
    const point = from === CLICKED ? clicked : backTees().find(({ hole }) => String(hole) === from)?.at ?? null;
    if (point === null) return tell("Click the point on the map first, or choose a back tee.");
    const latitude = degreesIn(typed.latitude, "latitude");
    if (latitude === null) return tell("Type the latitude in degrees, such as -46.5 or 46.5 S.");
    const longitude = degreesIn(typed.longitude, "longitude");
    if (longitude === null) return tell("Type the longitude in degrees, such as -112.25 or 112.25 W.");
    const turn_deg = numberIn(typed.turn);
    if (turn_deg === null || Math.abs(turn_deg) > 360) return tell("Type by how many degrees all is turned clockwise; usually 0.");
    const { said: refusal } = await sent(drawing, "place", { from: point, at: [longitude, latitude], turn_deg });
    [clicked, open] = [null, refusal !== ""];
    tell(refusal);
    marked();
    if (refusal === "") show(drawing.get().hole);
  }

  function draw() {
    const state = drawing.get();
    if (state.name !== name) [name, clicked, said, open] = [state.name, null, "", false];
    if (state.name === "" || state.features.size === 0) return void render(nothing, box);
    const tees = backTees();
    if (from !== CLICKED && !tees.some(({ hole }) => String(hole) === from)) from = CLICKED;
    render(html`
      ${state.nowhere ? html`<p class="say">This drawing lies in the open ocean. True wind directions and its place hold only once it has been moved to where it belongs.</p>` : nothing}
      ${folded(state.nowhere ? "Move it to where it belongs" : "Move the whole course", { open, toggled: (now) => { open = now; } }, html`<form aria-label="where the course lies" @submit=${(/** @type {Event} */ event) => { event.preventDefault(); void move(); }}>
        ${choiceField("known point", from, [[CLICKED, "a point on the map"], ...tees.map(({ hole }) => /** @type {[string, string]} */ ([String(hole), `back tee of hole ${hole}`]))], (choice) => { from = choice; draw(); })}
        ${from === CLICKED ? html`<button type="button" @click=${click}>${clicked === null ? "click the point" : "point ✓, click it anew"}</button>` : nothing}
        ${textField("latitude", typed.latitude, (text, done) => type("latitude", text, done), { unit: "°", wide: true })}
        ${textField("longitude", typed.longitude, (text, done) => type("longitude", text, done), { unit: "°", wide: true })}
        ${textField("turn clockwise", typed.turn, (turn) => { typed = { ...typed, turn }; }, { unit: "°" })}
        <p class="quiet">Both may be pasted into one field. Leave the turn at 0 where north was given with a picture.</p>
        <div class="actions"><button type="submit" class="main">Move the course there</button></div>${saidLine(said)}</form>`)}`, box);
  }

  return {
    draw,
    /** What to mark on the map. @returns {import("./form_parts.js").PlacingMark[]} */
    marks: () => (clicked === null ? [] : [{ at: clicked, text: "known point" }]),
  };
}
