// What is kept is what was looked at: once the form differs from what it gave, it must be looked at again.
const form = document.getElementById("sheet-form");
const keep = document.getElementById("keep");
const state = document.getElementById("keep-state");
const FREE = new Set(["keep_as"]);

form?.addEventListener("change", (event) => {
  if (FREE.has(event.target.name) || !keep) return;
  keep.disabled = true;
  state.textContent = "Changed since it was shown. Look again before keeping.";
});
