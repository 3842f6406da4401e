// Adding a session: the typed time counts in the browser's zone, the upload shows how far it is.
const form = document.getElementById("session-form");
const zone = form.elements.zone_min;
const started = form.elements.started_at;
const recording = form.elements.recording;
const state = document.getElementById("upload-state");

document.getElementById("id_started_at_helptext").textContent = "In your own time zone.";

const two = (number) => String(number).padStart(2, "0");

function write(at) {
  started.value = `${at.getFullYear()}-${two(at.getMonth() + 1)}-${two(at.getDate())}T${two(at.getHours())}:${two(at.getMinutes())}:${two(at.getSeconds())}`;
}

// The offset of the typed moment, not of today: a clock change may lie between.
function settleZone() {
  const at = new Date(started.value);
  zone.value = Number.isNaN(at.getTime()) ? "" : String(-at.getTimezoneOffset());
}

// A phone writes the file when the film ends, so this is a little late; the person can correct it.
recording.addEventListener("change", () => {
  const file = recording.files[0];
  if (file && !started.value) { write(new Date(file.lastModified)); settleZone(); }
});
started.addEventListener("change", settleZone);

form.addEventListener("submit", (event) => {
  settleZone();
  if (!form.reportValidity()) return;
  event.preventDefault();
  const button = form.querySelector("button[type=submit]");
  button.disabled = true;
  const send = new XMLHttpRequest();
  send.open("POST", form.action || location.href);
  send.upload.addEventListener("progress", (sent) => {
    if (sent.lengthComputable) state.textContent = `Sent ${Math.floor((100 * sent.loaded) / sent.total)} %`;
  });
  send.addEventListener("load", () => {
    if (send.status < 400) { location.assign(send.responseURL); return; }
    const page = new DOMParser().parseFromString(send.responseText, "text/html");
    const faults = [...page.querySelectorAll(".faults p, .fault, .lead")].map((fault) => fault.textContent);
    state.textContent = faults.join(" ") || "It was not taken. Try again.";
    state.className = "faults wide";
    button.disabled = false;
  });
  send.addEventListener("error", () => {
    state.textContent = "The connection broke off. Nothing was kept; send it again.";
    state.className = "faults wide";
    button.disabled = false;
  });
  send.send(new FormData(form));
});
