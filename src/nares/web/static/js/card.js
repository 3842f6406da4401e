// One rep after another without loading the page again: by key, by tap, with no signal. Without this file
// every rep is a link.
const panels = [...document.querySelectorAll(".panel")];
const links = [...document.querySelectorAll(".whole a")];
const last = panels.length;

const shown = () => Number(panels.find((panel) => !panel.hidden)?.dataset.rep ?? 1);

function show(rep) {
  const at = Math.min(Math.max(rep, 1), last);
  for (const panel of panels) panel.hidden = Number(panel.dataset.rep) !== at;
  for (const link of links) {
    if (Number(link.dataset.go) === at) link.setAttribute("aria-current", "step");
    else link.removeAttribute("aria-current");
  }
  history.replaceState(null, "", `?rep=${at}`);
}

document.addEventListener("click", (event) => {
  if (event.ctrlKey || event.metaKey || event.shiftKey) return;
  const go = event.target.closest("[data-go]");
  if (!go) {
    // A tap anywhere on the rep goes on: a gloved thumb need not find the button.
    if (event.target.closest(".panel:not(.panel-end)") && !getSelection().toString()) show(shown() + 1);
    return;
  }
  event.preventDefault();
  const hadFocus = document.activeElement === go;
  show(Number(go.dataset.go));
  if (hadFocus && !go.closest(".whole")) panels[shown() - 1].querySelector(".go, .button")?.focus();
  document.getElementById("now").scrollIntoView({ block: "nearest" });
});

const KEYS = { ArrowRight: 1, PageDown: 1, " ": 1, ArrowLeft: -1, PageUp: -1 };
document.addEventListener("keydown", (event) => {
  const by = KEYS[event.key];
  if (!by || event.ctrlKey || event.metaKey || event.altKey) return;
  if (event.target.closest("summary, button") && event.key === " ") return;
  if (event.target.closest("input, select, textarea")) return;
  event.preventDefault();
  show(shown() + by);
});

// The phone stays awake while the card is looked at, where the browser allows it.
async function stayAwake() {
  try { await navigator.wakeLock?.request("screen"); } catch { /* it may sleep then */ }
}
document.addEventListener("visibilitychange", () => { if (document.visibilityState === "visible") stayAwake(); });
stayAwake();
