// Every page: times in the browser's own zone, the theme button.
import { localTimes } from "./times.js";

const root = document.documentElement;
const button = document.getElementById("theme");
const system = matchMedia("(prefers-color-scheme: dark)");

const isDark = () => (root.dataset.theme ? root.dataset.theme === "dark" : system.matches);

function name() {
  button.textContent = isDark() ? "Light" : "Dark";
  button.setAttribute("aria-label", isDark() ? "Use the light colours" : "Use the dark colours");
}

button.hidden = false;
button.addEventListener("click", () => {
  root.dataset.theme = isDark() ? "light" : "dark";
  try { localStorage.setItem("nares-theme", root.dataset.theme); } catch { /* kept for this page only */ }
  name();
  document.dispatchEvent(new Event("themechange"));
});
system.addEventListener("change", () => { name(); document.dispatchEvent(new Event("themechange")); });
name();
localTimes(document);
