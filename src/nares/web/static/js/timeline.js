// The lanes in time: zoom, playhead, seeking by tap and drag, reading one event, the waveform.
// The drawing's own unit is the millisecond, so the window shown is nothing but its viewBox.
const SHORTEST_MS = 1500;
const MS_PER_PIXEL = 70;
const STEPS_MS = [100, 200, 500, 1000, 2000, 5000, 10000, 15000, 30000, 60000, 120000, 300000, 600000];

export class Timeline {
  constructor(seek) {
    this.seek = seek;
    this.stage = document.getElementById("stage");
    this.svg = document.getElementById("lanes");
    this.head = document.getElementById("playhead");
    this.axis = document.getElementById("axis");
    this.wave = document.getElementById("wave");
    this.whole = Number(this.stage.dataset.duration);
    this.height = this.svg.viewBox.baseVal.height;
    this.from = 0;
    this.wide = this.whole;
    this.at = 0;
    this.peaks = null;
    this.read = -1;
    this.touch();
    this.buttons();
    new ResizeObserver(() => this.draw()).observe(this.stage);
    document.addEventListener("themechange", () => this.draw());
    this.head.hidden = false;
    // On a narrow screen a whole session is a smear: start with what can be told apart, around the rep.
    if (this.stage.clientWidth < 500) this.wide = Math.min(this.whole, this.stage.clientWidth * MS_PER_PIXEL);
  }

  buttons() {
    const press = (id, deed) => document.getElementById(id).addEventListener("click", deed);
    press("zoom-in", () => this.zoom(0.5));
    press("zoom-out", () => this.zoom(2));
    press("zoom-all", () => this.window(0, this.whole));
    press("event-back", () => this.step(-1));
    press("event-on", () => this.step(1));
    document.getElementById("zooms").hidden = false;
  }

  async load(sha256) {
    try {
      const answer = await fetch(`/media/${sha256}/peaks.json`);
      if (!answer.ok) throw new Error(String(answer.status));
      this.peaks = await answer.json();
    } catch {
      document.getElementById("wave-name").textContent = "Sound (no waveform)";
    }
    this.draw();
  }

  window(from, wide) {
    this.wide = Math.min(Math.max(wide, Math.min(SHORTEST_MS, this.whole)), this.whole);
    this.from = Math.min(Math.max(from, 0), this.whole - this.wide);
    this.draw();
  }

  // Zoom about the playhead, or about a given moment that then stays under the finger.
  zoom(factor, about = this.at) {
    const place = Math.min(Math.max((about - this.from) / this.wide, 0), 1);
    const wide = Math.min(Math.max(this.wide * factor, SHORTEST_MS), this.whole);
    this.window(about - place * wide, wide);
  }

  moment(x) {
    const box = this.stage.getBoundingClientRect();
    return this.from + ((x - box.left) / box.width) * this.wide;
  }

  touch() {
    const fingers = new Map();
    let spread = 0;
    const apart = () => { const [a, b] = [...fingers.values()]; return Math.abs(a.x - b.x); };
    const middle = () => { const [a, b] = [...fingers.values()]; return this.moment((a.x + b.x) / 2); };
    this.stage.addEventListener("pointerdown", (event) => {
      fingers.set(event.pointerId, { x: event.clientX });
      this.stage.setPointerCapture(event.pointerId);
      if (fingers.size === 2) { spread = apart(); return; }
      this.go(event.clientX);
      this.tell(this.under(event));
    });
    this.stage.addEventListener("pointermove", (event) => {
      if (!fingers.has(event.pointerId)) return;
      fingers.set(event.pointerId, { x: event.clientX });
      if (fingers.size === 2) {
        const now = apart();
        if (now > 10 && spread > 10) this.zoom(spread / now, middle());
        spread = now;
      } else this.go(event.clientX);
    });
    for (const end of ["pointerup", "pointercancel"]) this.stage.addEventListener(end, (event) => fingers.delete(event.pointerId));
    this.stage.addEventListener("wheel", (event) => {
      if (event.ctrlKey) { event.preventDefault(); this.zoom(event.deltaY > 0 ? 1.25 : 0.8, this.moment(event.clientX)); }
      else if (event.shiftKey || Math.abs(event.deltaX) > Math.abs(event.deltaY)) {
        event.preventDefault();
        this.window(this.from + ((event.deltaX || event.deltaY) / 800) * this.wide, this.wide);
      }
    }, { passive: false });
  }

  go(x) { this.seek(Math.min(Math.max(this.moment(x), 0), this.whole) / 1000); }

  under(event) {
    const hits = document.elementsFromPoint(event.clientX, event.clientY);
    return hits.find((element) => element.classList?.contains("event")) ?? null;
  }

  events() {
    return [...this.svg.querySelectorAll(".event")].sort((a, b) => a.x.baseVal.value - b.x.baseVal.value);
  }

  step(way) {
    const all = this.events();
    if (!all.length) return;
    const here = all.findIndex((event) => event.classList.contains("read"));
    const near = way > 0
      ? all.findIndex((event) => event.x.baseVal.value > this.at + 1)
      : all.findLastIndex((event) => event.x.baseVal.value < this.at - 1);
    const next = here >= 0 ? here + way : near;
    const event = all[Math.min(Math.max(next, 0), all.length - 1)];
    this.seek(event.x.baseVal.value / 1000);
    this.tell(event);
  }

  tell(event) {
    this.svg.querySelectorAll(".read").forEach((old) => old.classList.remove("read"));
    if (!event) return;
    event.classList.add("read");
    document.getElementById("readout").textContent = event.querySelector("title").textContent;
    if (event.dataset.rep) this.stage.dispatchEvent(new CustomEvent("rep", { detail: Number(event.dataset.rep) }));
  }

  time(at) {
    this.at = at * 1000;
    const past = (this.at - this.from) / this.wide;
    if (this.wide < this.whole && (past < 0 || past > 0.92)) this.window(this.at - 0.15 * this.wide, this.wide);
    this.place();
  }

  // Bring a rep into sight if it is not, without changing how close one looks.
  bring(start, end) {
    if (start * 1000 < this.from || end * 1000 > this.from + this.wide) this.window(start * 1000 - 0.2 * this.wide, this.wide);
  }

  choose(rep) {
    for (const event of this.svg.querySelectorAll(".lane-reps .event")) event.classList.toggle("chosen", Number(event.dataset.rep) === rep);
    this.numbers();
  }

  draw() {
    this.svg.setAttribute("viewBox", `${this.from} 0 ${this.wide} ${this.height}`);
    this.place();
    this.ticks();
    this.numbers();
    this.sound();
  }

  x(ms) { return ((ms - this.from) / this.wide) * this.stage.clientWidth; }

  place() { this.head.style.transform = `translateX(${this.x(this.at)}px)`; }

  ticks() {
    const room = this.stage.clientWidth / 72;
    const step = STEPS_MS.find((size) => this.wide / size <= room) ?? STEPS_MS.at(-1);
    const marks = [];
    for (let at = Math.ceil(this.from / step) * step; at <= this.from + this.wide; at += step) marks.push(at);
    this.axis.replaceChildren(...marks.filter((at) => this.x(at) < this.stage.clientWidth - 36).map((at) => {
      const mark = document.createElement("span");
      mark.textContent = said(at, step);
      mark.style.left = `${this.x(at)}px`;
      return mark;
    }));
  }

  // A rep's number stands in its bar where there is room, else above it.
  numbers() {
    const end = this.stage.clientWidth - 16;
    let free = 54; // the lane's own name stands left of here
    const shown = [];
    for (const event of this.svg.querySelectorAll(".lane-reps .event")) {
      const x = this.x(event.x.baseVal.value);
      const wide = this.x(event.x.baseVal.value + event.width.baseVal.value) - x;
      const inside = wide >= 24;
      const left = inside ? Math.max(x, 0) + 4 : x;
      if (left > end || x + wide < 24 || (!inside && left < free)) continue;
      const number = document.createElement("span");
      number.textContent = event.dataset.rep;
      number.style.left = `${left}px`;
      number.classList.toggle("inside", inside);
      number.classList.toggle("solid", inside && event.matches(".confirmed, .corrected"));
      shown.push(number);
      if (!inside) free = left + 20;
    }
    document.getElementById("rep-numbers").replaceChildren(...shown);
  }

  sound() {
    const wide = this.stage.clientWidth;
    const high = 72;
    const dots = Math.min(window.devicePixelRatio || 1, 2);
    this.wave.width = Math.round(wide * dots);
    this.wave.height = high * dots;
    const pen = this.wave.getContext("2d");
    pen.scale(dots, dots);
    pen.fillStyle = getComputedStyle(this.wave).getPropertyValue("--wave");
    if (!this.peaks) return;
    const { rate_hz: rate, peaks } = this.peaks;
    const step = Math.max(1, 1 / dots);
    for (let x = 0; x < wide; x += step) {
      const first = Math.floor(((this.from + (x / wide) * this.wide) / 1000) * rate);
      const last = Math.max(first + 1, Math.floor(((this.from + ((x + step) / wide) * this.wide) / 1000) * rate));
      let most = 0;
      for (let i = first; i < last && i < peaks.length; i += 1) most = Math.max(most, Math.abs(peaks[i]));
      const tall = Math.max(Math.sqrt(most) * (high - 8), 1);
      pen.fillRect(x, (high - tall) / 2, step, tall);
    }
  }
}

function said(ms, step) {
  const seconds = ms / 1000;
  if (step < 1000) return `${seconds.toFixed(1)} s`;
  if (seconds < 60) return `${seconds.toFixed(0)} s`;
  return `${Math.floor(seconds / 60)}:${String(Math.round(seconds % 60)).padStart(2, "0")}`;
}
