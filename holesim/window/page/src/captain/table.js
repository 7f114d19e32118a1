// The table: pairs and their order, what each change would cost, and what it comes to.
/** @typedef {import("../records").CaptainState} CaptainState */
/** @typedef {import("../records").CaptainPlan} CaptainPlan */
import { html, nothing } from "lit-html";
import { sentence } from "../words.js";
import { sheetsOrder, teamOrder } from "./captain_store.js";
import { movesSides, placeOf, playersAt } from "./line_up.js";

/** What is said of a place by its price: of the one held, of one that it may change with. @param {CaptainState} state @param {string} key */
export function priceMark({ held, prices }, key) {
  if (held === "") return "";
  if (held === key) return "held";
  const price = prices[key];
  if (price === undefined) return "";
  return price.refused === undefined ? price.short : "not possible";
}

/** @param {CaptainState} state @param {CaptainPlan} plan @param {string} key @param {string} says */
function chip(state, plan, key, says) {
  const names = playersAt(state.lineUp, key).map((player) => plan.squad[player]).join(" and ");
  const mark = priceMark(state, key);
  const price = state.prices[key];
  const kind = [
    "chip-place", key.startsWith("side") ? "whole" : "", state.held === key ? "lifted" : "", state.over === key && state.held !== key ? "over" : "",
    mark !== "" && state.held !== key ? "target" : "", (price?.gain ?? 0) < 0 ? "costs" : "",
  ].join(" ");
  return html`<button type="button" class=${kind} data-place=${key} aria-pressed=${state.held === key ? "true" : "false"}
    aria-label="${names}, ${says}${mark === "" || mark === "held" ? "" : `; ${mark}`}">
    ${key.startsWith("side") ? html`<span aria-hidden="true">${placeOf(key).side + 1}</span>` : html`<span>${names}</span>`}
    <small>${mark}</small></button>`;
}

/** @param {CaptainState} state @param {CaptainPlan} plan */
function rows(state, plan) {
  const { lineUp, price, over, prices } = state;
  const whole = movesSides(lineUp, plan.ordered);
  const preview = over === "" ? undefined : prices[over];
  const shown = preview?.sides === undefined ? price : preview;
  const matches = plan.opponents.length > 0;
  const value = plan.team.total.points === undefined ? "strokes" : "points";
  return html`<table class=${preview?.sides === undefined ? "line-up" : "line-up preview"}>
    <caption>${matches && !plan.ordered ? "The sides, each as likely to meet any opponent" : "The sides"}</caption>
    <thead><tr><th scope="col">${plan.ordered ? "order" : html`<span class="unseen">side</span>`}</th><th scope="col">${plan.pairs ? "pair" : "player"}</th>
      ${plan.ordered ? html`<th scope="col">against</th>` : nothing}<th scope="col" class="worth">${value}</th></tr></thead>
    <tbody>${lineUp.sides.map((side, i) => html`<tr>
      <th scope="row">${whole ? chip(state, plan, `side ${i} 0`, `side ${i + 1}`) : html`<span class="number">${i + 1}</span>`}</th>
      <td class=${plan.pairs ? "wide" : ""}><div class="seats">${side.map((_, k) => chip(state, plan, `seat ${i} ${k}`, plan.pairs ? `in pair ${i + 1}` : `place ${i + 1}`))}</div></td>
      ${plan.ordered ? html`<td>${plan.opponents[i].join(" and ")}</td>` : nothing}
      <td class="worth">${shown?.sides?.[i] ?? ""}</td></tr>`)}
      ${lineUp.bench.length === 0 ? nothing : html`<tr class="bench"><td></td><td colspan=${plan.ordered ? 3 : 2}><span class="quiet">sit out</span>
        <div class="seats">${lineUp.bench.map((_, k) => chip(state, plan, `bench 0 ${k}`, "sits out"))}</div></td></tr>`}
    </tbody></table>`;
}

/** Whether the table is that of a session of a weekend. @param {CaptainState} state */
export const ofWeekend = ({ order }) => order !== "" && JSON.parse(order).kind === "session sheets";

/** Whether something else is asked for by now. @param {CaptainState} state */
export function asksOther(state) {
  const found = teamOrder(state);
  return !ofWeekend(state) && "order" in found && sheetsOrder(found.order) !== state.order;
}

/** @param {CaptainState} state @param {CaptainPlan} plan @param {import("./captain_store.js").Captain} captain */
export function table(state, plan, captain) {
  const { price, prices, over } = state;
  const preview = over === "" || over === state.held ? undefined : prices[over];
  const shown = preview ?? price;
  const own = price !== null && price.same === false;
  return html`<h2>${plan.team.team}</h2><p class="quiet">${plan.says.head}</p>
    ${asksOther(state) ? html`<p class="quiet">What is asked for has changed since: plan again for a table of it.</p>` : nothing}
    <p class="line ${preview === undefined ? "" : "about"}">${preview === undefined ? "" : "So changed: "}${
      shown === null ? "" : shown.refused === undefined ? `${shown.total} expected` : "not possible"}</p>
    <p class="price">${shown === null ? "" : sentence(shown.refused ?? shown.text ?? "")}${own ? html` <span class="quiet">The best found: ${plan.says.best}.</span>` : nothing}</p>
    ${ofWeekend(state) ? html`<p class="quiet">A price is that of this session alone: what a change does to the weekend's other sessions is not in it.</p>` : nothing}
    ${plan.counting === null ? nothing : html`<p class="quiet">A price counts all totals, not only the best ${plan.counting}.</p>`}
    ${rows(state, plan)}
    <p class="quiet">${plan.pairs || plan.ordered || state.lineUp.bench.length > 0
    ? "Drag a name onto another, or choose both one after the other: they change places. Enter or space picks up and drops, arrows move, Escape puts back."
    : "Everyone plays, and the order does not matter: there is nothing to change."}</p>
    <div class="actions"><button type="button" ?disabled=${!captain.changed()} @click=${() => void captain.back()}>Back to the best</button></div>`;
}

/** What the choices gain, and what else a captain should know: of the draw found. @param {CaptainPlan} plan */
export function findings({ says }) {
  return html`<h2>The best draw found</h2><p>${sentence(says.total)}</p>
    <ul class="findings">${says.findings.map((text) => html`<li>${sentence(text)}</li>`)}</ul><p class="quiet">${says.assumed}</p>`;
}
