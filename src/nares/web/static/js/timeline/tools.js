// Buttons and keys, each joined to the deed of its name, and what the page says: chosen, waiting, saved.
import { LANE, clock } from "./lanes.js";

const UNITS = { frame: "1 frame", ten: "10 ms", one: "1 ms" };
const NEXT = { frame: "ten", ten: "one", one: "frame" };

export function tools({ deeds, view, sheet, choice, looks, player }) {
  const part = (id) => document.getElementById(id);
  const setUnit = (unit) => {
    deeds.unit = unit;
    part("unit").textContent = UNITS[unit];
    part("unit").setAttribute("aria-label", `Step: ${UNITS[unit]}`);
  };
  const all = () => { deeds.before = null; choice.fine = false; choice.tell(); view.window(0, view.whole); };
  const zoom = (factor) => view.zoom(factor, (choice.at ?? deeds.at) * 1000);
  const press = {
    "look-back": () => deeds.look(-1), "look-on": () => deeds.look(1), yes: () => deeds.yes(), no: () => deeds.no(),
    "add-mark": () => deeds.mark(), "add-nose": () => deeds.stretch("nose_in"), "add-hand": () => deeds.stretch("hand_in"), "add-breath": () => deeds.stretch("inhales"),
    earlier: () => deeds.nudge(-1), later: () => deeds.nudge(1), "start-here": () => deeds.here(0), "end-here": () => deeds.here(1), edge: () => choice.turn(),
    undo: () => deeds.undo(), redo: () => deeds.redo(), closer: () => deeds.closer(), 
    "event-back": () => deeds.event(-1), "event-on": () => deeds.event(1), "zoom-out": () => zoom(2), "zoom-in": () => zoom(0.5), "zoom-all": all,
    "send-again": () => sheet.queue.now(), "refused-seen": () => sheet.seen(), unit: () => setUnit(NEXT[deeds.unit]),
  };
  for (const [id, deed] of Object.entries(press)) part(id)?.addEventListener("click", deed);
  document.addEventListener("keydown", (event) => {
    if (!(event.ctrlKey || event.metaKey) || event.altKey || event.key.toLowerCase() !== "z" || event.target.closest("input, textarea")) return;
    event.preventDefault();
    if (event.shiftKey) deeds.redo(); else deeds.undo();
  });

  function show() {
    const { event, rep, open } = choice;
    const some = Boolean(event);
    part("no").disabled = !some;
    if (part("yes")) part("yes").disabled = !some && !rep;
    part("on-chosen").hidden = !some;
    const span = some && !LANE[event.lane].point;
    for (const id of ["end-here", "edge"]) part(id).disabled = !span;
    part("edge").textContent = span && choice.edge ? "Edge: end" : "Edge: start";
    part("start-here").textContent = some && !span ? "Move here" : "Start here";
    part("undo").disabled = !sheet.undoable();
    part("redo").disabled = !sheet.redoable();
    part("closer").setAttribute("aria-pressed", String(Boolean(choice.fine)));
    for (const [id, lane, name] of [["add-nose", "nose_in", "Nose in"], ["add-hand", "hand_in", "Hand in"], ["add-breath", "inhales", "Inhale"]]) {
      const begun = open?.lane === lane;
      part(id).textContent = begun ? `End ${name.toLowerCase()}` : `+ ${name}`;
      part(id).setAttribute("aria-pressed", String(begun));
    }
    const list = looks.list();
    const breaths = list.filter((one) => one.lane === "inhales").length;
    const rest = list.length - breaths;
    part("looks").textContent = list.length ? `${rest} want${rest === 1 ? "s" : ""} a look${breaths ? `, and ${breaths} inhalation${breaths === 1 ? "" : "s"}` : ""}.` : "Nothing wants a look.";
    saved();
    view.draw();
  }

  function saved() {
    const { queue } = sheet;
    if (part("saved").textContent !== queue.said) part("saved").textContent = queue.said;
    part("saved-box").dataset.state = queue.fault && queue.waiting.length ? "refused" : queue.state;
    part("send-again").hidden = !["refused", "offline"].includes(queue.state);
    part("refused").hidden = !sheet.refused.length;
    part("refused-list").replaceChildren(...sheet.refused.map(({ edit, why }) => {
      const line = document.createElement("li");
      const at = edit.now[0] ?? edit.was[0];
      line.textContent = `${LANE[edit.lane].one}${at === undefined ? "" : ` at ${clock(at)}`}, ${edit.deed}: ${why}`;
      return line;
    }));
  }

  function where() {
    const rep = deeds.repAt();
    const said = rep ? `Rep ${rep.rep}: ${rep.said}, ${rep.state === "measured" ? "to confirm" : rep.state}${rep.look ? `. ${rep.look}` : ""}` : "Between reps";
    if (part("rep-here").textContent !== said) part("rep-here").textContent = said;
  }

  sheet.onChange(show);
  choice.onChange(show);
  view.onDraw(where);
  show();

  return {
    " ": () => player?.toggle(), ArrowLeft: () => player?.frames(-1), ArrowRight: () => player?.frames(1),
    "shift+ArrowLeft": () => player?.by(-1), "shift+ArrowRight": () => player?.by(1), ArrowUp: () => deeds.rep(-1), ArrowDown: () => deeds.rep(1),
    w: press["look-on"], W: press["look-back"], y: press.yes, x: press.no, Delete: press.no, Backspace: press.no,
    m: press["add-mark"], n: press["add-nose"], h: press["add-hand"], b: press["add-breath"], s: press["start-here"], e: press["end-here"], t: press.edge,
    ",": press.earlier, ".": press.later, u: press.unit,
    4: () => setUnit("frame"), 5: () => setUnit("ten"), 6: () => setUnit("one"),
    z: press.undo, Z: press.redo, f: press.closer, l: () => deeds.loop(), Escape: () => deeds.leave(),
    1: () => player?.speed(0.25), 2: () => player?.speed(0.5), 3: () => player?.speed(1),
    "[": press["event-back"], "]": press["event-on"], "+": press["zoom-in"], "=": press["zoom-in"], "-": press["zoom-out"], 0: all,
  };
}
