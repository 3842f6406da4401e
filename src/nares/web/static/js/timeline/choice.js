// What is chosen: an event, which of its edges is worked on, and a stretch that was begun but not ended.
import { LANE } from "./lanes.js";

export class Choice {
  constructor(sheet) {
    Object.assign(this, { sheet, name: null, edge: 0, open: null, looking: false, listeners: [] });
    sheet.onChange(() => { if (this.name && !this.event && !this.name.startsWith("rep-") && !this.name.startsWith("lost-")) this.none(); });
  }

  onChange(listener) { this.listeners.push(listener); }

  get event() { return this.name ? this.sheet.event(this.name) : undefined; }

  get rep() { return this.name?.startsWith("rep-") ? this.sheet.reps.find((rep) => `rep-${rep.rep}` === this.name) : undefined; }

  pick(name, { edge = 0, looking = false } = {}) {
    Object.assign(this, { name, edge, looking });
    this.tell();
  }

  none() { this.pick(null); }

  turn() {
    if (!this.event || LANE[this.event.lane].point) return;
    this.edge = 1 - this.edge;
    this.tell();
  }

  // The time being worked on. [s]
  get at() { return this.event ? this.event.times_s[Math.min(this.edge, this.event.times_s.length - 1)] : null; }

  tell() { this.listeners.forEach((listener) => listener()); }
}
