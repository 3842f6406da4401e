// The results follow the sliders: the page asks for itself with the levels as they stand and takes the results
// over. Without scripts the button does the same.
import { fetchPage } from "./swap.js";

const form = document.getElementById("levels");
const state = document.getElementById("levels-state");
const REST_MS = 250;
let timer = 0;
let asked = 0;

function shown() {
  for (const slider of form.querySelectorAll("input[type=range]")) {
    const out = document.getElementById(`out-${slider.name}`);
    out.textContent = `${slider.value}\u00a0${out.dataset.unit}`;
  }
}

// Only what differs from the programme stands in the address, so that a kept link follows the programme.
function address() {
  const query = new URLSearchParams();
  for (const slider of form.querySelectorAll("input[type=range]")) {
    if (slider.value !== slider.dataset.own) query.set(slider.name, slider.value);
  }
  return `${location.pathname}${query.size ? `?${query}` : ""}`;
}

async function update() {
  const mine = ++asked;
  const to = address();
  const results = document.getElementById("results");
  results.classList.add("waits");
  state.textContent = "Computing";
  try {
    const { page } = await fetchPage(to);
    const fresh = page.getElementById("results");
    if (mine !== asked) return;
    if (!fresh) throw new Error("no results");
    const open = [...results.querySelectorAll("details")].map((one) => one.open);
    results.replaceWith(document.adoptNode(fresh));
    fresh.querySelectorAll("details").forEach((one, index) => { one.open = open[index] ?? false; });
    history.replaceState(null, "", to);
    state.textContent = "";
  } catch {
    if (mine !== asked) return;
    results.classList.remove("waits");
    state.textContent = "No answer. Press Show to try again.";
  }
}

form.addEventListener("input", () => {
  shown();
  window.clearTimeout(timer);
  timer = window.setTimeout(update, REST_MS);
});
form.addEventListener("submit", (event) => {
  event.preventDefault();
  window.clearTimeout(timer);
  update();
});
