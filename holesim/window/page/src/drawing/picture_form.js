// Pictures under the drawing: added, placed by two points and north, moved, shown and taken away.
/** @typedef {import("../records").Picture} Picture */
/** @typedef {import("../records").Point} Point */
/** @typedef {import("./picture_placing.js").Placing} Placing */
import { html, nothing, render } from "lit-html";
import { live } from "lit-html/directives/live.js";
import { backTo, choiceField, folded, pickOn, saidLine, sent, textField } from "./form_parts.js";
import { headOf, pictureName, refusalOf } from "./picture_file.js";
import { createPictureLayer, decoded } from "./picture_layer.js";
import { cornersOf, layOf, movedMarks, newMarks, toGround, toPicture } from "./picture_place.js";
import { beginPlacing, endsOf, placedBy } from "./picture_placing.js";
import { boxAround } from "./shapes.js";

const UNDER = 0.2; // of a picture's height
const HEAD = 4e6; // bytes in which a picture says its size
const WHERE = { first: "the first point, such as the back tee", second: "the second point, such as the pin", northward: "a place north of the first point" };

/** @param {HTMLElement} box @param {import("./form_parts.js").Desk} desk @param {() => void} marked called when marks have changed */
export function createPictureForm(box, { drawing, map, api, store, look }, marked) {
  const layer = createPictureLayer(map, api.blob, tell);
  /** @type {Placing | null} */ let placing = null;
  /** @type {Set<string>} */ let hidden = new Set();
  /** @type {Picture[] | null} */ let laid = null; // those shown while one is placed
  let said = "";
  let open = false;
  let name = "";

  const inFolder = () => (store.get().folder?.pictures ?? []).map((one) => one.name);

  /** @param {string} line */
  function tell(line) {
    said = line;
    draw();
  }

  /** @param {Partial<Placing> | null} change */
  function setPlacing(change) {
    placing = change === null ? null : { .../** @type {Placing} */ (placing), ...change };
    const others = drawing.get().pictures.filter((one) => one.name !== placing?.name);
    laid = placing === null ? null : [...others, { name: placing.name, marks: placing.marks }];
    said = "";
    draw();
    marked();
  }

  /** @param {File} file */
  async function add(file) {
    const course = drawing.get().name;
    open = true;
    try {
      const head = headOf(new Uint8Array(await file.slice(0, HEAD).arrayBuffer()));
      const refusal = refusalOf(file.name, file.size, head);
      if (refusal !== "" || head === null) return tell(refusal);
      tell(`${file.name} is read …`);
      const shown = await decoded(file).catch(() => null);
      if (shown === null) return tell(`${file.name} cannot be shown: this browser finds no picture in it.`);
      const free = pictureName(file.name, head.kind, course, inFolder());
      await api.put(free, file, false);
      await look();
      layer.put(free, shown);
      await begin(free);
    } catch (refused) {
      tell(/** @type {Error} */ (refused).message);
    }
  }

  /** Begin to place a picture: where it lies, or where there is room. @param {string} file */
  async function begin(file) {
    const state = drawing.get();
    const size = await layer.sizeOf(file);
    if (size === null) return;
    const old = state.pictures.find((one) => one.name === file);
    const marks = old?.marks ?? newMarks(boxAround([...[...state.features.values()].map(({ geometry }) => geometry), ...await picturesAround()]), size);
    hidden = new Set([...hidden].filter((one) => one !== file));
    setPlacing(beginPlacing(file, marks, endsOf(state) !== null));
    fit(marks, size, old === undefined);
    if (await click("first")) await click("second");
    backTo(box);
  }

  /** Outlines of the pictures that are placed. */
  const picturesAround = () => Promise.all(drawing.get().pictures.map(async (one) => {
    const size = await layer.sizeOf(one.name);
    const ring = size === null ? one.marks.map(({ at }) => at) : cornersOf(layOf(one.marks), size);
    return /** @type {import("../records").Geometry} */ ({ type: "Polygon", coordinates: [[...ring, ring[0]]] });
  }));

  /** Show a picture whole. @param {Picture["marks"]} marks @param {Point} size @param {boolean} upright by its own top, or by its two points */
  function fit(marks, size, upright) {
    const lay = layOf(marks);
    const [width, height] = size;
    const line = upright ? [toGround(lay, [width / 2, height]), toGround(lay, [width / 2, 0])] : marks.map(({ at }) => at);
    // The words that say where to click stand under a picture.
    map.upright(line, cornersOf(lay, [width, height * (1 + UNDER)]));
  }

  /** @param {keyof typeof WHERE} which @returns {Promise<boolean>} whether it was clicked */
  async function click(which) {
    const file = placing?.name;
    const place = await pickOn(map, `Click ${WHERE[which]}.`);
    if (place === null || placing === null || placing.name !== file) return false;
    setPlacing({ [which]: toPicture(layOf(placing.marks), place), ...(which === "northward" ? { north: "point" } : {}) });
    return true;
  }

  /** @param {Picture[]} pictures */
  async function keep(pictures) {
    const { said: refusal } = await sent(drawing, "pictures", { pictures }, "PUT");
    if (refusal !== "") tell(refusal);
    return refusal === "";
  }

  async function settle() {
    if (placing === null) return;
    map.stopPicking();
    const marks = placedBy(placing, endsOf(drawing.get()));
    if (typeof marks === "string") return tell(marks);
    const { name: file } = placing;
    const others = drawing.get().pictures.filter((one) => one.name !== file);
    if (!await keep([...others, { name: file, marks }])) return;
    setPlacing(null);
    const size = await layer.sizeOf(file);
    if (size !== null) fit(marks, size, false);
  }

  /** @param {Picture} picture */
  async function move(picture) {
    const from = await pickOn(map, `Click a point of ${picture.name}.`);
    const to = from === null ? null : await pickOn(map, "Click where that point belongs.");
    if (from === null || to === null) return;
    await keep(drawing.get().pictures.map((one) => (one.name === picture.name ? { ...one, marks: movedMarks(one.marks, from, to) } : one)));
  }

  /** @param {Picture} picture */
  async function takeAway(picture) {
    if (await keep(drawing.get().pictures.filter((one) => one.name !== picture.name))) layer.forget(picture.name);
  }

  /** @param {Picture} picture */
  function row(picture) {
    const shown = !hidden.has(picture.name);
    const toggle = () => {
      hidden = new Set(shown ? [...hidden, picture.name] : [...hidden].filter((one) => one !== picture.name));
      draw();
    };
    const bringIn = async () => {
      const size = await layer.sizeOf(picture.name);
      if (size !== null) fit(picture.marks, size, false);
    };
    return html`<li><label class="tick"><input type="checkbox" .checked=${live(shown)} @change=${toggle} /> show ${picture.name}</label>
      <div class="actions"><button type="button" aria-label="look at ${picture.name}" @click=${bringIn}>look</button>
        <button type="button" aria-label="move ${picture.name}" @click=${() => move(picture)}>move</button>
        <button type="button" aria-label="place ${picture.name} anew" @click=${() => begin(picture.name)}>place anew</button>
        <button type="button" aria-label="take ${picture.name} away" @click=${() => takeAway(picture)}>take away</button></div></li>`;
  }

  /** @param {Placing} now */
  function placingForm(now) {
    const ends = endsOf(drawing.get());
    const known = now.known && ends !== null;
    const point = (/** @type {"first" | "second"} */ which, /** @type {string} */ words) => html`<button type="button" @click=${() => click(which)}>
      ${now[which] === null ? `click ${words}` : `${words} ✓, click it anew`}</button>`;
    return html`<form aria-label="where the picture lies" @submit=${(/** @type {Event} */ event) => { event.preventDefault(); void settle(); }}>
      <p>Where ${now.name} lies: click two points on it that lie far apart, such as the back tee and the pin.</p>
      <div class="actions">${point("first", "first point")}${point("second", "second point")}</div>
      ${ends === null ? nothing : html`<label class="tick"><input type="checkbox" .checked=${live(known)} @change=${() => setPlacing({ known: !known })} />
        they are the back tee and the pin of hole ${ends.hole}</label>`}
      ${known ? nothing : html`${textField("between them", now.yards, (yards) => { now.yards = yards; }, { unit: "yd" })}
        ${choiceField("north", now.north, [["up", "is up on this page"], ["point", "click towards it"], ["bearing", "by the bearing"]], (north) => {
          setPlacing({ north: /** @type {Placing["north"]} */ (north) });
          if (north === "point") void click("northward");
        })}
        ${now.north === "bearing" ? textField("bearing from first to second", now.degrees, (degrees) => { now.degrees = degrees; }, { unit: "°" }) : nothing}
        ${now.north === "point" ? html`<button type="button" @click=${() => click("northward")}>${now.northward === null ? "click towards north" : "north ✓, click it anew"}</button>` : nothing}`}
      <div class="actions"><button type="submit" class="main">Lay the picture so</button>
        <button type="button" @click=${() => { map.stopPicking(); setPlacing(null); }}>give up</button></div></form>`;
  }

  function draw() {
    const { name: course, pictures } = drawing.get();
    if (course !== name) {
      [name, placing, laid, said, hidden] = [course, null, null, "", new Set()];
      open = pictures.length > 0;
    }
    layer.show(laid ?? pictures, hidden);
    if (course === "") return void render(nothing, box);
    const folder = course.slice(0, course.lastIndexOf("/") + 1);
    const unused = inFolder().filter((one) => one.startsWith(folder) && !pictures.some((two) => two.name === one));
    render(folded(`Pictures under the drawing${pictures.length === 0 ? "" : ` (${pictures.length})`}`, { open, toggled: (now) => { open = now; } }, html`
      ${placing === null ? html`
        <p class="quiet">A scan or photo of your own yardage book, or an aerial picture: one that you are allowed to use.</p>
        ${pictures.length === 0 ? nothing : html`<ul class="pictures">${pictures.map(row)}</ul>
          <label class="field">how strong <input type="range" min="10" max="100" step="5" aria-label="how strong the pictures are" aria-valuetext=${`${Math.round(layer.opacity() * 100)} in 100`}
            .value=${live(String(Math.round(layer.opacity() * 100)))} @input=${(/** @type {Event} */ { target }) => { layer.setOpacity(Number(/** @type {HTMLInputElement} */ (target).value) / 100); draw(); }} /></label>`}
        <div class="actions"><label class="button">Add a picture <input class="unseen" type="file" accept="image/jpeg,image/png,image/webp" @change=${(/** @type {Event} */ { target }) => {
          const input = /** @type {HTMLInputElement} */ (target);
          const file = input.files?.[0];
          if (file !== undefined) void add(file).finally(() => { input.value = ""; });
        }} /></label>
        ${unused.map((one) => html`<button type="button" @click=${() => begin(one)}>lay ${one} under</button>`)}</div>` : placingForm(placing)}
      ${saidLine(said)}`), box);
  }

  map.target.addEventListener("dragover", (event) => event.preventDefault());
  map.target.addEventListener("drop", (event) => {
    event.preventDefault();
    const file = event.dataTransfer?.files[0];
    if (file !== undefined && drawing.get().name !== "") void add(file);
  });

  return {
    draw,
    /** What to mark on the map. @returns {import("./form_parts.js").PlacingMark[]} */
    marks() {
      if (placing === null) return [];
      const lay = layOf(placing.marks);
      const all = /** @type {const} */ ([[placing.first, "1"], [placing.second, "2"], [placing.north === "point" ? placing.northward : null, "N"]]);
      return all.flatMap(([pixel, text]) => (pixel === null ? [] : [{ at: toGround(lay, pixel), text }]));
    },
  };
}
/** @typedef {ReturnType<typeof createPictureForm>} PictureForm */
