// What stands: edits folded over the events that were read, in the order they were made. The same rules as
// on the server, so that the page shows at once what will stand.
const POINTS = ["marks", "doubtful_marks"];

export function takenBack(edits) {
  const gone = new Set();
  for (const edit of [...edits].reverse()) if (edit.deed === "undone" && !gone.has(edit.edit)) gone.add(edit.event);
  return gone;
}

export function stands(read, edits) {
  const events = new Map(read.map((event) => [event.event, { ...event, by: "", read_s: event.times_s }]));
  const removed = new Map();
  const misfits = new Map();
  const gone = takenBack(edits);
  for (const edit of edits) {
    if (edit.deed === "undone" || gone.has(edit.edit)) continue;
    const held = events.get(edit.event);
    const fits = edit.deed === "added" ? !held : held && (!edit.now.length || POINTS.includes(held.lane) === (edit.now.length === 1));
    if (!fits) misfits.set(edit.edit, edit);
    else if (edit.deed === "removed") { events.delete(edit.event); removed.set(edit.event, { ...held, by: edit.by }); }
    else events.set(edit.event, after(edit, held));
  }
  const order = (a, b) => a.times_s[0] - b.times_s[0] || (a.times_s[1] ?? 0) - (b.times_s[1] ?? 0) || (a.event < b.event ? -1 : 1);
  return { events: [...events.values()].sort(order), removed: [...removed.values()], misfits };
}

function after(edit, held) {
  if (!held) return { event: edit.event, lane: edit.lane, times_s: edit.now, sure: 1, by: edit.by, read_s: [] };
  const lane = held.lane === "doubtful_marks" ? "marks" : held.lane;
  return { ...held, lane, times_s: edit.now.length ? edit.now : held.times_s, sure: 1, by: edit.by };
}
