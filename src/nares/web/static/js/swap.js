// Sends a form without leaving the page: the answer is the whole page, of which the parts marked
// data-swap are taken over, so that the film stays where it is. Without scripts the same form just works.
import { localTimes } from "./times.js";

const SAID_MS = 8000;

export async function fetchPage(address, options = {}) {
  const answer = await fetch(address, { credentials: "same-origin", ...options });
  const page = new DOMParser().parseFromString(await answer.text(), "text/html");
  return { page, ok: answer.ok, address: answer.url };
}

export function takeOver(page) {
  for (const part of document.querySelectorAll("[data-swap]")) {
    const fresh = page.getElementById(part.id);
    if (!fresh) return false;
    part.replaceWith(document.adoptNode(fresh));
    localTimes(document.getElementById(part.id));
  }
  takeLanes(page);
  say(page);
  return true;
}

// The lanes keep their place and zoom; only how each rep stands is taken over.
function takeLanes(page) {
  const fresh = page.querySelector("#lanes .lane-reps");
  const here = document.querySelector("#lanes .lane-reps");
  if (fresh && here) here.replaceWith(document.adoptNode(fresh));
}

function say(page) {
  document.querySelectorAll("main > .said, main > .faults").forEach((old) => old.remove());
  const said = page.querySelector("main > .said, main > .faults");
  if (!said) return;
  document.getElementById("main").prepend(document.adoptNode(said));
  if (said.matches(".said")) window.setTimeout(() => said.remove(), SAID_MS);
}

export function submitInPlace(form, afterwards) {
  const buttons = form.querySelectorAll("button");
  buttons.forEach((button) => { button.disabled = true; });
  fetchPage(form.action, { method: "POST", body: new URLSearchParams(new FormData(form)) })
    .then(({ page, ok, address }) => {
      if (!takeOver(page)) { form.submit(); return; }
      afterwards(ok, address);
    })
    .catch(() => { buttons.forEach((button) => { button.disabled = false; }); form.submit(); });
}
