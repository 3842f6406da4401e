"""Values as words: units, per cent, certainty, times, and the plain names of codes.

Conventions
-----------
Inside, rates run from 0 to 1 and times are seconds; here, at the door, they become per cent and text with
a unit. ``None`` is never blank: it becomes "not measured" or a dash that is read out as "none". Every
function here escapes what it is given.
"""

import json
from datetime import datetime

from django import template
from django.utils.html import format_html
from django.utils.safestring import SafeString

from nares.app.cues.values import in_words
from nares.app.pages import Evidence
from nares.base.chances import one_in
from nares.base.errors import OutOfRange
from nares.base.times import read_utc

register = template.Library()

NBSP = "\u00a0"
"""Keeps a number and its unit on one line."""

CALLS = {"raise": "Raise", "stay": "Stay", "ease": "Ease", "stop": "Stop"}
KINDS = {
    "kennel_founded": "Record begun",
    "dog_added": "Dog added",
    "programme_kept": "Programme kept",
    "session_run": "Session run",
    "recording_kept": "Recording kept",
    "reading_made": "Recording measured",
    "events_corrected": "Events corrected",
    "reps_confirmed": "Reps confirmed",
    "rep_set_aside": "Rep set aside",
    "sheet_imported": "Spreadsheet brought in",
    "amended": "Value corrected",
    "step_called": "Step called",
    "call_overruled": "Call overruled",
    "ration_set": "Ration set",
    "session_planned": "Session card taken",
    "overruling_withdrawn": "Overruling taken back",
    "signs_seen": "Signs seen",
    "signs_cleared": "Signs looked into",
    "cue_named": "Cue named",
    "lineup_sealed": "Line-up sealed",
    "seat_taken": "Seat taken",
    "key_seen": "Key seen",
    "run_placed": "Run placed",
    "run_begun": "Run begun",
    "call_made": "Call made",
    "run_observed": "Run observed",
    "run_opened": "Run opened",
    "run_voided": "Run void",
    "key_opened": "Key opened",
    "clock_set": "Clock set",
}
WORDS = {
    "mark": "the mark",
    "dog": "the dog",
    "unknown": "unclear",
    "inside": "inside the box",
    "side": "at the side opening",
    "front": "in front",
    "outside": "outside the box",
    "away": "away from the box",
}
DISTURBANCE = ("none", "slight", "clear", "strong")


def trimmed(value: float, digits: int) -> str:
    """A number with at most so many decimals and no trailing zeros.

    >>> trimmed(1.50, 2), trimmed(3.0, 1), trimmed(-0.001, 1)
    ('1.5', '3', '0')
    """
    text = f"{value:.{digits}f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text in ("-0", "") else text


@register.filter
def seconds(value: float | None, digits: int = 2) -> str:
    r"""Seconds with their unit.

    >>> seconds(1.354), seconds(None)
    ('1.35\xa0s', 'not measured')
    """
    return "not measured" if value is None else f"{value:.{digits}f}{NBSP}s"


@register.filter
def ask(value: float | None) -> str:
    r"""The hold asked for, as short as it can be said.

    >>> ask(2.0), ask(1.25), ask(None)
    ('2\xa0s', '1.2\xa0s', 'no ask')
    """
    return "no ask" if value is None else f"{trimmed(value, 1)}{NBSP}s"


@register.filter
def grams(value: float | None) -> str:
    r"""A mass with its unit, as short as a scale can say it.

    >>> grams(320.0), grams(0.25), grams(None)
    ('320\xa0g', '0.25\xa0g', 'not weighed')
    """
    return "not weighed" if value is None else f"{trimmed(value, 3)}{NBSP}g"


@register.filter
def metres(value: float | None) -> str:
    r"""A distance with its unit.

    >>> metres(0.0), metres(2.5)
    ('at the box', '2.5\xa0m')
    """
    if value is None:
        return "not given"
    return "at the box" if value == 0 else f"{trimmed(value, 1)}{NBSP}m"


@register.filter
def percent(value: float | None) -> str:
    r"""A rate as whole per cent.

    >>> percent(0.867), percent(None)
    ('87\xa0%', 'none yet')
    """
    return "none yet" if value is None else f"{100 * value:.0f}{NBSP}%"


@register.filter
def times(value: float) -> str:
    """A chance as a person says it: never, 1 time in 20, 80 times in 100."""
    return one_in(value)


@register.filter
def small(value: float) -> str:
    """A small rate as it is written in a programme: two figures that count."""
    return f"{value:.2g}"


@register.filter
def reps(value: float) -> str:
    """A mean number of reps."""
    return f"{value:.1f}"


@register.filter
def tenths(value: float) -> str:
    r"""A small rate in per cent with one decimal.

    >>> tenths(0.0148)
    '1.5\xa0%'
    """
    return f"{100 * value:.1f}{NBSP}%"


@register.filter
def evidence(value: Evidence | None) -> str:
    r"""How many reps met their ask, and the interval that leaves.

    >>> evidence(Evidence(15, 13, 13 / 15, 0.62, 0.963, 0.95, 2))
    '13 of 15 met, 62–96\xa0%'
    """
    if value is None or not value.reps:
        return "no confirmed rep yet"
    said = f"{value.met} of {value.reps} met"
    if value.low is None or value.high is None:
        return said
    return f"{said}, {100 * value.low:.0f}–{100 * value.high:.0f}{NBSP}%"


@register.filter
def word(value: str) -> str:
    """The plain words for a code of the rep table."""
    return WORDS.get(value, value.replace("_", " "))


@register.filter
def call_word(value: str) -> str:
    return CALLS.get(value, value)


@register.filter
def kind(value: str) -> str:
    """An entry's kind in plain words."""
    return KINDS.get(value, value.replace("_", " ").capitalize())


@register.filter
def disturbance(value: int) -> str:
    """The disturbance as number and word.

    >>> disturbance(2)
    '2, clear'
    """
    return f"{value}, {DISTURBANCE[value]}" if 0 <= value < len(DISTURBANCE) else str(value)


@register.filter
def when(value: str | None) -> str | SafeString:
    """A time of day as an element the browser turns into its own zone; UTC until it does."""
    if not value:
        return "no time given"
    try:
        at = read_utc(value)
    except OutOfRange:
        return value
    return format_html('<time datetime="{}" title="{} UTC">{} UTC</time>', value, _plain(at), _plain(at))


@register.filter
def clock(value: str | None) -> str | SafeString:
    """A time of the day to the second, as an element the browser turns into its own zone."""
    if not value:
        return "no time given"
    try:
        at = read_utc(value)
    except OutOfRange:
        return value
    return format_html(
        '<time datetime="{}" data-clock title="{} UTC">{} UTC</time>',
        value,
        _plain(at),
        at.strftime("%H:%M:%S"),
    )


HOLDS = {
    "target": "target",
    "distractor": "distractor",
    "control": "control",
    "blank": "nothing",
    "warm": "nothing, but a target within 48 h",
}


@register.filter
def holds_word(value: str) -> str:
    """What a position held, in plain words.

    >>> holds_word("blank")
    'nothing'
    """
    return HOLDS.get(value, value)


def _plain(at: datetime) -> str:
    return at.strftime("%Y-%m-%d %H:%M:%S") if at.second else at.strftime("%Y-%m-%d %H:%M")


@register.filter
def span(value: float) -> str:
    """A stretch of time in the largest unit that stays readable.

    >>> span(45), span(600), span(10800), span(200000)
    ('45 s', '10 min', '3 h', '2.3 days')
    """
    for size_s, name, digits in ((86400, "days", 1), (3600, "h", 1), (60, "min", 0)):
        if value >= size_s:
            return f"{trimmed(value / size_s, digits)} {name}"
    return f"{value:.0f} s"


@register.filter
def short(digest: str | None) -> str:
    """The first letters of a digest, enough to compare by eye."""
    return digest[:12] if digest else "none"


@register.filter
def yes_no(value: bool) -> str:
    return "yes" if value else "no"


@register.filter
def field_name(value: str) -> str:
    """The plain name of a value of the rep table, also at the end of a JSON pointer.

    >>> field_name("hold_s"), field_name("/reps/0/pay_place"), field_name("note")
    ('Hold (s)', 'Pay place', 'Note')
    """
    last = value.rpartition("/")[2]
    stem, _, unit = last.rpartition("_")
    plain = (stem if unit in ("s", "m") and stem else last).replace("_", " ")
    return plain[:1].upper() + plain[1:] + (f" ({unit})" if unit in ("s", "m") and stem else "")


@register.filter
def words(values: tuple[str, ...]) -> str:
    return ", ".join(values) if values else "none"


@register.filter
def number(value: float) -> str:
    """A bare number, as short as it can be said.

    >>> number(1.5), number(2.0)
    ('1.5', '2')
    """
    return trimmed(value, 1)


@register.filter
def upto(value: int) -> range:
    """Count from 1 to the value, for drawing."""
    return range(1, value + 1)


@register.filter
def said_name(value: str) -> str:
    """The name under which a form sends the word whose meaning is chosen.

    >>> said_name("word-met-0")
    'said-met-0'
    """
    return f"said-{value.removeprefix('word-')}"


@register.filter
def hundredths(value: float) -> int:
    """A rate as a whole number of hundredths, for a progress bar."""
    return round(100 * value)


@register.filter
def in_seconds(value_ms: int) -> str:
    """Whole milliseconds as seconds with their unit."""
    return seconds(value_ms / 1000)


@register.filter
def pretty(text: str) -> str:
    r"""JSON with one value a line; text that is none stays as it is.

    >>> pretty('{"a":1}')
    '{\n  "a": 1\n}'
    """
    try:
        return json.dumps(json.loads(text), indent=2, ensure_ascii=False)
    except ValueError:
        return text


@register.filter
def cue(name: str) -> str:
    """A cue as a sentence names it.

    >>> cue("hand")
    'the hand'
    """
    return in_words(name)
