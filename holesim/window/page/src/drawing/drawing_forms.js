// The forms of the drawing page and what they show on the map, put together.
import { part } from "../page_parts.js";
import { listable } from "./drawing_store.js";
import { listed } from "./hazard_numbers.js";
import { createHazardForm } from "./hazard_form.js";
import { createHoleForm } from "./hole_form.js";
import { createNumberLabels } from "./number_labels.js";
import { createPictureForm } from "./picture_form.js";
import { createPlaceForm } from "./place_form.js";
import { createVersionsForm } from "./versions_form.js";

/** @param {import("./form_parts.js").Desk} desk */
export function createForms(desk) {
  const { drawing, map, look } = desk;
  const again = () => labels.again();
  const pictures = createPictureForm(part("draw-pictures"), desk, again);
  const hole = createHoleForm(part("draw-hole"), desk, again);
  const hazard = createHazardForm(part("draw-hazard"), desk);
  const place = createPlaceForm(part("draw-place"), desk, again);
  const versions = createVersionsForm(part("draw-versions"), desk);
  const labels = createNumberLabels(map, () => listed(drawing.get(), drawing.get().hole), () => [...pictures.marks(), ...hole.marks(), ...place.marks()]);
  const names = /** @type {const} */ ({ pictures: "pictures under the drawing", hole: "a hole by its numbers", place: "where the course lies", versions: "earlier versions" });
  for (const [id, name] of Object.entries(names)) part(`draw-${id}`).setAttribute("aria-label", name);
  part("draw-hazard").setAttribute("aria-label", "numbers of the hole");

  let inFolder = ""; // the drawing that the folder lists as a course
  drawing.subscribe((state, before) => {
    if (!state.usable) inFolder = "";
    else if (listable(state) && state.name !== inFolder) {
      inFolder = state.name;
      void look();
    }
    if (state.features !== before.features || state.holes !== before.holes || state.hole !== before.hole) again();
  });

  return {
    draw() {
      for (const form of [hole, hazard, pictures, place, versions]) form.draw();
    },
  };
}
