// The placer's steps one after another, and the screen that shows nothing by a tap or when it is put away. A run
// that arrives by itself, on a screen that lies about, is covered until somebody asks for it.
export function placing(part, arrived) {
  const panels = [...part.querySelectorAll(".panel")];
  const cover = document.getElementById("part-covered");

  function show(step) {
    const at = Math.min(Math.max(step, 1), panels.length);
    for (const panel of panels) panel.hidden = Number(panel.dataset.step) !== at;
  }

  function hide(yes) {
    part.hidden = yes;
    cover.hidden = !yes;
  }

  part.addEventListener("click", (event) => {
    const go = event.target.closest("[data-go]");
    if (!go) return;
    event.preventDefault();
    show(Number(go.dataset.go));
    panels.find((panel) => !panel.hidden)?.querySelector(".go, button")?.focus({ preventScroll: true });
    part.querySelector(".step-now").scrollIntoView({ block: "nearest" });
  });
  part.querySelector("#hide").addEventListener("click", (event) => {
    event.preventDefault();
    hide(true);
    document.getElementById("uncover").focus();
  });
  cover.querySelector("#uncover").onclick = () => {
    hide(false);
    part.querySelector("#hide").focus();
  };
  if (arrived) hide(true);
  document.addEventListener("visibilitychange", () => {
    if (document.visibilityState === "hidden" && part.isConnected) hide(true);
  });
}
