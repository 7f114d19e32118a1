"use strict";
// What is shown is chosen by hole, tee, wind and strike; everything is on the page already.
const articles = [...document.querySelectorAll("article")];
const buttons = [...document.querySelectorAll("nav button")];
const state = { hole: buttons[0].value, tee: articles[0].dataset.tee, wind: articles[0].dataset.wind };

function show() {
  for (const article of articles) {
    const current = article.dataset.tee === state.tee && article.dataset.wind === state.wind;
    article.classList.toggle("current", current);
    article.hidden = !(current && article.dataset.hole === state.hole);
  }
  for (const button of buttons) {
    button.setAttribute("aria-current", String(button.value === state.hole));
  }
}

for (const button of buttons) {
  button.addEventListener("click", () => { state.hole = button.value; show(); });
}
for (const input of document.querySelectorAll("input[data-sets]")) {
  input.addEventListener("change", () => { state[input.dataset.sets] = input.value; show(); });
}
for (const article of articles) {
  for (const input of article.querySelectorAll("input[data-strike]")) {
    input.addEventListener("change", () => {
      for (const strike of article.querySelectorAll(".strike")) {
        strike.hidden = strike.dataset.strike !== input.value;
      }
    });
  }
}
document.addEventListener("keydown", (event) => {
  const step = { ArrowLeft: -1, ArrowRight: 1 }[event.key];
  if (!step || event.target.matches("input") || event.ctrlKey || event.altKey || event.metaKey) return;
  const at = buttons.findIndex((button) => button.value === state.hole);
  const next = buttons[Math.min(Math.max(at + step, 0), buttons.length - 1)];
  state.hole = next.value;
  next.focus();
  show();
});
show();
