// What a person can do on the timeline, whichever way it was asked for: key, button, mouse or finger.
import { LANE, clock, told } from "./lanes.js";

const EDGE_S = 0.02;

export class Deeds {
  constructor({ view, sheet, choice, looks, player, say }) {
    Object.assign(this, { view, sheet, choice, looks, player, say, unit: "frame", before: null });
  }

  get at() { return this.player ? this.player.at : this.view.at / 1000; }

  get step() { return { frame: 1 / (this.player?.rate || 25), ten: 0.01, one: 0.001 }[this.unit]; }

  seek(ms) { if (this.player) this.player.seek(ms / 1000); else this.view.follow(ms / 1000); }

  // A frame is shown from its stamp on: aim a little inside it, so that the picture is that of the edge.
  show(at) { this.player?.film.pause(); this.seek(at * 1000 + 0.5); this.view.draw(); }

  choose(event, at = null, how = {}) {
    const [start, end = start] = event.times_s;
    const edge = at === null || end === start ? 0 : Number(Math.abs(at - end) < Math.abs(at - start));
    this.choice.pick(event.event, { edge, ...how });
    this.view.bring(start * 1000, end * 1000, how.looking);
    this.show(edge ? end : start);
    this.say(event.rep ? `Rep ${event.rep}: ${event.said}. ${event.look}` : `${told(event)}.`);
  }

  // Changes of what is chosen

  place(times, more = false) {
    const { event } = this.choice;
    if (!event || times.every((at, i) => at === event.times_s[i])) return;
    this.sheet.move(event, times, { more });
    this.show(this.choice.at);
    this.say(`${told(this.choice.event)}.`);
  }

  edgeTo(at, edge, more = false) {
    const { event } = this.choice;
    if (!event) { this.say("Nothing is chosen. Tap an event, or go to one with the keys."); return; }
    const times = [...event.times_s];
    const which = Math.min(edge, times.length - 1);
    times[which] = Math.min(Math.max(at, 0), this.view.whole / 1000);
    if (times.length === 2 && times[1] - times[0] < EDGE_S / 10) { this.say("The end would come before the start."); return; }
    this.choice.edge = which;
    this.place(times, more);
  }

  nudge(way) { if (this.choice.event) this.edgeTo(this.choice.at + way * this.step, this.choice.edge, true); else this.say("Nothing is chosen to move."); }

  here(edge) { this.edgeTo(this.at, edge); }

  yes() {
    const { event, looking } = this.choice;
    if (!event) { if (this.choice.looking) this.look(1); return; }
    this.sheet.keep(event);
    this.say(`${event.lane === "doubtful_marks" ? "It is a mark." : "It stands as it is."}`);
    if (looking) this.look(1);
  }

  no() {
    const { event, looking } = this.choice;
    if (!event) { this.say("Nothing is chosen to remove."); return; }
    this.choice.none();
    this.sheet.remove(event);
    this.say(`${LANE[event.lane].one} at ${clock(event.times_s[0])} removed.`);
    if (looking) this.look(1);
  }

  // Adding

  mark() { const at = this.at; this.added(this.sheet.add("marks", [at]), "marks", at); }

  added(name, lane, at) {
    this.choice.pick(name, { edge: 0 });
    this.view.draw();
    this.say(`${LANE[lane].one} added at ${clock(at, 3)}.`);
  }

  // The first press begins a stretch at the playhead, the second ends it.
  stretch(lane) {
    const { open } = this.choice;
    const at = this.at;
    if (!open || open.lane !== lane) {
      this.choice.open = { lane, start: at };
      this.choice.tell();
      this.say(`${LANE[lane].one} begins at ${clock(at, 3)}. Go to its end and press again.`);
      return;
    }
    const [start, end] = [open.start, at].sort((a, b) => a - b);
    if (end - start < EDGE_S) { this.say("Go on to its end first, then press again."); return; }
    this.choice.open = null;
    this.added(this.sheet.add(lane, [start, end]), lane, start);
  }

  leave() { this.choice.open = null; this.choice.none(); this.say(""); }

  // Going about

  look(way) {
    const next = way > 0 ? this.looks.on(this.choice.name) : this.looks.back();
    if (!next) { this.choice.looking = false; this.say("Nothing else wants a look."); return; }
    this.choose(next, null, { looking: true });
  }

  event(way) {
    const all = this.sheet.events;
    if (!all.length) return;
    const here = all.findIndex((event) => event.event === this.choice.name);
    const at = this.view.at / 1000;
    const near = way > 0 ? all.findIndex((event) => event.times_s[0] > at + 0.001) : all.findLastIndex((event) => event.times_s[0] < at - 0.001);
    const next = here >= 0 ? here + way : near;
    if (next >= 0 || way < 0) this.choose(all[Math.min(Math.max(next, 0), all.length - 1)]);
  }

  rep(way) {
    const { reps } = this.sheet;
    if (!reps.length) return;
    const at = this.view.at / 1000 + 0.001;
    const here = reps.findLastIndex((rep) => rep.start_s <= at);
    const next = reps[Math.min(Math.max(here + way, 0), reps.length - 1)];
    this.choose({ ...next, event: `rep-${next.rep}`, times_s: [next.start_s, next.end_s] });
  }

  // Close up: one second around the edge, and a drag moves it a fifth as far as the finger.
  closer() {
    const { choice, view } = this;
    if (this.before) { view.window(...this.before); this.before = null; choice.fine = false; } else {
      this.before = [view.from, view.wide];
      const about = (choice.at ?? this.at) * 1000;
      view.window(about - 500, 1000);
      choice.fine = true;
    }
    choice.tell();
  }

  loop() {
    if (!this.player) return;
    const held = this.choice.event ?? this.repAt();
    const [start, end = start] = held?.times_s ?? (held ? [held.start_s, held.end_s] : [this.at - 1, this.at + 1]);
    this.player.span = [Math.max(start - 0.6, 0), end + 0.6];
    this.player.loop(!this.player.looping);
  }

  repAt() { const at = this.view.at / 1000; return this.sheet.reps.findLast((rep) => rep.start_s - 0.6 <= at && at <= rep.end_s + 1); }

  undo() { this.turned(this.sheet.undo(), "taken back", "Nothing of yours is left to take back."); }

  redo() { this.turned(this.sheet.redo(), "done again", "Nothing was taken back."); }

  turned(target, done, nothing) {
    if (!target) { this.say(nothing); return; }
    const words = { moved: "Move", added: "Addition", removed: "Removal", kept: "Yes", undone: "Taking back" };
    const first = target.deed === "undone" ? "Change" : words[target.deed];
    this.say(`${first} ${done}.`);
    const event = this.sheet.event(target.event);
    if (event) this.choose(event);
  }
}
