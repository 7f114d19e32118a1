// Sharing the window: the code that lets a device in, what that means, and how to stop.
import { html, nothing, render } from "lit-html";
import { part } from "./page_parts.js";
/** @typedef {{open: boolean, devices: number, origin: string, words: string[], link?: string, picture?: string}} Shared */

/** @param {import("./api.js").Api} api @param {import("./live.js").News} news @param {(line: string) => void} say */
export function createShare(api, news, say) {
  const dialog = /** @type {HTMLDialogElement} */ (part("share"));
  /** @type {Shared | null} */ let shared = null;

  async function look() {
    try {
      shared = await api.json("GET", "/api/share");
    } catch (refused) {
      dialog.close();
      say(/** @type {Error} */ (refused).message);
    }
    draw();
  }
  async function stop() {
    await api.json("DELETE", "/api/share").catch((refused) => say(refused.message));
    await look();
  }

  function draw() {
    if (shared === null) return;
    const { open, devices, origin, words, link, picture } = shared;
    const come = devices === 0 ? "No device has come yet." : devices === 1 ? "1 device has come." : `${devices} devices have come.`;
    render(html`<h2 id="share-name">Share this window</h2>
      ${open ? html`<p>Scan the code with a phone or tablet in the same network; it opens ${origin}.</p>
        <img class="code" src=${picture ?? ""} alt="code to scan" width="264" height="264">
        <details><summary>the address in the code</summary><p class="address">${link}</p></details>
        <ul class="quiet">${words.map((line) => html`<li>${line}</li>`)}</ul>` : nothing}
      <p role="status">${open ? come : "Sharing has ended: no device is answered. To share again, start the window anew."}</p>
      <p class="actions">${open ? html`<button type="button" @click=${stop}>Stop sharing</button>` : nothing}
        <button type="button" class="main" @click=${() => dialog.close()}>Close</button></p>`, dialog);
  }

  news.listen((message) => {
    if (typeof message.devices === "number" && dialog.open) void look();
  });
  part("show-share").addEventListener("click", async () => {
    await look();
    if (shared !== null) dialog.showModal();
  });
}
