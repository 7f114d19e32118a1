// A hole by its numbers: number, par, length, bends; then where it lies.
/** @typedef {import("../records").Point} Point */
/** @typedef {import("./hole_numbers.js").TypedHole} TypedHole */
import { html, nothing, render } from "lit-html";
import { backTo, choiceField, folded, pickOn, saidLine, sent, textField } from "./form_parts.js";
import { drawnNumbers, holeBy, nextNumber } from "./hole_numbers.js";
import { apart } from "./shapes.js";

const TAKEN = 20; // m: a picture whose first point lies so near to a tee is that hole's

/** @returns {TypedHole} */
const blank = () => ({ number: "", par: "4", length: "", index: "", bends: [] });

/** Two points of a picture on which no hole lies yet: the nearest to what is looked at.
 * @param {Pick<import("../records").DrawingState, "pictures" | "holes">} state @param {Point} middle of the view
 * @returns {{name: string, tee: Point, towards: Point} | null} */
export function offeredBy({ pictures, holes }, middle) {
  const tees = holes.flatMap((hole) => hole.tees.map(({ at }) => at));
  const free = pictures.filter(({ marks }) => !tees.some((tee) => apart(tee, marks[0].at) < TAKEN))
    .map(({ name, marks: [{ at: tee }, { at: towards }] }) => ({ name, tee, towards }));
  const far = (/** @type {{tee: Point, towards: Point}} */ { tee, towards }) => apart(tee, middle) + apart(towards, middle);
  return free.sort((a, b) => far(a) - far(b))[0] ?? null;
}

/** @param {HTMLElement} box @param {import("./form_parts.js").Desk} desk @param {() => void} marked called when marks have changed */
export function createHoleForm(box, { drawing, map, show }, marked) {
  let typed = blank();
  let said = "";
  let open = false;
  let place = "";
  /** @type {Point | null} */ let tee = null;

  /** @param {Partial<TypedHole>} change */
  function set(change) {
    typed = { ...typed, ...change };
    draw();
  }
  const type = (/** @type {keyof TypedHole} */ key) => (/** @type {string} */ text) => void (typed = { ...typed, [key]: text });
  /** @param {number} i @param {Partial<import("./hole_numbers.js").TypedBend>} change */
  const bend = (i, change) => void (typed = { ...typed, bends: typed.bends.map((one, j) => (i === j ? { ...one, ...change } : one)) });

  const numbered = () => ({ ...typed, number: typed.number === "" ? String(nextNumber(drawing.get())) : typed.number });

  /** @param {Point | null} from @param {Point | null} towards */
  function mark(from, towards) {
    tee = from;
    marked();
    return from !== null && towards !== null ? create(from, towards) : undefined;
  }

  async function click() {
    const hole = holeBy(numbered(), drawnNumbers(drawing.get()));
    if (typeof hole === "string") return tell(hole);
    tell("");
    const from = await pickOn(map, `Click where the back tee of hole ${hole.number} is.`);
    if (from === null) return;
    void mark(from, null);
    const towards = await pickOn(map, "Now click in the direction of the pin.");
    await mark(towards === null ? null : from, towards);
    backTo(box);
  }

  /** @param {Point} from @param {Point} towards */
  async function create(from, towards) {
    const hole = holeBy(numbered(), drawnNumbers(drawing.get()));
    if (typeof hole === "string") return tell(hole);
    const { said: refusal } = await sent(drawing, "holes", { hole, tee: from, towards });
    void mark(null, null);
    if (refusal !== "") return tell(refusal);
    [typed, said, open] = [blank(), "", false];
    show(hole.number);
  }

  /** @param {string} line */
  function tell(line) {
    said = line;
    draw();
  }

  function draw() {
    const state = drawing.get();
    if (state.name === "") return void render(nothing, box);
    const drawn = drawnNumbers(state);
    // Unfolded where the hole in view is not drawn.
    const here = `${state.name} ${state.hole} ${state.hole !== null && !drawn.has(state.hole)}`;
    if (here !== place) {
      place = here;
      open = state.features.size > 0 && (drawn.size === 0 || (state.hole !== null && !drawn.has(state.hole)));
    }
    const now = numbered();
    const [width, height] = map.size();
    const offered = offeredBy(state, map.place([width / 2, height / 2]) ?? [0, 0]);
    render(folded("A hole by its numbers", { open, toggled: (shown) => { open = shown; } }, html`<form aria-label="a hole by its numbers" @submit=${(/** @type {Event} */ event) => { event.preventDefault(); void click(); }}>
      <div class="pair">${textField("hole", now.number, type("number"))}
      ${choiceField("par", typed.par, [["3", "3"], ["4", "4"], ["5", "5"], ["6", "6"]], (par) => set({ par }))}</div>
      <div class="pair">${textField("length", typed.length, type("length"), { unit: "yd" })}
      ${textField("stroke index", typed.index, type("index"))}</div>
      ${typed.bends.map((one, i) => html`<fieldset class="bend"><legend>bend ${i + 1}</legend>
        ${textField("from the back tee", one.at, (at) => bend(i, { at }), { unit: "yd" })}
        ${choiceField("turns", one.side, [["left", "left"], ["right", "right"]], (side) => { bend(i, { side: /** @type {"left" | "right"} */ (side) }); draw(); })}
        ${textField("by", one.degrees, (degrees) => bend(i, { degrees }), { unit: "°" })}
        <button type="button" aria-label="take bend ${i + 1} away" @click=${() => set({ bends: typed.bends.filter((_, j) => j !== i) })}>take away</button></fieldset>`)}
      <div class="actions"><button type="button" @click=${() => set({ bends: [...typed.bends, { at: "", side: "left", degrees: "" }] })}>add a bend</button>
        <button type="submit" class=${offered === null ? "main" : ""}>Click the back tee, then towards the pin</button>
        ${offered === null ? nothing : html`<button type="button" class="main" @click=${() => mark(offered.tee, offered.towards)}>Lay it on the two points of ${offered.name}</button>`}</div>
      ${saidLine(said)}</form>`), box);
  }

  return {
    draw,
    /** What to mark on the map. @returns {import("./form_parts.js").PlacingMark[]} */
    marks: () => (tee === null ? [] : [{ at: tee, text: "tee" }]),
  };
}
