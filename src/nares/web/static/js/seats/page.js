// The page of a seat: asks its twin whether anything changed, and takes over the parts that did. A part marked
// data-keep whose name stays the same is left as it stands, so that nothing typed or chosen is lost and the
// finger stays where it is. Without this file the page is looked at again by a link.
import { localTimes } from "../times.js";
import { placing } from "./placing.js";
import { calling } from "./calling.js";
import { watching } from "./watching.js";

const ASK_MS = 1500; // always the same, whatever the run
const SLOW_MS = 8000;
const line = document.getElementById("line");
let busy = false;
let lost = "";

const seat = () => document.getElementById("seat");

function connected(yes, keeps = "") {
  if (yes) {
    if (lost) { line.textContent = "Connected again."; line.classList.remove("lost"); }
    else line.hidden = true;
    lost = "";
    return;
  }
  lost ||= new Date().toLocaleTimeString();
  const said = `No answer from nares since ${lost}. ${keeps || "What you typed or chose stays here."}`;
  if (line.textContent !== said) line.textContent = said;
  line.classList.add("lost");
  line.hidden = false;
}

async function fetched(address, options = {}) {
  const answer = await fetch(address, { credentials: "same-origin", cache: "no-store", signal: AbortSignal.timeout(SLOW_MS), ...options });
  return answer;
}

// Parts stand in a row; each is known by its id, and kept, put in or taken out in place.
function takeOver(page) {
  const fresh = page.getElementById("seat");
  if (!fresh) { location.assign("/seat/"); return; }
  const here = seat();
  const before = new Map([...here.children].map((part) => [part.id, part]));
  let after = null;
  for (const part of [...fresh.children]) {
    const old = before.get(part.id);
    before.delete(part.id);
    let now = old;
    if (!old || !part.dataset.keep || part.dataset.keep !== old.dataset.keep) {
      now = document.adoptNode(part);
      if (old) old.replaceWith(now);
      else if (after) after.after(now);
      else here.prepend(now);
      localTimes(now);
      begin(now, true);
    }
    after = now;
  }
  before.forEach((part) => part.remove());
  here.dataset.seen = fresh.dataset.seen;
  for (const query of ["h1", "title"]) {
    const text = page.querySelector(query)?.textContent ?? "";
    if (document.querySelector(query).textContent !== text) document.querySelector(query).textContent = text;
  }
  const says = document.getElementById("says");
  const said = page.getElementById("says").textContent;
  if (says.textContent !== said) says.textContent = said;
  document.querySelectorAll("main > .said").forEach((old) => old.remove());
  const receipt = page.querySelector("main > .said");
  if (receipt) document.getElementById("main").prepend(document.adoptNode(receipt));
}

async function takeFrom(answer) {
  takeOver(new DOMParser().parseFromString(await answer.text(), "text/html"));
}

async function look() {
  if (busy) return;
  busy = true;
  try {
    const answer = await fetched(seat().dataset.twin);
    const twin = await answer.json();
    if (!answer.ok) throw new Error("no answer");
    if (twin.role === null) { location.assign("/seat/"); return; }
    if (twin.seen !== seat().dataset.seen) await takeFrom(await fetched("/seat/"));
    connected(true);
  } catch { connected(false); }
  busy = false;
}

// A deed is sent without leaving the page. The answer is the page as it stands then, also when it was refused.
async function send(form) {
  const body = new URLSearchParams(new FormData(form));
  const answer = await fetched(form.action, { method: "POST", body });
  if (answer.status >= 500) throw new Error("no answer");
  return answer;
}

async function deed(form) {
  const buttons = form.querySelectorAll("button");
  buttons.forEach((button) => { button.disabled = true; });
  try {
    await takeFrom(await send(form));
    connected(true);
    document.getElementById("part-faults")?.scrollIntoView({ block: "nearest" });
  } catch { connected(false, "Nothing was sent: press again when it answers."); }
  buttons.forEach((button) => { button.disabled = false; });
}

const shared = { send, takeFrom, connected, deed };

function begin(part, arrived) {
  const forms = part.matches("form") ? [part] : [...part.querySelectorAll("form")];
  for (const form of forms) {
    if ("deed" in form.dataset) form.addEventListener("submit", (event) => { event.preventDefault(); deed(form); });
    if ("call" in form.dataset) calling(form, shared);
    if ("watch" in form.dataset) watching(form, shared);
  }
  if (part.id === "part-placing") placing(part, arrived);
  const same = part.querySelector("#same");
  if (same) {
    same.hidden = false;
    same.addEventListener("click", () => part.querySelectorAll("[data-was]").forEach((box) => { box.checked = true; }));
  }
}

async function stayAwake() {
  try { await navigator.wakeLock?.request("screen"); } catch { /* it may sleep then */ }
}

[...seat().children].forEach((part) => begin(part, false));
document.addEventListener("visibilitychange", () => {
  if (document.visibilityState !== "visible") return;
  stayAwake();
  look();
});
addEventListener("online", look);
addEventListener("pageshow", (event) => { if (event.persisted) location.reload(); });
stayAwake();
setInterval(look, ASK_MS);
