// The film with controls made for thumbs: frame by frame, second by second, slow, one rep in a loop.
export class Player {
  constructor(root) {
    this.film = root.querySelector("#film");
    this.rate = Number(root.dataset.rate) || 0;
    this.span = null;
    this.looping = false;
    this.listeners = [];
    this.controls(root);
    this.film.addEventListener("error", () => { root.querySelector("#film-fault").hidden = false; });
    this.follow();
  }

  controls(root) {
    const press = (id, deed) => root.querySelector(id).addEventListener("click", deed);
    press("#play", () => this.toggle());
    press("#frame-back", () => this.frames(-1));
    press("#frame-on", () => this.frames(1));
    press("#second-back", () => this.by(-1));
    press("#second-on", () => this.by(1));
    press("#loop", () => this.loop(!this.looping));
    root.querySelectorAll("[data-speed]").forEach((key) => key.addEventListener("click", () => this.speed(Number(key.dataset.speed))));
    root.querySelector("#controls").hidden = false;
    this.film.controls = false;
    this.film.addEventListener("click", () => this.toggle());
    const play = root.querySelector("#play");
    const name = () => { play.textContent = this.film.paused ? "Play" : "Pause"; };
    for (const kind of ["play", "pause", "ended"]) this.film.addEventListener(kind, name);
    this.root = root;
  }

  get at() { return this.film.currentTime; }

  get length() { return Number.isFinite(this.film.duration) ? this.film.duration : 0; }

  toggle() { if (this.film.paused) this.film.play().catch(() => {}); else this.film.pause(); }

  seek(at) {
    const end = this.length || at;
    this.film.currentTime = Math.min(Math.max(at, 0), end);
    this.tell();
  }

  by(step) { this.seek(this.at + step); }

  // Aim at the middle of a frame: a time on the border may show either neighbour.
  frames(step) {
    if (!this.rate) return this.by(step * 0.04);
    this.film.pause();
    const now = Math.floor(this.at * this.rate + 1e-3);
    return this.seek((now + step + 0.5) / this.rate);
  }

  speed(value) {
    this.film.playbackRate = value;
    this.root.querySelectorAll("[data-speed]").forEach((key) => key.setAttribute("aria-pressed", String(Number(key.dataset.speed) === value)));
  }

  loop(on) {
    this.looping = on && this.span !== null;
    this.root.querySelector("#loop").setAttribute("aria-pressed", String(this.looping));
    if (this.looping) { this.seek(this.span[0]); this.film.play().catch(() => {}); }
  }

  // The stretch to loop: the rep with a little before and after.
  show(start, end) {
    this.span = [Math.max(start - 0.6, 0), end + 0.6];
    if (this.at < this.span[0] || this.at > this.span[1] || this.looping) this.seek(this.span[0]);
  }

  onTime(listener) { this.listeners.push(listener); }

  tell() { this.listeners.forEach((listener) => listener(this.at)); }

  follow() {
    const clock = this.root.querySelector("#clock");
    let shown = -1;
    const step = () => {
      if (this.looping && this.at > this.span[1]) this.film.currentTime = this.span[0];
      if (this.at !== shown) {
        shown = this.at;
        clock.textContent = shown.toFixed(2);
        this.tell();
      }
      requestAnimationFrame(step);
    };
    requestAnimationFrame(step);
  }
}
