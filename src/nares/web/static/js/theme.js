// Runs before anything is drawn, so that a chosen theme never flashes the other one.
try {
  const chosen = localStorage.getItem("nares-theme");
  if (chosen === "light" || chosen === "dark") document.documentElement.dataset.theme = chosen;
} catch { /* storage may be forbidden; the system's choice stands */ }
