// The page on which a line-up is designed: joins the plan, its drawing, its numbers, and laying out anew.
import { Drawing, spoken } from "./draw.js";
import { Plan } from "./plan.js";
import { Rows } from "./rows.js";
import { Touch } from "./touch.js";

const svg = document.getElementById("plan-draw");
const state = document.getElementById("plan-state");
const undo = document.getElementById("plan-undo");
const shape = document.getElementById("id_shape");
const positions = document.getElementById("id_positions");
const MOST = Number(positions.max);

const plan = new Plan(Rows.read());
const rows = new Rows(plan);
const drawing = new Drawing(svg, plan);
const tell = () => { const spot = plan.spots[plan.chosen]; if (spot) state.textContent = `Position ${plan.chosen + 1}: ${spoken(spot)}.`; };
new Touch(svg, plan, drawing, tell);

function shown() {
  drawing.draw();
  rows.write();
  undo.disabled = !plan.before.length;
  document.getElementById("plan-chosen").textContent = plan.chosen + 1;
}
plan.onChange(shown);

document.getElementById("plan-tools").hidden = false;
document.getElementById("plan-how").hidden = false;
document.getElementById("plan-add").addEventListener("click", () => {
  if (plan.add(MOST)) { svg.querySelector(".spot.chosen").focus({ preventScroll: true }); tell(); }
  else state.textContent = `A plan has at most ${MOST} positions.`;
});
document.getElementById("plan-remove").addEventListener("click", () => {
  const gone = plan.chosen + 1;
  state.textContent = plan.remove(plan.chosen) ? `Position ${gone} is gone; Undo brings it back.` : "A plan has at least 2 positions.";
});
undo.addEventListener("click", () => { state.textContent = plan.undo() ? "One step back." : ""; if (undo.disabled) document.getElementById("plan-add").focus(); });

// On a phone the numbers of many positions would part the plan from the rest; a fault keeps them in sight.
if (matchMedia("(max-width: 40rem)").matches && !document.querySelector(".spot-row.faulty")) document.getElementById("spots-more").open = false;

const may = () => !plan.now.moved || window.confirm("Lay the positions out anew? What you moved is lost; Undo brings it back.");

let asked = 0;
async function lay() {
  const wanted = { shape: shape.value, positions: positions.value };
  if (!may()) { shape.value = plan.now.shape; positions.value = plan.spots.length; return; }
  state.textContent = "Laying out";
  const mine = ++asked; // an answer that comes after a newer question is let go
  try {
    const answer = await fetch(`area.json?${new URLSearchParams(wanted)}`);
    const area = await answer.json();
    if (mine !== asked) return;
    if (!answer.ok) { state.textContent = area.error ?? "That cannot be laid out."; return; }
    const spots = area.spots.map((spot) => ({ name: spot.name, x: spot.x_m, y: spot.y_m, tested: false }));
    plan.chosen = 0;
    plan.change("", { shape: area.shape, width: area.width_m, depth: area.depth_m, keeps: area.keeps_odour, spots, moved: false });
    state.textContent = `${spots.length} positions laid out.`;
  } catch {
    if (mine === asked) state.textContent = "No answer. Press Lay out anew to try again.";
  }
}
// A number typed a while ago tells of its change only when it is left.
const other = () => { if (shape.value !== plan.now.shape || Number(positions.value) !== plan.spots.length) lay(); };
shape.addEventListener("change", other);
positions.addEventListener("change", other);
document.getElementById("lay").addEventListener("click", (event) => { event.preventDefault(); lay(); });

// More rows for distractors, without asking for the page.
const smells = document.getElementById("smell-rows");
const SMELLS_MOST = 24;
document.getElementById("more-smells").addEventListener("click", (event) => {
  event.preventDefault();
  const first = smells.childElementCount + 1;
  if (first > SMELLS_MOST) return;
  const row = smells.lastElementChild.cloneNode(true);
  row.classList.remove("faulty");
  row.querySelector(".fault")?.remove();
  for (const field of row.querySelectorAll("input, select")) {
    const name = `${field.name.split("-")[0]}-${first}`;
    const label = row.querySelector(`label[for="${field.id}"]`);
    field.removeAttribute("aria-invalid");
    field.removeAttribute("aria-describedby");
    field.value = "";
    field.id = field.name = label.htmlFor = name;
    label.innerHTML = "";
    label.append(field.tagName === "INPUT" ? `Smell ${first}` : "To this dog");
  }
  smells.append(row);
  row.querySelector("input").focus();
});

// A second press while the first is answered would lose the page with the codes.
let sent = false;
document.getElementById("design").addEventListener("submit", (event) => {
  if (sent) event.preventDefault();
  sent = true;
});
addEventListener("pageshow", () => { sent = false; });
shown();
