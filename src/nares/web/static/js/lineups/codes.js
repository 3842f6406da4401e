// The codes are shown once: a reload goes to the line-up, going back finds them gone, printing shows them all.
const part = document.getElementById("codes");
const cards = [...part.querySelectorAll("details")];

history.replaceState(null, "", part.dataset.lineup);
addEventListener("pagehide", () => { for (const code of part.querySelectorAll(".code")) code.textContent = "Shown once; no longer here."; });
addEventListener("beforeprint", () => cards.forEach((card) => { card.removeAttribute("name"); card.open = true; }));
addEventListener("afterprint", () => cards.forEach((card) => { card.open = false; card.name = "seat-code"; }));
