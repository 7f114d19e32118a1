// Small things that several parts of the page use.

/** Whether the user asked for less motion. */
export function reducedMotion() {
  return matchMedia("(prefers-reduced-motion: reduce)").matches;
}

/** An element of the page that is always there. @param {string} id @returns {HTMLElement} */
export function part(id) {
  const found = document.getElementById(id);
  if (found === null) throw new Error(`the page has no #${id}`);
  return found;
}

/** Keep pointer moves coming to an element until the hand is lifted.
 * @param {HTMLElement} element
 * @param {{start: (at: PointerEvent) => boolean | void, move: (at: PointerEvent) => void, end: () => void}} hand
 *   `start` returns false where nothing is to be dragged. */
export function followHand(element, hand) {
  /** @type {number | null} */ let pointer = null;
  const stop = (/** @type {PointerEvent} */ at) => {
    if (at.pointerId !== pointer) return;
    pointer = null;
    hand.end();
  };
  element.addEventListener("pointerdown", (at) => {
    if (pointer !== null || at.button !== 0 || hand.start(at) === false) return;
    pointer = at.pointerId;
    element.setPointerCapture(at.pointerId);
    at.preventDefault();
  });
  element.addEventListener("pointermove", (at) => {
    if (at.pointerId === pointer) hand.move(at);
  });
  element.addEventListener("pointerup", stop);
  element.addEventListener("pointercancel", stop);
  element.addEventListener("lostpointercapture", stop);
}
