// The sheet being edited: what was read, what is on the record, what waits to be sent, what stands of it all.
import { stands, takenBack } from "./fold.js";
import { Queue, leftBehind } from "./queue.js";

const round = (at) => Math.round(at * 10000) / 10000;

export class Sheet {
  constructor(data, { address, token }) {
    Object.assign(this, { data, address, token, person: data.person, kept: data.edits, reps: data.reps, refused: [] });
    this.listeners = [];
    const scope = `${data.session}:${data.sheet}:${data.reading_entry ?? 0}:${data.person}`;
    this.queue = new Queue({ scope, send: (edits) => this.send(edits), changed: () => { if (this.queue) this.fold(); this.tell(); } });
    this.fold();
    const why = "it was made on an earlier reading and had not been saved. Make it again.";
    this.refused = leftBehind({ session: data.session, sheet: data.sheet, reading: data.reading_entry ?? 0, person: data.person }).map((one) => ({ ...one, why }));
  }

  // The person has read what was not taken: it need not be shown again.
  seen() {
    for (const { key } of this.refused) if (key) localStorage.removeItem(key);
    this.refused = [];
    this.tell();
  }

  onChange(listener) { this.listeners.push(listener); }

  tell() { this.listeners.forEach((listener) => listener()); }

  get edits() {
    const known = new Set(this.kept.map((edit) => edit.edit));
    return [...this.kept, ...this.queue.edits.filter((edit) => !known.has(edit.edit)).map((edit) => ({ ...edit, by: this.person }))];
  }

  fold() { Object.assign(this, stands(this.data.read, this.edits)); }

  event(name) { return this.events.find((event) => event.event === name); }

  make(deed, event, lane, was, now, { more = false } = {}) {
    const name = fresh();
    const edit = { edit: name, lane, deed, event: event ?? name, was: was.map(round), now: now.map(round) };
    if (!(more && this.queue.restate(edit))) this.queue.add(edit);
    this.fold();
    this.tell();
    return edit.event;
  }

  add(lane, now) { return this.make("added", null, lane, [], now); }

  move(event, now, how) { return this.make("moved", event.event, event.lane, event.times_s, now, how); }

  remove(event) { return this.make("removed", event.event, event.lane, event.times_s, []); }

  keep(event) { return this.make("kept", event.event, event.lane, event.times_s, []); }

  // Taking back goes through this person's own changes, the newest first, and is on the record like them.
  own() { return this.edits.filter((edit) => edit.by === this.person); }

  undoable() {
    const gone = takenBack(this.edits);
    return this.own().findLast((edit) => edit.deed !== "undone" && !gone.has(edit.edit));
  }

  redoable() {
    const edits = this.edits;
    const gone = takenBack(edits);
    const back = new Set(edits.filter((edit) => edit.deed === "undone").map((edit) => edit.edit));
    const own = this.own();
    const last = own.findLastIndex((edit) => edit.deed !== "undone");
    return own.findLast((edit, i) => i > last && edit.deed === "undone" && !gone.has(edit.edit) && !back.has(edit.event));
  }

  takeBack(target) { return target ? this.make("undone", target.edit, target.lane, [], []) && target : null; }

  undo() { return this.takeBack(this.undoable()); }

  redo() { return this.takeBack(this.redoable()); }

  async send(edits) {
    const body = JSON.stringify({ sheet: this.data.sheet, reading: this.data.reading_entry, edits });
    const headers = { "Content-Type": "application/json", "X-CSRFToken": this.token };
    const answer = await fetch(this.address, { method: "POST", credentials: "same-origin", headers, body });
    const said = await answer.json().catch(() => ({}));
    if (!answer.ok) throw Object.assign(new Error("not taken"), { said: said.error ?? (answer.status < 500 ? "the server did not take it." : undefined) });
    this.take(said, edits);
    return said;
  }

  take(said, sent) {
    for (const edit of sent) if (said.refused[edit.edit]) this.refused.push({ edit, why: said.refused[edit.edit] });
    this.kept = said.edits;
    this.reps = said.reps;
    // The queue lets go of them right after this; the fold counts each once either way.
    queueMicrotask(() => { this.fold(); this.tell(); });
  }
}

// Not randomUUID: a phone on the kennel's own network has no secure context.
function fresh() {
  return [...crypto.getRandomValues(new Uint8Array(12))].map((byte) => byte.toString(16).padStart(2, "0")).join("");
}
