// What wants a look, the most doubtful first: events the machine was unsure of, doubtful marks, reps that
// could not be told or changed since they were confirmed. Inhalations come last: there are many.
import { SURE_ENOUGH } from "./lanes.js";

const doubt = (event) => (event.lane === "doubtful_marks" ? event.sure : 1 - event.sure);

export class Looks {
  constructor(sheet) { Object.assign(this, { sheet, seen: new Set(), trail: [] }); }

  list() {
    const open = this.sheet.events.filter((event) => !event.by && (event.lane === "doubtful_marks" || event.sure < SURE_ENOUGH));
    const rank = (event) => (event.lane === "inhales" ? 1 : 0);
    const events = open.sort((a, b) => rank(a) - rank(b) || doubt(b) - doubt(a) || a.times_s[0] - b.times_s[0]);
    // A rep is asked about only once nothing inside it is, and not before the record has seen what was just changed.
    const touched = this.sheet.queue.edits.map((edit) => ({ lane: edit.lane, times_s: edit.now.length ? edit.now : edit.was }));
    const near = (rep, times) => times.length && times[0] <= rep.end_s + 1.5 && times.at(-1) >= rep.start_s - 1.5;
    const covered = (rep) => open.some((event) => event.lane !== "inhales" && near(rep, event.times_s)) || touched.some((one) => near(rep, one.times_s));
    const reps = this.sheet.reps.filter((rep) => rep.look && !covered(rep)).map((rep) => ({ ...rep, event: `rep-${rep.rep}`, times_s: [rep.start_s, rep.end_s] }));
    return [...events.filter((event) => !rank(event)), ...reps, ...events.filter(rank)];
  }

  left() { return this.list().filter((one) => !this.seen.has(one.event)); }

  // The most doubtful one not looked at yet; once all were, from the top again.
  on(from) {
    if (!this.left().some((one) => one.event !== from)) this.seen.clear();
    const next = this.left().find((one) => one.event !== from);
    if (next) { this.seen.add(next.event); this.trail.push(next); }
    return next;
  }

  back() {
    this.trail.pop();
    return this.trail.at(-1);
  }
}
