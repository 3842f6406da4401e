// The lanes of the timeline: their names, the word for one event, whether it is a moment or a stretch.
export const LANES = [
  { key: "reps", name: "Reps", one: "Rep", high: 26 },
  { key: "marks", name: "Marks", one: "Mark", point: true, high: 44, edits: true },
  { key: "doubtful_marks", name: "Doubtful marks", one: "Doubtful mark", point: true, high: 44, edits: true },
  { key: "nose_in", name: "Nose in", one: "Nose in", high: 44, edits: true },
  { key: "hand_in", name: "Hand in", one: "Hand in", high: 44, edits: true },
  { key: "inhales", name: "Inhalations", one: "Inhalation", high: 44, edits: true },
  { key: "lost", name: "Without the box", one: "Without the box", high: 22 },
];
export const LANE = Object.fromEntries(LANES.map((lane) => [lane.key, lane]));
export const SURE_ENOUGH = 0.8;

export const clock = (at, digits = 2) => {
  const minutes = Math.floor(at / 60);
  const rest = (at - minutes * 60).toFixed(digits);
  return minutes ? `${minutes} min ${rest} s` : `${rest} s`;
};

// What is said of an event: by the readout, by its title, in the list.
export function told(event) {
  const { one, point } = LANE[event.lane];
  const [start, end] = event.times_s;
  const place = point ? `${one} at ${clock(start, 3)}` : `${one} from ${clock(start, 3)} for ${(end - start).toFixed(3)} s`;
  if (!event.by) return `${place}, ${Math.round(event.sure * 100)} % sure`;
  const read = event.read_s;
  if (!read.length) return `${place}, added by ${event.by}`;
  const same = read.every((at, i) => at === event.times_s[i]);
  return same ? `${place}, kept by ${event.by}` : `${place}, set by ${event.by}; the machine had ${read.map((at) => clock(at, 3)).join(" to ")}`;
}
