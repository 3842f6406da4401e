// Draws the plan into the drawing that came with the page. Sizes as in nares/web/lineups/drawing.py, which draws
// it without scripts; a test holds the two to the same figures.
import { counted } from "./plan.js";

const SVG = "http://www.w3.org/2000/svg";
const WIDE = 440;
const MARGIN = 22;
const FLOOR_DEEP_MOST = 440;
const BELOW = 34;
const BARS_M = [0.5, 1, 2, 5, 10, 20, 50];
const APART_M = 2.6;
const [VEHICLE_WIDE_M, VEHICLE_LONG_M] = [1.8, 4.4];
const NAME_LONGEST = 18;

const node = (name, given) => {
  const made = document.createElementNS(SVG, name);
  set(made, given);
  return made;
};
const set = (element, given) => { for (const [key, value] of Object.entries(given)) element.setAttribute(key, value); };
const round = (value, digits = 2) => Number(value.toFixed(digits));

export class Drawing {
  constructor(svg, plan) {
    Object.assign(this, { svg, plan, things: JSON.parse(svg.dataset.things) });
    this.spots = svg.querySelector(".spots");
    this.spots.replaceChildren();
    this.draw();
  }

  draw() {
    const { shape, width, depth, spots } = this.plan.now;
    this.scale = Math.min((WIDE - 2 * MARGIN) / width, FLOOR_DEEP_MOST / depth);
    const wide = width * this.scale;
    const deep = depth * this.scale;
    this.left = (WIDE - wide) / 2;
    set(this.svg, { viewBox: `0 0 ${WIDE} ${round(MARGIN + deep + BELOW)}`, "data-shape": shape });
    this.svg.setAttribute("class", `plan-draw shape-${shape}`);
    const box = { x: round(this.left), y: MARGIN, width: round(wide), height: round(deep) };
    for (const name of ["floor", "grid", "wall"]) set(this.svg.querySelector(`.${name}`), box);
    const scale = round(this.scale, 4);
    const metre = this.svg.querySelector(".metre");
    set(metre, { width: scale, height: scale, x: round(this.left), y: MARGIN });
    metre.firstElementChild.setAttribute("d", `M0 0H${scale}M0 0V${scale}`);
    const door = this.left + 0.06 * wide;
    this.svg.querySelector(".door").setAttribute("d", `M${round(door)} ${round(MARGIN + deep)}H${round(door + Math.min(this.scale, wide / 3))}`);
    this.bar(width, MARGIN + deep + 18);
    this.vehicles(shape, spots);
    const points = spots.map((spot) => this.within(spot).map((value) => round(value)).join(","));
    if (shape === "ring" && points.length) points.push(points[0]);
    this.svg.querySelector(".way").setAttribute("points", points.join(" "));
    this.marks(shape, spots);
  }

  at(spot) { return [this.left + spot.x * this.scale, MARGIN + spot.y * this.scale]; }

  // The same for one typed beyond the area: at its edge, so that it stays in sight.
  within({ x, y }) { return this.at({ x: clipped(x, this.plan.now.width), y: clipped(y, this.plan.now.depth) }); }

  // From units of the drawing to metres.
  metres(x, y) { return [(x - this.left) / this.scale, (y - MARGIN) / this.scale]; }

  bar(width, y) {
    const metres = BARS_M.filter((bar) => bar <= width / 3).at(-1) ?? BARS_M[0];
    const end = round(this.left + metres * this.scale);
    this.svg.querySelector(".bar path").setAttribute("d", `M${round(this.left)} ${round(y)}v-5v10v-5H${end}v-5v10`);
    const text = this.svg.querySelector(".bar text");
    set(text, { x: round(end + 8), y: round(y) });
    text.textContent = `${metres} m`;
  }

  vehicles(shape, spots) {
    const boxes = shape === "vehicles" ? clusters(spots).map((cluster) => around(cluster, this.plan.now)) : [];
    this.svg.querySelector(".vehicles").replaceChildren(...boxes.map(([x, y, wide, deep]) => {
      const [left, top] = this.at({ x, y });
      return node("rect", { x: round(left), y: round(top), width: round(wide * this.scale), height: round(deep * this.scale), rx: 9 });
    }));
  }

  marks(shape, spots) {
    while (this.spots.childElementCount > spots.length) this.spots.lastElementChild.remove();
    while (this.spots.childElementCount < spots.length) this.spots.append(mark());
    const [wide, deep, rounding] = this.things[shape];
    spots.forEach((spot, at) => {
      const made = this.spots.children[at];
      const out = spot.x < 0 || spot.y < 0 || spot.x > this.plan.now.width || spot.y > this.plan.now.depth;
      const [x, y] = this.within(spot);
      const chosen = at === this.plan.chosen;
      made.setAttribute("class", `spot${chosen ? " chosen" : ""}${out ? " outside" : ""}`);
      set(made, { transform: `translate(${round(x)} ${round(y)})`, "data-position": at + 1, "aria-pressed": chosen });
      made.setAttribute("aria-label", `Position ${at + 1}${counted(spot.name, at + 1) ? "" : `, ${spot.name}`}: ${spoken(spot)}${out ? ", outside the area" : ""}`);
      set(made.querySelector(".thing"), { x: -wide / 2, y: -deep / 2, width: wide, height: deep, rx: rounding });
      made.querySelector(".number").textContent = at + 1;
      const name = made.querySelector(".name");
      set(name, { y: deep / 2 + 13 });
      name.textContent = counted(spot.name, at + 1) ? "" : shortened(spot.name);
    });
  }
}

export const spoken = (spot) => `${spot.x.toFixed(1)} m across, ${spot.y.toFixed(1)} m down`;
const clipped = (value, most) => Math.min(Math.max(value, 0), most);
const shortened = (name) => (name.length > NAME_LONGEST ? `${name.slice(0, NAME_LONGEST - 1)}…` : name);

function mark() {
  const number = node("text", { class: "number", y: 6 });
  const parts = [node("circle", { class: "hit", r: 31 }), node("rect", { class: "thing" }), number, node("text", { class: "name" })];
  const made = node("g", { tabindex: 0, role: "button", "aria-describedby": "plan-how" });
  made.append(...parts);
  return made;
}

function clusters(spots) {
  let found = [];
  for (const spot of spots) {
    const near = found.filter((one) => one.some((other) => Math.hypot(spot.x - other.x, spot.y - other.y) < APART_M));
    found = found.filter((one) => !near.includes(one));
    found.push([spot, ...near.flat()]);
  }
  return found;
}

function around(cluster, { width, depth }) {
  const [xs, ys] = [cluster.map((spot) => spot.x), cluster.map((spot) => spot.y)];
  const [left, right, top, foot] = [Math.min(...xs), Math.max(...xs), Math.min(...ys), Math.max(...ys)];
  const [wide, deep] = [Math.max(right - left, VEHICLE_WIDE_M), Math.max(foot - top, VEHICLE_LONG_M)];
  const [middle, down] = [(left + right) / 2, (top + foot) / 2];
  const [x, y] = [Math.max(middle - wide / 2, 0), Math.max(down - deep / 2, 0)];
  return [x, y, Math.min(middle + wide / 2, width) - x, Math.min(down + deep / 2, depth) - y];
}
