// The plan being drawn: where the positions stand, which one is chosen, and how to take a step back.
const UNDO_MOST = 200;
export const STEP_M = 0.1;
// Whether a name only counts: "3", "box 3".
export const counted = (name, position) => name === String(position) || name.endsWith(` ${position}`);
export const snapped = (value) => Math.round(value / STEP_M) / (1 / STEP_M);
const kept = (value, most) => Math.min(Math.max(snapped(value), 0), Math.floor(most / STEP_M + 1e-9) / (1 / STEP_M));

export class Plan {
  constructor(state) {
    Object.assign(this, { now: state, chosen: 0, before: [], last: "", heard: [] });
  }

  onChange(listener) { this.heard.push(listener); }

  tell(what) { for (const listener of this.heard) listener(what); }

  get spots() { return this.now.spots; }

  // One change, one step back; changes under the same name that follow each other are one step.
  change(name, made) {
    if (!name || name !== this.last) {
      this.before.push(structuredClone(this.now));
      if (this.before.length > UNDO_MOST) this.before.shift();
    }
    this.last = name;
    this.now = { ...this.now, ...made };
    this.chosen = Math.min(this.chosen, this.spots.length - 1);
    this.tell("plan");
  }

  // The next change under any name is a step of its own.
  rest() { this.last = ""; }

  undo() {
    const state = this.before.pop();
    if (!state) return false;
    this.rest();
    this.now = state;
    this.chosen = Math.max(0, Math.min(this.chosen, this.spots.length - 1));
    this.tell("plan");
    return true;
  }

  choose(index) {
    if (index === this.chosen) return;
    this.chosen = index;
    this.rest();
    this.tell("choice");
  }

  set(index, values, name) {
    const spots = this.spots.map((spot, at) => (at === index ? { ...spot, ...values } : spot));
    this.change(name, { spots, moved: true });
  }

  move(index, x, y, name) { this.set(index, { x: kept(x, this.now.width), y: kept(y, this.now.depth) }, name); }

  add(most) {
    if (this.spots.length >= most) return false;
    const { width, depth, spots } = this.now;
    const [x, y] = roomiest(spots, width, depth);
    const word = counted(spots[0].name, 1) ? spots[0].name.slice(0, -1) : "";
    const taken = new Set(spots.map((spot) => spot.name));
    let number = spots.length + 1;
    while (taken.has(word + number)) number += 1;
    const spot = { name: word + number, x: kept(x, width), y: kept(y, depth), tested: false };
    this.chosen = spots.length;
    this.change("", { spots: [...spots, spot], moved: true });
    return true;
  }

  remove(index) {
    if (this.spots.length <= 2) return false;
    // A name that only counts follows the number.
    const spots = this.spots.filter((_, at) => at !== index).map((spot, at) => {
      const old = at < index ? at : at + 1;
      const own = !counted(spot.name, old + 1);
      return own ? spot : { ...spot, name: spot.name.slice(0, -String(old + 1).length) + (at + 1) };
    });
    this.change("", { spots, moved: true });
    return true;
  }
}

// The place on a half-metre raster that is farthest from every position and from the walls.
function roomiest(spots, width, depth) {
  const step = Math.max(0.5, width / 40, depth / 40);
  let best = [width / 2, depth / 2, -1];
  for (let x = step; x < width; x += step) {
    for (let y = step; y < depth; y += step) {
      const walls = Math.min(x, y, width - x, depth - y) * 2;
      const room = Math.min(walls, ...spots.map((spot) => Math.hypot(spot.x - x, spot.y - y)));
      if (room > best[2] + 1e-9) best = [x, y, room];
    }
  }
  return best;
}
