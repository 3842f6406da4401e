// Fingers, mouse and keys on the plan: drag a position, or move the chosen one by arrow keys.
import { STEP_M } from "./plan.js";

const NEAR_PX = 26;
const STILL_PX = 4;
const ARROWS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };

export class Touch {
  constructor(svg, plan, drawing, tell) {
    Object.assign(this, { svg, plan, drawing, tell, held: null });
    svg.addEventListener("pointerdown", (event) => this.down(event));
    svg.addEventListener("pointermove", (event) => this.on(event));
    svg.addEventListener("pointerup", (event) => this.up(event));
    svg.addEventListener("pointercancel", () => { this.held = null; });
    // A finger on a position moves it; anywhere else it moves the page.
    svg.addEventListener("touchstart", (event) => { if (this.near(event.touches[0]) >= 0) event.preventDefault(); }, { passive: false });
    // Listened to on the stage: a drawing that listens for focus takes a tab stop of its own.
    const stage = svg.parentElement;
    stage.addEventListener("focusin", (event) => { const mark = event.target.closest(".spot"); if (mark) plan.choose(Number(mark.dataset.position) - 1); });
    stage.addEventListener("focusout", () => plan.rest());
    svg.addEventListener("keydown", (event) => this.key(event));
  }

  // Where a pointer is, in units of the drawing, and how many pixels a unit has.
  place(pointer) {
    const matrix = this.svg.getScreenCTM();
    const at = new DOMPoint(pointer.clientX, pointer.clientY).matrixTransform(matrix.inverse());
    return [at.x, at.y, matrix.a];
  }

  // The nearest position within a thumb's reach; -1: none.
  near(pointer) {
    const [x, y, pixels] = this.place(pointer);
    const apart = this.plan.spots.map((spot) => { const [left, top] = this.drawing.at(spot); return Math.hypot(left - x, top - y) * pixels; });
    const nearest = apart.indexOf(Math.min(...apart));
    return apart[nearest] <= NEAR_PX ? nearest : -1;
  }

  down(event) {
    if (event.button !== 0 || this.held) return;
    const index = this.near(event);
    if (index < 0) return;
    event.preventDefault();
    this.svg.setPointerCapture(event.pointerId);
    this.plan.choose(index);
    this.svg.querySelector(`.spot[data-position="${index + 1}"]`).focus({ preventScroll: true });
    const [x, y] = this.place(event);
    const [left, top] = this.drawing.at(this.plan.spots[index]);
    this.plan.rest();
    this.held = { index, pointer: event.pointerId, from: [event.clientX, event.clientY], off: [left - x, top - y], moved: false };
  }

  on(event) {
    const { held } = this;
    if (!held || event.pointerId !== held.pointer) return;
    if (Math.hypot(event.clientX - held.from[0], event.clientY - held.from[1]) > STILL_PX) held.moved = true;
    if (!held.moved) return;
    const [x, y] = this.place(event);
    const [across, down] = this.drawing.metres(x + held.off[0], y + held.off[1]);
    this.plan.move(held.index, across, down, `drag-${held.index}`);
  }

  up(event) {
    if (!this.held || event.pointerId !== this.held.pointer) return;
    this.held = null;
    this.plan.rest();
    this.tell();
  }

  key(event) {
    if ((event.ctrlKey || event.metaKey) && event.key.toLowerCase() === "z") { event.preventDefault(); this.plan.undo(); this.tell(); return; }
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const { chosen, spots } = this.plan;
    if (event.key === "Delete") { event.preventDefault(); document.getElementById("plan-remove").click(); return; }
    const way = ARROWS[event.key];
    if (!way || !spots[chosen]) return;
    event.preventDefault();
    const by = event.shiftKey ? 1 : STEP_M;
    const { x, y } = spots[chosen];
    this.plan.move(chosen, x + way[0] * by, y + way[1] * by, `keys-${chosen}`);
    this.tell();
  }
}
