// Hands on the table: a drag, two taps one after the other, or keys.
import { rowsOf, movesSides, stepped } from "./line_up.js";

const FAR = 6; // px that a hand moves before it drags

/** @param {HTMLElement} box @param {HTMLElement} ghost what follows the hand @param {import("./captain_store.js").Captain} captain */
export function listenToHands(box, ghost, captain) {
  /** @type {{pointer: number, key: string, x: number, y: number, drags: boolean} | null} */ let hand = null;
  let dragged = false;

  /** @param {EventTarget | null} target */
  const placeAt = (target) => /** @type {HTMLElement | null} */ (target instanceof Element ? target.closest("[data-place]") : null);
  const keyAt = (/** @type {EventTarget | null} */ target) => placeAt(target)?.dataset.place ?? "";

  box.addEventListener("pointerdown", (at) => {
    dragged = false;
    const place = placeAt(at.target);
    if (place === null || at.button !== 0 || hand !== null || captain.get().progress !== null) return;
    hand = { pointer: at.pointerId, key: keyAt(place), x: at.clientX, y: at.clientY, drags: false };
    place.setPointerCapture(at.pointerId);
  });
  box.addEventListener("pointermove", (at) => {
    if (hand === null || at.pointerId !== hand.pointer) return;
    if (!hand.drags) {
      if (Math.hypot(at.clientX - hand.x, at.clientY - hand.y) < FAR) return;
      hand.drags = dragged = true;
      ghost.textContent = box.querySelector(`[data-place="${hand.key}"] span`)?.textContent ?? "";
      ghost.hidden = false;
      void captain.hold(hand.key);
    }
    ghost.style.transform = `translate(${at.clientX + 10}px, ${at.clientY + 10}px)`;
    const over = keyAt(document.elementFromPoint(at.clientX, at.clientY));
    if (over !== captain.get().over) captain.over(over);
  });
  /** @param {PointerEvent} at @param {boolean} put */
  function lift(at, put) {
    if (hand === null || at.pointerId !== hand.pointer) return;
    const { drags, key } = hand;
    hand = null;
    ghost.hidden = true;
    if (!drags) return;
    const onto = put ? keyAt(document.elementFromPoint(at.clientX, at.clientY)) : "";
    void captain.drop(onto === key ? "" : onto);
  }
  box.addEventListener("pointerup", (at) => lift(at, true));
  box.addEventListener("pointercancel", (at) => lift(at, false));

  // A tap, or Enter and space: take up, then let go.
  box.addEventListener("click", ({ target }) => {
    const key = keyAt(target);
    if (key === "" || dragged || captain.get().progress !== null) return;
    if (captain.get().held === "") void captain.hold(key);
    else void captain.drop(key === captain.get().held ? "" : key);
  });
  box.addEventListener("focusin", ({ target }) => {
    if (hand === null && captain.get().held !== "") captain.over(keyAt(target));
  });
  box.addEventListener("keydown", (event) => {
    const key = keyAt(event.target);
    const { held, lineUp, plan } = captain.get();
    if (event.key === "Escape" && held !== "") {
      void captain.drop("");
      event.preventDefault();
    } else if (key !== "" && event.key.startsWith("Arrow") && !event.altKey && !event.ctrlKey && !event.metaKey) {
      const to = stepped(rowsOf(lineUp, movesSides(lineUp, plan?.ordered ?? false)), key, event.key);
      /** @type {HTMLElement | null} */ (box.querySelector(`[data-place="${to}"]`))?.focus();
      event.preventDefault();
    }
  });
}
