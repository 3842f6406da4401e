// Single keys for the session page. They can be switched off, and never work while something is typed.
const WRITES = "input, select, textarea, [contenteditable]";
const PRESSES = "button, a, summary, label";

export function keysOn() {
  const box = document.getElementById("keys-on");
  if (!box) return;
  try { box.checked = localStorage.getItem("nares-keys") !== "off"; } catch { /* stays on */ }
  box.addEventListener("change", () => {
    try { localStorage.setItem("nares-keys", box.checked ? "on" : "off"); } catch { /* for this page only */ }
  });
}

// `deeds` maps a key, with "shift+" before it where held, to what it does.
export function listen(deeds) {
  document.addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.metaKey || event.altKey || event.defaultPrevented) return;
    const box = document.getElementById("keys-on");
    if (box && !box.checked) return;
    if (event.target.closest(WRITES) && event.target !== box) return;
    if ((event.key === " " || event.key === "Enter") && event.target.closest(`${PRESSES}, ${WRITES}`)) return;
    const held = event.shiftKey && event.key.startsWith("Arrow") ? "shift+" : "";
    const deed = deeds[held + event.key];
    if (!deed) return;
    event.preventDefault();
    deed();
  });
}
