// The sound in two pictures on the same time as the lanes: its outline, and which pitches it holds.
const inked = (canvas) => {
  const high = canvas.clientHeight;
  const dots = Math.min(devicePixelRatio || 1, 2);
  const wide = canvas.clientWidth;
  canvas.width = Math.round(wide * dots);
  canvas.height = high * dots;
  const pen = canvas.getContext("2d");
  pen.scale(dots, dots);
  return { pen, wide, high, dots };
};

export class Sound {
  constructor(view, sha256) {
    Object.assign(this, { view, sha256, peaks: null, info: null, tiles: new Map() });
    this.wave = document.getElementById("wave");
    this.pitch = document.getElementById("pitch");
    view.onDraw(() => { this.outline(); this.pitches(); });
    this.load("peaks.json", "wave-name", "Sound: no outline").then((peaks) => { this.peaks = peaks; view.draw(); });
    this.load("spectrogram.json", "pitch-name", "Frequencies: no picture").then((info) => { this.info = info; this.scale(); view.draw(); });
  }

  async load(name, label, missing) {
    try {
      const answer = await fetch(`/media/${this.sha256}/${name}`);
      if (answer.ok) return await answer.json();
    } catch { /* said below */ }
    document.getElementById(label).textContent = missing;
    return null;
  }

  outline() {
    const { pen, wide, high, dots } = inked(this.wave);
    if (!this.peaks) return;
    pen.fillStyle = getComputedStyle(this.wave).getPropertyValue("--wave");
    const { rate_hz: rate, peaks } = this.peaks;
    const per = this.view.wide / wide / 1000;
    for (let x = 0; x < wide; x += 1 / dots) {
      const first = Math.floor((this.view.from / 1000 + x * per) * rate);
      const last = Math.max(first + 1, Math.floor((this.view.from / 1000 + (x + 1 / dots) * per) * rate));
      let most = 0;
      for (let i = first; i < last && i < peaks.length; i += 1) most = Math.max(most, peaks[i]);
      const tall = Math.max(Math.sqrt(most) * (high - 6), 1);
      pen.fillRect(x, (high - tall) / 2, 1 / dots, tall);
    }
  }

  // Tiles hold levels as transparency; the ink is the theme's.
  pitches() {
    const { pen, wide, high } = inked(this.pitch);
    if (!this.info?.tiles) return;
    const { tile_s: long, tiles } = this.info;
    const first = Math.floor(this.view.from / 1000 / long);
    const last = Math.min(Math.floor((this.view.from + this.view.wide) / 1000 / long), tiles - 1);
    for (let n = first; n <= last; n += 1) {
      const tile = this.tile(n);
      if (!tile.complete || !tile.naturalWidth) continue;
      const left = this.view.x(n * long * 1000);
      const span = (tile.naturalWidth / this.info.columns_per_s) * 1000;
      pen.drawImage(tile, left, 0, (span / this.view.wide) * wide, high);
    }
    pen.globalCompositeOperation = "source-in";
    pen.fillStyle = getComputedStyle(this.pitch).getPropertyValue("--pitch");
    pen.fillRect(0, 0, wide, high);
  }

  tile(n) {
    if (!this.tiles.has(n)) {
      const image = new Image();
      image.addEventListener("load", () => this.view.draw());
      image.src = `/media/${this.sha256}/spectrogram/${n}.png`;
      this.tiles.set(n, image);
    }
    return this.tiles.get(n);
  }

  scale() {
    if (!this.info?.tiles) return;
    const top = this.info.top_hz / 1000;
    document.getElementById("pitch-scale").replaceChildren(...[top, top / 2].map((khz) => {
      const mark = document.createElement("span");
      mark.textContent = `${khz} kHz`;
      return mark;
    }));
  }
}
