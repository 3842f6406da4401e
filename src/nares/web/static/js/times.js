// Times of day arrive in UTC; here they take the browser's zone. The UTC stays in the title.
const sameYear = new Intl.DateTimeFormat(undefined, { weekday: "short", day: "numeric", month: "short", hour: "2-digit", minute: "2-digit" });
const otherYear = new Intl.DateTimeFormat(undefined, { day: "numeric", month: "short", year: "numeric", hour: "2-digit", minute: "2-digit" });

const ofDay = new Intl.DateTimeFormat(undefined, { hour: "2-digit", minute: "2-digit", second: "2-digit" });

export function localTimes(within) {
  for (const element of within.querySelectorAll("time[datetime]")) {
    const at = new Date(element.dateTime);
    if (Number.isNaN(at.getTime())) continue;
    if ("clock" in element.dataset) { element.textContent = ofDay.format(at); continue; }
    const format = at.getFullYear() === new Date().getFullYear() ? sameYear : otherYear;
    element.textContent = format.format(at);
  }
}
