// Mouse and fingers on the stage: a tap chooses what lies there or moves the playhead, dragging a handle moves
// an edge, dragging elsewhere moves along, two fingers or ctrl and wheel come closer.
import { LANE } from "./lanes.js";

const NEAR_PX = 24;
const STILL_PX = 5;
const FINE = 0.2;

export class Touch {
  constructor({ view, drawing, sheet, choice, deeds }) {
    Object.assign(this, { view, drawing, sheet, choice, deeds, fingers: new Map(), drag: null, spread: 0 });
    const { stage } = view;
    stage.addEventListener("pointerdown", (event) => this.down(event));
    stage.addEventListener("pointermove", (event) => this.on(event));
    stage.addEventListener("pointerup", (event) => this.up(event));
    stage.addEventListener("pointercancel", (event) => { this.fingers.delete(event.pointerId); this.let(); });
    stage.addEventListener("wheel", (event) => this.wheel(event), { passive: false });
  }

  laneOf(event) { return this.drawing.laneAt(event.clientY - this.drawing.svg.getBoundingClientRect().top); }

  down(event) {
    this.fingers.set(event.pointerId, event.clientX);
    this.view.stage.setPointerCapture(event.pointerId);
    if (this.fingers.size === 2) { this.let(); this.spread = this.apart(); return; }
    const lane = this.laneOf(event);
    const edge = lane && lane === this.choice.event?.lane ? this.handleAt(event.clientX) : -1;
    const { event: chosen } = this.choice;
    this.drag = { x: event.clientX, last: event.clientX, lane, moved: false, edge, times: edge >= 0 ? [...chosen.times_s] : null };
    if (edge >= 0) { this.choice.pick(chosen.event, { edge, looking: this.choice.looking }); return; }
    if (!lane) { this.drag.scrub = true; this.deeds.seek(this.view.moment(event.clientX)); }
  }

  // The nearest handle of the chosen event, as generous as a thumb.
  handleAt(clientX) {
    const left = this.view.stage.getBoundingClientRect().left;
    const apart = this.choice.event.times_s.map((at) => Math.abs(this.view.x(at * 1000) + left - clientX));
    const nearest = apart.indexOf(Math.min(...apart));
    return apart[nearest] <= NEAR_PX ? nearest : -1;
  }

  on(event) {
    if (!this.fingers.has(event.pointerId)) return;
    this.fingers.set(event.pointerId, event.clientX);
    if (this.fingers.size === 2) { this.pinch(); return; }
    const { drag } = this;
    if (!drag) return;
    if (Math.abs(event.clientX - drag.x) > STILL_PX) drag.moved = true;
    if (!drag.moved) return;
    if (drag.times) this.stretch(event.clientX - drag.x);
    else if (drag.scrub) this.deeds.seek(this.view.moment(event.clientX));
    else this.view.pan(event.clientX - drag.last);
    drag.last = event.clientX;
  }

  stretch(pixels) {
    const { drag, view, choice } = this;
    const by = (pixels / view.pixels) * view.wide * (choice.fine ? FINE : 1);
    const times = [...drag.times];
    times[drag.edge] = view.clip(times[drag.edge] * 1000 + by) / 1000;
    if (times.length === 2 && times[1] - times[0] < 0.02) times[drag.edge] = drag.edge ? times[0] + 0.02 : times[1] - 0.02;
    drag.now = times;
    choice.preview = times;
    this.deeds.show(times[drag.edge]);
  }

  up(event) {
    this.fingers.delete(event.pointerId);
    const { drag } = this;
    if (drag?.now) this.deeds.place(drag.now);
    else if (drag && !drag.moved && !drag.scrub && drag.edge < 0) this.tap(event.clientX, drag.lane);
    this.let();
  }

  let() { this.drag = null; this.choice.preview = null; this.view.draw(); }

  tap(clientX, lane) {
    const at = this.view.moment(clientX) / 1000;
    const slack = ((NEAR_PX / this.view.pixels) * this.view.wide) / 1000;
    const far = ({ times_s: [start, end = start] }) => Math.max(start - at, at - end, 0) + (end - start) * 1e-6;
    const near = this.drawing.of(lane).filter((event) => far(event) <= slack).sort((a, b) => far(a) - far(b))[0];
    if (near) this.deeds.choose(near, at);
    else { this.choice.none(); this.deeds.seek(at * 1000); }
  }

  apart() { const [a, b] = [...this.fingers.values()]; return Math.abs(a - b); }

  pinch() {
    const now = this.apart();
    const [a, b] = [...this.fingers.values()];
    if (now > 10 && this.spread > 10) this.view.zoom(this.spread / now, this.view.moment((a + b) / 2));
    this.spread = now;
  }

  wheel(event) {
    if (event.ctrlKey) { event.preventDefault(); this.view.zoom(event.deltaY > 0 ? 1.25 : 0.8, this.view.moment(event.clientX)); }
    else if (event.shiftKey || Math.abs(event.deltaX) > Math.abs(event.deltaY)) { event.preventDefault(); this.view.pan(-(event.deltaX || event.deltaY)); }
  }
}
