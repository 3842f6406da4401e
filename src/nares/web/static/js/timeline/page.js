// The timeline page put together: film, sound, lanes, tools, and the way to the record.
import { keysOn, listen } from "../keys.js";
import { Player } from "../player.js";
import { Choice } from "./choice.js";
import { Deeds } from "./deeds.js";
import { Drawing } from "./draw.js";
import { list } from "./listing.js";
import { Looks } from "./looks.js";
import { Sheet } from "./sheet.js";
import { Sound } from "./sound.js";
import { tools } from "./tools.js";
import { Touch } from "./touch.js";
import { View } from "./view.js";

const data = JSON.parse(document.getElementById("timeline-data").textContent);
const stage = document.getElementById("stage");
const root = document.getElementById("player");
const editor = document.getElementById("editor");
const readout = document.getElementById("readout");
document.documentElement.classList.add("editing");
editor.hidden = false;

const player = root ? new Player(root) : null;
const view = new View(stage, data.recording.duration_s * 1000);
const token = editor.querySelector("[name=csrfmiddlewaretoken]").value;
const sheet = new Sheet(data, { address: editor.dataset.edits, token });
const choice = new Choice(sheet);
const looks = new Looks(sheet);
const say = (text) => { readout.textContent = text; };
const deeds = new Deeds({ view, sheet, choice, looks, player, say });
const drawing = new Drawing(view, sheet, choice);
new Sound(view, data.recording.sha256);
new Touch({ view, drawing, sheet, choice, deeds });
keysOn();
listen(tools({ deeds, view, sheet, choice, looks, player }));
root?.querySelector("#loop").addEventListener("click", (event) => { event.stopImmediatePropagation(); deeds.loop(); }, { capture: true });
player?.onTime((at) => view.follow(at));
list(sheet, deeds);
view.draw();
// On a phone everything needed at once fits the screen only without the page's head.
if (innerWidth < 545) document.getElementById("desk").scrollIntoView();

// Somebody else may have worked on it meanwhile.
document.addEventListener("visibilitychange", async () => {
  if (document.visibilityState !== "visible") return;
  try {
    const answer = await fetch(editor.dataset.twin, { credentials: "same-origin" });
    const fresh = await answer.json();
    if (answer.ok && fresh.reading_entry === data.reading_entry) { sheet.kept = fresh.edits; sheet.reps = fresh.reps; sheet.fold(); sheet.tell(); }
  } catch { /* no connection: what is here stays */ }
});
