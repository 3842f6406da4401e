// Which stretch of time is shown, and where a moment lies on the screen. Times in milliseconds.
const SHORTEST_MS = 200;

export class View {
  constructor(stage, whole) {
    this.stage = stage;
    this.whole = Math.max(whole, 1000);
    this.from = 0;
    this.wide = Math.min(this.whole, Math.max(8000, stage.clientWidth * 14));
    this.at = 0;
    this.painters = [];
    this.asked = false;
    new ResizeObserver(() => this.draw()).observe(stage);
    document.addEventListener("themechange", () => this.draw());
  }

  onDraw(painter) { this.painters.push(painter); }

  draw() {
    if (this.asked) return;
    this.asked = true;
    requestAnimationFrame(() => { this.asked = false; this.painters.forEach((painter) => painter()); });
  }

  get pixels() { return this.stage.clientWidth; }

  x(ms) { return ((ms - this.from) / this.wide) * this.pixels; }

  moment(clientX) {
    const box = this.stage.getBoundingClientRect();
    return this.clip(this.from + ((clientX - box.left) / box.width) * this.wide);
  }

  clip(ms) { return Math.min(Math.max(ms, 0), this.whole); }

  window(from, wide) {
    this.wide = Math.min(Math.max(wide, SHORTEST_MS), this.whole);
    this.from = Math.min(Math.max(from, 0), this.whole - this.wide);
    this.draw();
  }

  zoom(factor, about = this.at) {
    const place = Math.min(Math.max((about - this.from) / this.wide, 0), 1);
    const wide = Math.min(Math.max(this.wide * factor, SHORTEST_MS), this.whole);
    this.window(about - place * wide, wide);
  }

  pan(pixels) { this.window(this.from - (pixels / this.pixels) * this.wide, this.wide); }

  // Bring a stretch into sight with room around it; `close` also comes nearer where it is a smear.
  bring(start, end, close = false) {
    const room = Math.max((end - start) * 0.5, 900);
    const fits = end - start + 2 * room;
    if (close || fits > this.wide) this.window((start + end - fits) / 2, fits);
    else if (start < this.from + 0.06 * this.wide || end > this.from + 0.94 * this.wide) this.window((start + end - this.wide) / 2, this.wide);
    else this.draw();
  }

  follow(at) {
    this.at = at * 1000;
    const past = (this.at - this.from) / this.wide;
    if (this.wide < this.whole && (past < 0 || past > 1)) this.window(this.at - 0.15 * this.wide, this.wide);
    else this.draw();
  }
}
