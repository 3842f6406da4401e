// The handler's call: a tap chooses, a second one at the thumb makes it. A call that did not get through is kept
// and sent again until nares answers; sent twice it counts once.
const AGAIN_MS = 1500;

export function calling(form, { send, takeFrom, connected }) {
  const button = form.querySelector("button[type=submit]");
  const inputs = [...form.querySelectorAll("input[name=position]")];
  let timer = 0;

  const chosen = () => inputs.find((one) => one.checked);
  const words = () => (chosen().value === "clear" ? "clear" : `position ${chosen().value}`);

  function shown() {
    button.textContent = chosen() ? `Call ${words()}` : "Make the call";
    button.classList.toggle("ready", Boolean(chosen()));
    for (const spot of form.querySelectorAll(".plan-spot")) spot.classList.toggle("chosen", spot.dataset.position === chosen()?.value);
  }

  async function sendIt() {
    clearTimeout(timer);
    button.disabled = true;
    button.textContent = `Sending: ${words()}`;
    try {
      const answer = await send(form);
      inputs.forEach((one) => { one.disabled = false; });
      connected(true);
      await takeFrom(answer);
      button.disabled = false;
      shown();
    } catch {
      // What is on its way can no longer be changed: it may have arrived.
      inputs.forEach((one) => { if (!one.checked) one.disabled = true; });
      connected(false, `Your call, ${words()}, is kept and is sent again until it arrives.`);
      timer = setTimeout(() => { if (form.isConnected) sendIt(); }, AGAIN_MS);
    }
  }

  form.addEventListener("change", shown);
  form.addEventListener("click", (event) => {
    const spot = event.target.closest(".plan-spot");
    const input = spot && inputs.find((one) => one.value === spot.dataset.position);
    if (!input || input.disabled) return;
    input.checked = true;
    shown();
  });
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    if (!button.disabled) sendIt();
  });
  addEventListener("online", () => { if (button.disabled && form.isConnected) sendIt(); });
  form.classList.add("tapped");
  shown();
}
