// The positions as numbers: ordinary fields, in step with the drawing, and what is sent.
export class Rows {
  constructor(plan) {
    this.plan = plan;
    this.list = document.getElementById("spot-rows");
    this.template = document.getElementById("spot-template").content;
    this.fields = { width: document.getElementById("id_width_m"), depth: document.getElementById("id_depth_m") };
    this.list.addEventListener("input", (event) => this.typed(event));
    this.list.addEventListener("focusin", (event) => this.plan.choose(this.indexOf(event.target)));
    this.list.addEventListener("focusout", () => { this.plan.rest(); this.write(); });
    for (const [key, field] of Object.entries(this.fields)) {
      field.addEventListener("input", () => {
        const value = number(field);
        if (value > 0) this.plan.change(key, { [key]: value });
      });
      field.addEventListener("blur", () => { this.plan.rest(); this.write(); });
    }
    this.keeps = document.getElementById("id_keeps_odour");
    this.keeps.addEventListener("change", () => this.plan.change("", { keeps: this.keeps.checked }));
  }

  // What the page came with.
  static read() {
    const field = (id) => document.getElementById(id);
    const spots = [...document.querySelectorAll("#spot-rows .spot-row")].map((row) => {
      const [name, x, y, tested] = row.querySelectorAll("input");
      return { name: name.value, x: number(x) || 0, y: number(y) || 0, tested: tested.checked };
    });
    return {
      shape: field("id_shape").value,
      width: number(field("id_width_m")) || 10,
      depth: number(field("id_depth_m")) || 5,
      keeps: field("id_keeps_odour").checked,
      spots,
      moved: false,
    };
  }

  indexOf(element) { return Number(element.closest(".spot-row").dataset.position) - 1; }

  typed({ target }) {
    const index = this.indexOf(target);
    clear(target);
    if (target.type === "checkbox") { this.plan.set(index, { tested: target.checked }, ""); return; }
    const [key] = target.name.split("-");
    if (key === "name") { this.plan.set(index, { name: target.value }, `name-${index}`); return; }
    const value = number(target);
    if (Number.isFinite(value)) this.plan.set(index, { [key]: value }, target.name);
  }

  write() {
    const { spots, width, depth, shape, keeps } = this.plan.now;
    const before = this.list.childElementCount;
    while (this.list.childElementCount > spots.length) this.list.lastElementChild.remove();
    while (this.list.childElementCount < spots.length) this.list.append(this.row(this.list.childElementCount + 1));
    if (before !== spots.length) this.list.querySelectorAll("input").forEach(clear);
    spots.forEach((spot, at) => {
      const row = this.list.children[at];
      row.classList.toggle("chosen", at === this.plan.chosen);
      const [name, x, y, tested] = row.querySelectorAll("input");
      put(name, spot.name);
      put(x, said(spot.x));
      put(y, said(spot.y));
      tested.checked = spot.tested;
    });
    put(this.fields.width, said(width));
    put(this.fields.depth, said(depth));
    this.keeps.checked = keeps;
    document.getElementById("id_shape").value = shape;
    put(document.getElementById("id_positions"), String(spots.length));
  }

  row(position) {
    const made = document.importNode(this.template, true).firstElementChild;
    made.dataset.position = position;
    made.querySelector(".spot-n").textContent = position;
    for (const field of made.querySelectorAll("input:not([type=checkbox])")) {
      const key = field.name.split("-")[0];
      const label = made.querySelector(`label[for="${field.id}"]`);
      field.name = field.id = label.htmlFor = `${key}-${position}`;
      if (key === "name") label.textContent = `Name of spot ${position}`;
    }
    made.querySelector("input[type=checkbox]").value = position;
    return made;
  }
}

export const number = (field) => (field.value.trim() ? Number(field.value.replace(",", ".")) : NaN);
const said = (value) => String(Math.round(value * 1e4) / 1e4);

// A field somebody is typing in is left alone.
function put(field, value) { if (field !== document.activeElement && field.value !== value) { field.value = value; clear(field); } }

// A fault no longer stands once its field is changed.
function clear(field) {
  if (!field.hasAttribute("aria-invalid")) return;
  document.getElementById(`${field.id}-fault`)?.remove();
  field.removeAttribute("aria-invalid");
  field.removeAttribute("aria-describedby");
}
