// The session page put together: film, lanes, one rep at a time, deeds without leaving the page.
import { keysOn, listen } from "./keys.js";
import { Player } from "./player.js";
import { fetchPage, submitInPlace, takeOver } from "./swap.js";
import { Timeline } from "./timeline.js";

const playerRoot = document.getElementById("player");
const player = playerRoot ? new Player(playerRoot) : null;
const timeline = document.getElementById("stage") ? new Timeline((at) => (player ? player.seek(at) : timeline.time(at))) : null;

if (player && timeline) {
  player.onTime((at) => timeline.time(at));
  timeline.load(playerRoot.dataset.media);
}

const openRep = () => Number(document.getElementById("rep-panel").dataset.rep);

// Bring film and lanes to the rep that is open.
function settle() {
  const rep = openRep();
  timeline?.choose(rep);
  const row = document.querySelector(`#reps tbody[data-rep="${rep}"]`);
  if (!row?.dataset.start) return;
  const [start, end] = [Number(row.dataset.start), Number(row.dataset.end)];
  player?.show(start, end);
  timeline?.bring(start, end);
}

async function open(address, { stay = false } = {}) {
  const { page, ok } = await fetchPage(address);
  if (!ok || !takeOver(page)) { location.assign(address); return; }
  history.replaceState(null, "", address);
  if (stay) timeline?.choose(openRep()); else settle();
}

function openNumber(rep) {
  const link = document.querySelector(`#reps tbody[data-rep="${rep}"] .rep-link`);
  if (link && rep !== openRep()) open(link.href, { stay: true });
}

document.addEventListener("click", (event) => {
  const link = event.target.closest("#rep-back, #rep-on, .rep-link");
  if (!link || event.ctrlKey || event.metaKey || event.shiftKey) return;
  event.preventDefault();
  const focus = link.id;
  open(link.href).then(() => {
    if (focus) document.getElementById(focus)?.focus();
    else document.getElementById("rep-panel").scrollIntoView({ block: "nearest" });
  });
});

document.addEventListener("submit", (event) => {
  const form = event.target.closest(".in-place");
  if (!form) return;
  event.preventDefault();
  if (form.dataset.ask && !window.confirm(form.dataset.ask)) return;
  submitInPlace(form, (ok, address) => {
    if (!ok) { document.querySelector("#rep-panel .fault, #rep-panel .faults")?.scrollIntoView({ block: "center" }); return; }
    history.replaceState(null, "", address);
    settle();
    const panel = document.getElementById("rep-panel");
    const top = panel.getBoundingClientRect().top;
    if (top < 0) panel.scrollIntoView({ block: "start" });
    document.getElementById("confirm")?.focus({ preventScroll: true });
  });
});

timeline?.stage.addEventListener("rep", (event) => openNumber(event.detail));

const press = (id) => () => document.getElementById(id)?.click();
keysOn();
listen({
  " ": () => player?.toggle(),
  ArrowLeft: () => player?.frames(-1),
  ArrowRight: () => player?.frames(1),
  "shift+ArrowLeft": () => player?.by(-1),
  "shift+ArrowRight": () => player?.by(1),
  ArrowUp: press("rep-back"),
  ArrowDown: press("rep-on"),
  c: press("confirm"),
  e: () => {
    const correct = document.getElementById("correct");
    if (!correct) return;
    correct.open = true;
    correct.querySelector("input:not([type=hidden]), select").focus();
  },
  l: () => player?.loop(!player.looping),
  1: () => player?.speed(0.25),
  2: () => player?.speed(0.5),
  3: () => player?.speed(1),
  "[": () => timeline?.step(-1),
  "]": () => timeline?.step(1),
  "+": () => timeline?.zoom(0.5),
  "=": () => timeline?.zoom(0.5),
  "-": () => timeline?.zoom(2),
  0: () => timeline?.window(0, timeline.whole),
});

// An address that names a moment (?at=12.03) opens there, a second either side in view.
function begin() {
  settle();
  const at = Number(new URLSearchParams(location.search).get("at") ?? NaN);
  if (!Number.isFinite(at)) return;
  timeline?.bring(Math.max(at - 1, 0), at + 1);
  if (player) player.seek(at); else timeline?.time(at);
}

timeline?.draw();
if (player && player.film.readyState === 0) player.film.addEventListener("loadedmetadata", begin, { once: true });
else begin();
timeline?.choose(openRep());
