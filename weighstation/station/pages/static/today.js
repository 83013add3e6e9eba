"use strict";
// Looks every few seconds whether the day has gone on, and changes what is shown where it has.
const EVERY_MS = 10000;
const live = document.getElementById("live");
const old = document.getElementById("old");
let heard = new Date();

function opened() {
  return [...live.querySelectorAll("details[open]")].map((each) => each.id);
}

function show(text) {
  const next = new DOMParser().parseFromString(text, "text/html").getElementById("live");
  if (!next || live.contains(document.activeElement)) return;
  const open = opened();
  live.replaceChildren(...next.childNodes);
  live.dataset.tag = next.dataset.tag;
  for (const id of open) document.getElementById(id)?.setAttribute("open", "");
}

async function look() {
  if (document.hidden) return;
  try {
    const answer = await fetch(location.href, { headers: { "X-Weighstation-Since": live.dataset.tag } });
    if (answer.status === 200) show(await answer.text());
    heard = new Date();
    old.hidden = true;
  } catch {
    old.textContent = `The station has not answered since ${heard.toLocaleTimeString()}: what you see is old.`;
    old.hidden = false;
  }
}

setInterval(look, EVERY_MS);
document.addEventListener("visibilitychange", look);
