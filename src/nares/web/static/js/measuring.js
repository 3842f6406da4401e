// Asks how far the measuring is, and goes on to the session when it is done.
const sheet = document.getElementById("measuring");

async function ask() {
  try {
    const answer = await fetch(sheet.dataset.twin, { cache: "no-store" });
    const state = await answer.json();
    if (!answer.ok || state.state === "done" || state.state === "failed") { location.reload(); return; }
    document.getElementById("measuring-done").value = Math.round(state.done * 100);
    const doing = document.getElementById("measuring-doing");
    if (doing.textContent !== state.doing) doing.textContent = state.doing;
  } catch { /* the next try may get through */ }
  setTimeout(ask, 700);
}
setTimeout(ask, 500);
