// Every event that stands, as a list to read and to go to: for a screen reader, and for those who like lists.
import { LANES, told } from "./lanes.js";

export function list(sheet, deeds) {
  const box = document.getElementById("event-list");
  const fill = () => {
    if (!box.open) return;
    box.querySelector("div").replaceChildren(...LANES.filter((lane) => lane.edits).flatMap((lane) => {
      const events = sheet.events.filter((event) => event.lane === lane.key);
      if (!events.length) return [];
      const head = document.createElement("h3");
      head.textContent = `${lane.name}: ${events.length}`;
      const items = document.createElement("ol");
      items.append(...events.map((event) => {
        const item = document.createElement("li");
        const go = document.createElement("button");
        go.type = "button";
        go.className = "quiet";
        go.textContent = told(event);
        go.addEventListener("click", () => deeds.choose(event));
        item.append(go);
        return item;
      }));
      return [head, items];
    }));
  };
  box.addEventListener("toggle", fill);
  sheet.onChange(fill);
}
