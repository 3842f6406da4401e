// Draw the openings on a film instead of typing fractions, or move them. The typed fields stay the truth.
const tool = document.getElementById("region-tool");
const film = document.getElementById("region-film");
const canvas = document.getElementById("region-canvas");
const slider = document.getElementById("region-at");
const recording = document.getElementById("id_recording");
const fields = { front: document.getElementById("id_front"), side: document.getElementById("id_side") };
let drawing = "front";
let start = null;
let held = null; // the region being moved, as it was
let address = null;

recording?.addEventListener("change", () => {
  const file = recording.files[0];
  if (address) URL.revokeObjectURL(address);
  tool.hidden = true;
  if (!file) return;
  address = URL.createObjectURL(file);
  film.src = address;
});
const ready = () => {
  if (!film.videoWidth) return;
  tool.hidden = false;
  show();
};
film.addEventListener("loadedmetadata", ready);
if (film.readyState > 0) ready();
film.addEventListener("seeked", draw);
slider.addEventListener("input", show);
window.addEventListener("resize", draw);
for (const field of Object.values(fields)) field.addEventListener("input", draw);

function show() { film.currentTime = (film.duration || 0) * (slider.value / 1000); draw(); }

document.querySelectorAll("[data-region]").forEach((button) => button.addEventListener("click", () => {
  drawing = button.dataset.region;
  document.querySelectorAll("[data-region]").forEach((each) => each.setAttribute("aria-pressed", String(each === button)));
}));

const place = (event) => {
  const box = canvas.getBoundingClientRect();
  const share = (value) => Math.min(Math.max(value, 0), 1);
  return [share((event.clientX - box.left) / box.width), share((event.clientY - box.top) / box.height)];
};

const parts = (field) => field.value.split(",").map(Number);
const inside = ([x, y], [left, top, wide, high]) => x >= left && x <= left + wide && y >= top && y <= top + high;

canvas.addEventListener("pointerdown", (event) => {
  start = place(event);
  const here = parts(fields[drawing]);
  held = here.length === 4 && inside(start, here) ? here : null;
  canvas.setPointerCapture(event.pointerId);
});
canvas.addEventListener("pointermove", (event) => {
  if (!start) return;
  const [x, y] = place(event);
  const part = held ? moved(x - start[0], y - start[1]) : [Math.min(x, start[0]), Math.min(y, start[1]), Math.abs(x - start[0]), Math.abs(y - start[1])];
  if (part[2] > 0.005 && part[3] > 0.005) fields[drawing].value = part.map((number) => number.toFixed(3)).join(",");
  draw();
});

function moved(right, down) {
  const [left, top, wide, high] = held;
  const kept = (value, most) => Math.min(Math.max(value, 0), Math.max(most, 0));
  return [kept(left + right, 1 - wide), kept(top + down, 1 - high), wide, high];
}

canvas.addEventListener("pointerup", () => {
  if (!start) return;
  start = null;
  if (!held && drawing === "front" && !fields.side.value) document.querySelector('[data-region="side"]').click();
});

function draw() {
  canvas.width = canvas.clientWidth;
  canvas.height = canvas.clientHeight;
  const pen = canvas.getContext("2d");
  pen.font = "600 14px sans-serif";
  for (const [name, field] of Object.entries(fields)) {
    const part = field.value.split(",").map(Number);
    if (part.length !== 4 || part.some(Number.isNaN)) continue;
    const [x, y, w, h] = [part[0] * canvas.width, part[1] * canvas.height, part[2] * canvas.width, part[3] * canvas.height];
    pen.lineWidth = 4; pen.strokeStyle = "#000"; pen.strokeRect(x, y, w, h);
    pen.lineWidth = 2; pen.strokeStyle = "#fff"; pen.strokeRect(x, y, w, h);
    pen.lineWidth = 4; pen.strokeStyle = "#000"; pen.strokeText(name, x + 4, y - 6);
    pen.fillStyle = "#fff"; pen.fillText(name, x + 4, y - 6);
  }
}
