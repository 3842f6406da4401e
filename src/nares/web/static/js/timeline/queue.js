// Changes on their way to the record. Each is kept in this browser before it is sent, under a key of its own,
// so that neither a lost connection nor a reload nor a second tab loses one; sent twice it counts once.
const BATCH = 50;
const SETTLE_MS = 600;
const MANY = 10; // as many wait for no pause
const AGAIN_MS = [1500, 4000, 10000, 30000];

// Changes of one's own that an earlier reading was still waiting for: kept, but not to be sent to this one.
export function leftBehind({ session, sheet, reading, person }) {
  const before = `nares-edit:${session}:${sheet}:`;
  const found = [];
  try {
    for (const key of Object.keys(localStorage).filter((one) => one.startsWith(before)).sort()) {
      const [, other, by] = key.slice(before.length).match(/^(\d+):(.*):[\d-]+$/) ?? [];
      if (by === person && Number(other) !== reading) found.push({ key, edit: JSON.parse(localStorage.getItem(key)) });
    }
  } catch { /* nothing is kept here */ }
  return found;
}

export class Queue {
  constructor({ scope, send, changed }) {
    this.scope = `nares-edit:${scope}:`;
    this.send = send;
    this.changed = changed;
    this.waiting = [];
    this.state = "saved";
    this.reason = "";
    this.fault = "";
    this.tries = 0;
    this.timer = 0;
    this.busy = false;
    this.serial = 0;
    this.load();
    addEventListener("online", () => this.soon(0));
    addEventListener("pagehide", () => this.now());
  }

  load() {
    try {
      const keys = Object.keys(localStorage).filter((key) => key.startsWith(this.scope)).sort();
      this.waiting = keys.map((key) => ({ key, edit: JSON.parse(localStorage.getItem(key)) }));
    } catch { this.fault = "This browser keeps nothing: stay on this page until everything is saved."; }
    if (this.waiting.length) { this.state = "waiting"; this.soon(0); }
  }

  get edits() { return this.waiting.map((one) => one.edit); }

  add(edit) {
    this.serial += 1;
    const key = `${this.scope}${String(Date.now()).padStart(15, "0")}-${String(this.serial).padStart(6, "0")}`;
    this.waiting.push({ key, edit });
    this.keep(key, edit);
    this.state = "waiting";
    this.soon(this.waiting.length < MANY ? SETTLE_MS : 0);
  }

  // A nudge that follows a nudge is the same gesture, as long as it has not been sent.
  restate(edit) {
    const last = this.waiting.at(-1);
    if (!last || last.sent || last.edit.event !== edit.event || last.edit.deed !== "moved" || edit.deed !== "moved") return false;
    last.edit = { ...last.edit, now: edit.now };
    this.keep(last.key, last.edit);
    this.soon(SETTLE_MS);
    return true;
  }

  keep(key, edit) {
    try { localStorage.setItem(key, JSON.stringify(edit)); } catch { this.fault = "This browser keeps nothing: stay on this page until everything is saved."; }
  }

  drop(ids) {
    for (const one of this.waiting) if (ids.has(one.edit.edit)) try { localStorage.removeItem(one.key); } catch { /* kept nowhere */ }
    this.waiting = this.waiting.filter((one) => !ids.has(one.edit.edit));
  }

  soon(wait) { clearTimeout(this.timer); this.timer = setTimeout(() => this.now(), wait); this.changed(); }

  async now() {
    clearTimeout(this.timer);
    if (this.busy || !this.waiting.length) return;
    this.busy = true;
    const batch = this.waiting.slice(0, BATCH);
    batch.forEach((one) => { one.sent = true; });
    let wait = null;
    try {
      const answer = await this.send(batch.map((one) => one.edit));
      this.drop(new Set([...answer.saved, ...Object.keys(answer.refused)]));
      this.tries = 0;
      this.state = this.waiting.length ? "waiting" : "saved";
      if (this.waiting.length) wait = 0;
    } catch (fault) {
      this.state = fault.said ? "refused" : "offline";
      this.reason = fault.said ?? "";
      if (!fault.said) wait = AGAIN_MS[Math.min(this.tries, AGAIN_MS.length - 1)];
      this.tries += 1;
    }
    this.busy = false;
    if (wait === null) this.changed(); else this.soon(wait);
  }

  get said() {
    const count = `${this.waiting.length} change${this.waiting.length === 1 ? "" : "s"}`;
    if (this.fault && this.waiting.length) return `${count} not saved. ${this.fault}`;
    if (this.state === "refused") return `${count} not saved: ${this.reason}`;
    if (this.state === "offline") return `${count} wait${this.waiting.length === 1 ? "s" : ""} for the connection.`;
    return this.waiting.length ? `Saving ${count}.` : "Saved.";
  }
}
