// Taps while the dog works become visits, times and the alert. The taps of a run are kept in this browser until
// they are sent, so that a reload loses none; every tap can be undone.
const EVERY_MS = 200;

export function watching(form, { deed }) {
  const kept = `nares-taps:${document.getElementById("seat").dataset.lineup}:${form.dataset.run}`;
  const taps = [...form.querySelectorAll(".choice-tap")];
  const clock = form.querySelector("#watch-clock");
  const alert = form.querySelector("#watch-alert");
  const undo = form.querySelector("#watch-undo");
  const says = form.querySelector("#watch-says");
  // The server's clock and this one may differ: the start is told by how long ago it was when the page was made,
  // and kept with the taps, so that a reload in the middle of a run moves nothing.
  const begun = Date.now() - (Date.parse(form.dataset.now) - Date.parse(form.dataset.began));
  const { zero, events } = load();

  const now = () => Math.max(0, Math.round((Date.now() - zero) / 100) / 10);
  const last = () => events.at(-1);
  const here = () => (last() && last().deed !== "leave" ? last().position : null);

  function load() {
    try {
      const before = JSON.parse(localStorage.getItem(kept));
      if (before?.began === form.dataset.began) return before;
    } catch { /* nothing is kept here */ }
    return { zero: begun, events: [] };
  }

  function keep() {
    try { localStorage.setItem(kept, JSON.stringify({ began: form.dataset.began, zero, events })); } catch { /* kept on this page only */ }
  }

  function visits() {
    const made = [];
    let open = null;
    const end = (at) => { if (open) { made.push({ ...open, stayed: Math.max(0, at - open.from) }); open = null; } };
    for (const one of events) {
      if (one.deed === "alert") { if (open) open.alerted = true; continue; }
      end(one.at);
      if (one.deed === "arrive") open = { position: one.position, from: one.at, alerted: false };
    }
    end(now());
    return made;
  }

  function written() {
    form.elements.visits.value = visits().map((one) => `${one.position} ${one.from.toFixed(1)} ${one.stayed.toFixed(1)}${one.alerted ? " alert" : ""}`).join("\n");
  }

  function shown(said) {
    for (const tap of taps) tap.setAttribute("aria-pressed", String(Number(tap.dataset.position) === here()));
    alert.disabled = here() === null;
    alert.textContent = here() === null ? "Alert" : `Alert at ${here()}`;
    undo.disabled = !events.length;
    written();
    if (said) says.textContent = said;
  }

  function put(event, said) {
    events.push(event);
    keep();
    shown(said);
  }

  form.querySelector("#watch-taps").addEventListener("click", (event) => {
    const tap = event.target.closest(".choice-tap");
    if (!tap) return;
    const position = Number(tap.dataset.position);
    const at = now();
    if (here() === position) put({ deed: "leave", position, at }, `Left ${position} at ${at.toFixed(1)} s.`);
    else put({ deed: "arrive", position, at }, `At ${position} from ${at.toFixed(1)} s.`);
  });
  alert.addEventListener("click", () => {
    const at = now();
    const first = !events.some((one) => one.deed === "alert");
    put({ deed: "alert", position: here(), at }, `Alert at ${here()}, ${at.toFixed(1)} s from the start.`);
    if (first) answer();
  });
  undo.addEventListener("click", () => {
    const gone = events.pop();
    keep();
    if (gone.deed === "alert") answer();
    const words = { arrive: "arrival at", leave: "leaving", alert: "alert at" }[gone.deed];
    shown(`Undone: ${words} ${gone.position}.`);
  });

  // The first alert answers the question below; it can still be changed there.
  function answer() {
    const first = events.find((one) => one.deed === "alert");
    for (const one of form.querySelectorAll("input[name=alerted_at]")) one.checked = first ? Number(one.value) === first.position : false;
    form.elements.latency_s.value = first ? first.at.toFixed(1) : "";
  }

  form.addEventListener("submit", async (event) => {
    event.preventDefault();
    if (events.length) written();
    await deed(form);
    if (!form.isConnected) try { localStorage.removeItem(kept); } catch { /* kept nowhere */ }
  });

  const timer = setInterval(() => {
    if (!form.isConnected) { clearInterval(timer); return; }
    clock.textContent = `${now().toFixed(1)} s`;
  }, EVERY_MS);
  form.querySelector(".taps-now").hidden = false;
  if (events.length) answer();
  shown();
}
