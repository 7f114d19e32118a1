"use strict";
// A player's part has a title of its own, and what is folded is opened for paper.
const title = document.title;

function nameTitle() {
  const part = document.getElementById(decodeURIComponent(location.hash.slice(1)));
  const strip = part && part.matches(".strip") && part.querySelector("h3");
  document.title = strip ? `${strip.textContent}: ${title}` : title;
}

addEventListener("hashchange", nameTitle);
nameTitle();

const folded = document.querySelectorAll("details");
let opened = [];
addEventListener("beforeprint", () => {
  opened = [...folded].filter((part) => !part.open);
  for (const part of opened) part.open = true;
});
addEventListener("afterprint", () => {
  for (const part of opened) part.open = false;
});
