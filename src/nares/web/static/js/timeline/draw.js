// The lanes drawn: what stands in full, the machine's own beside what a person changed, handles on the chosen.
import { LANE, LANES, SURE_ENOUGH, told } from "./lanes.js";

const SVG = "http://www.w3.org/2000/svg";
const STEPS_MS = [10, 20, 50, 100, 200, 500, 1000, 2000, 5000, 10000, 15000, 30000, 60000, 120000, 300000, 600000];

const node = (name, given, ...inside) => {
  const made = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(given)) made.setAttribute(key, value);
  made.append(...inside);
  return made;
};
const title = (text) => { const made = node("title", {}); made.textContent = text; return made; };

export class Drawing {
  constructor(view, sheet, choice) {
    Object.assign(this, { view, sheet, choice });
    this.svg = document.getElementById("lanes");
    this.axis = document.getElementById("axis");
    this.head = document.getElementById("playhead");
    this.names = document.getElementById("lane-names");
    this.tops = new Map();
    this.head.hidden = false;
    view.onDraw(() => this.all());
  }

  // A lane of doubts or losses is there only while there are any.
  lay() {
    const shown = LANES.filter(({ key }) => !["doubtful_marks", "lost", "reps"].includes(key) || this.of(key).length);
    let top = 0;
    this.tops = new Map(shown.map((lane) => { const at = top; top += lane.high; return [lane.key, at]; }));
    this.high = top;
    const said = shown.map(({ key }) => key).join();
    if (this.laid !== said) {
      this.laid = said;
      this.names.replaceChildren(...shown.map(({ key, name }) => {
        const made = document.createElement("p");
        made.className = "lane-name";
        made.textContent = name;
        made.style.top = `${this.tops.get(key)}px`;
        return made;
      }));
    }
    return shown;
  }

  of(key) {
    if (key === "reps") return this.sheet.reps.map((rep) => ({ ...rep, lane: "reps", event: `rep-${rep.rep}`, times_s: [rep.start_s, rep.end_s] }));
    if (key === "lost") return this.sheet.data.lost.map((span, n) => ({ lane: "lost", event: `lost-${n}`, times_s: [span.start_s, span.end_s], sure: span.sure, by: "", read_s: [] }));
    return this.sheet.events.filter((event) => event.lane === key);
  }

  laneAt(y) {
    for (const [key, top] of this.tops) if (y >= top && y < top + LANE[key].high) return key;
    return null;
  }

  all() {
    const shown = this.lay();
    const wide = this.view.pixels;
    this.svg.setAttribute("viewBox", `0 0 ${wide} ${this.high}`);
    this.svg.style.height = `${this.high}px`;
    this.svg.replaceChildren(...shown.map((lane) => this.lane(lane, wide)), ...this.pending());
    this.ticks();
    this.head.style.left = `${this.view.x(this.view.at)}px`;
  }

  lane({ key, high }, wide) {
    const top = this.tops.get(key);
    const ground = node("rect", { class: "ground", x: 0, y: top + 3, width: wide, height: high - 6 });
    const parts = [ground];
    for (const gone of this.sheet.removed.filter((event) => event.lane === key && event.read_s.length)) parts.push(this.outline(gone, top, high, "gone"));
    for (const event of this.of(key)) {
      if (!this.inSight(event.times_s)) continue;
      if (event.by && event.read_s.length) parts.push(this.outline(event, top, high, "read"));
      parts.push(this.event(event, top, high));
    }
    return node("g", { class: `lane lane-${key}` }, ...parts);
  }

  inSight(times) {
    const [start, end = start] = times.map((at) => at * 1000);
    return end >= this.view.from - 200 && start <= this.view.from + this.view.wide + 200;
  }

  event(event, top, high) {
    const chosen = this.choice.name === event.event;
    const times = (chosen && this.choice.preview) || event.times_s;
    const kinds = ["event", event.by && "set", event.sure < SURE_ENOUGH && "unsure", chosen && "chosen", event.state && event.state.replace(" ", "-"), event.look && "look"];
    const group = node("g", { class: kinds.filter(Boolean).join(" "), "data-event": event.event }, title(event.rep ? `Rep ${event.rep}: ${event.said}, ${event.state}` : told(event)));
    const [x0, x1] = this.edges(times);
    if (LANE[event.lane].point) group.append(...this.moment(x0, top, high, event));
    else group.append(node("rect", { x: x0, y: top + 6, width: Math.max(x1 - x0, 2), height: high - 12, rx: 3 }));
    if (event.rep && x1 - Math.max(x0, 46) > 18) { const number = node("text", { x: Math.max(x0, 46) + 6, y: top + high - 9 }); number.textContent = event.rep; group.append(number); }
    if (chosen && LANE[event.lane].edits) group.append(...this.handles(times, top, high));
    return group;
  }

  edges(times) { const [start, end = start] = times.map((at) => this.view.x(at * 1000)); return [start, end]; }

  moment(x, top, high, event) {
    const mid = top + high / 2;
    const size = event.lane === "doubtful_marks" ? 8 : 7;
    return [node("line", { x1: x, x2: x, y1: top + 5, y2: top + high - 5 }), node("path", { d: `M${x} ${mid - size}l${size} ${size}l-${size} ${size}l-${size} -${size}z` })];
  }

  // Where the machine had it: a broken outline low in the lane, beside what a person set.
  outline(event, top, high, kind) {
    const [x0, x1] = this.edges(event.read_s);
    const box = event.read_s.length === 1 ? { x: x0 - 4, width: 8 } : { x: x0, width: Math.max(x1 - x0, 2) };
    return node("rect", { class: `outline ${kind}`, ...box, y: top + high - 14, height: 10 });
  }

  handles(times, top, high) {
    return this.edges(times).slice(0, times.length).map((x, edge) => {
      const active = times.length === 1 || this.choice.edge === edge;
      return node("g", { class: `handle${active ? " active" : ""}` }, node("line", { x1: x, x2: x, y1: top, y2: top + high }), node("circle", { cx: x, cy: top + high / 2, r: active ? 10 : 7 }));
    });
  }

  pending() {
    const { open } = this.choice;
    if (!open || !this.tops.has(open.lane)) return [];
    const [x0, x1] = [this.view.x(open.start * 1000), this.view.x(this.view.at)].sort((a, b) => a - b);
    const top = this.tops.get(open.lane);
    return [node("rect", { class: `pending lane-${open.lane}`, x: x0, y: top + 6, width: Math.max(x1 - x0, 2), height: LANE[open.lane].high - 12 })];
  }

  ticks() {
    const step = STEPS_MS.find((ms) => (ms / this.view.wide) * this.view.pixels >= 74) ?? STEPS_MS.at(-1);
    const marks = [];
    for (let at = Math.ceil(this.view.from / step) * step; at <= this.view.from + this.view.wide; at += step) marks.push(at);
    this.axis.replaceChildren(...marks.filter((at) => this.view.x(at) < this.view.pixels - 40).map((at) => {
      const mark = document.createElement("span");
      mark.textContent = spoken(at, step);
      mark.style.left = `${this.view.x(at)}px`;
      return mark;
    }));
  }
}

function spoken(ms, step) {
  const seconds = ms / 1000;
  if (step < 1000) return `${seconds.toFixed(step < 100 ? 2 : 1)} s`;
  return seconds < 60 ? `${seconds.toFixed(0)} s` : `${Math.floor(seconds / 60)}:${String(Math.round(seconds % 60)).padStart(2, "0")}`;
}
