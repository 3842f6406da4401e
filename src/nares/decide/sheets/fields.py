"""What a sheet can say of a rep, and the plain words under which trainers write it.

Conventions
-----------
Fields are the columns of the rep table, with ``day`` and ``time`` in the place of ``started_at``. Words are
small letters without brackets or signs. A header is matched whole first, then by a single word in it; where a
header may mean two things, what stands below it decides (see `nares.decide.sheets.propose`).
"""

import re
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Field:
    """One thing a sheet can say. ``kind``: how its cells are read. ``heads``: headers it goes by."""

    key: str
    name: str
    kind: str
    heads: tuple[str, ...]


def _field(key: str, name: str, kind: str, heads: str) -> Field:
    return Field(key, name, kind, tuple(heads.split(", ")))


FIELDS: tuple[Field, ...] = (
    _field("dog", "Dog", "name", "dog, dog name, name of dog, k9, canine, name"),
    _field(
        "session",
        "Session",
        "name",
        "session, session no, session number, session id, session name, training, block",
    ),
    _field(
        "day",
        "Day",
        "day",
        "date, day, session date, training date, when, started at, date time, datetime, timestamp, start",
    ),
    _field(
        "time",
        "Time of day",
        "clock",
        "time, time of day, start time, start, started, started at, clock, begin, hour",
    ),
    _field("step", "Step", "word", "step, exercise, stage, phase, level, task, lesson, training step"),
    _field(
        "rep",
        "Rep number",
        "count",
        "rep, rep no, rep number, repetition, trial, trial no, trial number, no, nr, number, "
        "attempt, try, run",
    ),
    _field(
        "ask_s",
        "Ask",
        "length",
        "ask, asked, target, ask s, ask time, asked hold, goal, goal time, target time, target hold, "
        "required, required hold, criterion, aim, wanted",
    ),
    _field(
        "hold_s",
        "Hold",
        "length",
        "hold, hold s, hold time, time, held, time held, duration, hold duration, seconds, sec, secs, "
        "s, nose in, nose time, time in box, ms",
    ),
    _field("ended_by", "Ended by", "word", "ended by, end, ended, who ended, end of hold"),
    _field(
        "met",
        "Met",
        "word",
        "met, ok, success, successful, correct, pass, passed, result, outcome, hit, done, "
        "criterion met, rep met, yes no, pass fail",
    ),
    _field("hand", "Hand", "word", "hand, hand position, hand place, where hand, position of hand"),
    _field(
        "pay_place",
        "Pay place",
        "word",
        "pay place, pay from, paid where, where paid, reward place, reward from, food from, place "
        "of pay, pay",
    ),
    _field(
        "distance_m",
        "Distance",
        "number",
        "distance, distance m, dist, handler distance, metres, meters, m",
    ),
    _field(
        "disturbance",
        "Disturbance",
        "word",
        "disturbance, disturbance level, distraction level, noise, noise level",
    ),
    _field(
        "source",
        "Source",
        "word",
        "source, target, odour, odor, hide, content, box content, what was in the box, target or blank",
    ),
    _field("cues", "Cues", "words", "cues, cue, present, things present, conditions"),
    _field("paid", "Paid", "word", "paid, rewarded, reward, reinforced, fed, pay given"),
)

BY_KEY = {field.key: field for field in FIELDS}

SERIES = ("met", "hold_s", "ask_s")
"""What a sheet with one row a session can hold in columns, one for each rep."""

WORDS: dict[str, dict[str, str]] = {
    "met": {
        "1": "1 yes y true t ok okay pass passed met hit success correct good right done + ✓ ✔ ☑ ✅ √",
        "0": "0 no n false f fail failed miss missed wrong bad not-met not-ok - – ✗ ✘ ☒ ❌ × broke",
    },
    "paid": {
        "1": "1 yes y true t paid rewarded + ✓ ✔ ☑ ✅ √",
        "0": "0 no n false f unpaid - – ✗ ✘ ☒ ❌ × none",
    },
    "ended_by": {
        "mark": "mark marked click clicked clicker whistle word trainer handler c m",
        "dog": "dog d broke break left out himself herself self",
    },
    "hand": {
        "inside": "inside in inside-box inside-the-box in-box in-the-box chamber",
        "side": "side at-side at-the-side side-opening at-the-side-opening",
        "front": "front in-front in-front-of-box before temptation",
        "away": "away none no no-hand behind off gone out-of-sight pocket",
    },
    "pay_place": {
        "inside": "inside in inside-box inside-the-box in-box in-the-box at-source source",
        "outside": "outside out outside-box outside-the-box at-box front",
        "away": "away handler at-handler from-handler elsewhere",
    },
    "disturbance": {
        "0": "0 none no quiet calm",
        "1": "1 slight mild low little some",
        "2": "2 clear plain medium moderate",
        "3": "3 strong high loud much",
    },
    "source": {
        "target": "target t odour odor hot positive yes 1 hide",
        "blank": "blank b empty none cold negative no 0",
        "distractor": "distractor d distraction other proofing",
    },
}
"""What words mean by field: value of the rep table to the words taken for it (a hyphen is a blank)."""


def known_words(field: str) -> dict[str, str]:
    """Every word known for a field, with what it means.

    >>> known_words("hand")["at the side"]
    'side'
    """
    found: dict[str, str] = {}
    for value, words in WORDS.get(field, {}).items():
        for word in words.split():
            found[word if len(word) == 1 else word.replace("-", " ")] = value
    return found


_BRACKETS = re.compile(r"[(\[]([^)\]]*)[)\]]")


def plain_head(head: str) -> str:
    """A header in small letters, without brackets and signs.

    >>> plain_head("Hold-time (s)"), plain_head("Pass/Fail?"), plain_head("holdTime")
    ('hold time', 'pass fail', 'hold time')
    """
    split = re.sub(r"(?<=[a-z])(?=[A-Z])", " ", _BRACKETS.sub(" ", head))
    return " ".join(re.sub(r"[^\w]+|_", " ", split).casefold().split())


def unit_of(head: str) -> str | None:
    """The unit of a length of time that a header names, if it does.

    >>> unit_of("Hold (ms)"), unit_of("hold_s"), unit_of("Hold, min:s"), unit_of("Hold")
    ('ms', 's', None, None)
    """
    words = re.sub(r"[^a-z]+", " ", head.casefold()).split()
    if {"ms", "msec", "milliseconds", "millisecond"} & set(words):
        return "ms"
    if "min" in words or "h" in words:
        return None
    return "s" if {"s", "sec", "secs", "seconds", "second"} & set(words) else None


def field_of_head(head: str) -> tuple[str, float] | None:
    """The field a header most likely means, and how plainly it says so: 1 as written, less by one word.

    >>> field_of_head("Dog name"), field_of_head("Rex's hold time"), field_of_head("Weather")
    (('dog', 1.0), ('hold_s', 0.7), None)
    """
    plain = plain_head(head)
    if not plain:
        return None
    for field in FIELDS:
        if plain in field.heads:
            return field.key, 1.0
    for field in FIELDS:
        if any(" " in said and f" {said} " in f" {plain} " for said in field.heads):
            return field.key, 0.7
    for field in FIELDS:
        if any(len(said) > 2 and said in plain.split() for said in field.heads):
            return field.key, 0.5
    return None
