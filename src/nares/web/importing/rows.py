"""A spreadsheet ready to show: every choice with what may be chosen, and what would be kept."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from nares.app.sheets_page import SheetColumn, SheetPage, SheetWord
from nares.base.vocab import Rep
from nares.web.importing.asked import REPS
from nares.web.sessions.forms import DISTURBANCES, HANDS, PAY_PLACES, SOURCES
from nares.web.shell.words import ask, seconds, word, yes_no

Choices = list[tuple[str, str]]

YES_NO: Choices = [("1", "yes"), ("0", "no")]
CHOICES: Mapping[str, Choices] = {
    "met": YES_NO,
    "paid": YES_NO,
    "ended_by": [("mark", "the mark"), ("dog", "the dog")],
    "hand": HANDS,
    "pay_place": PAY_PLACES,
    "source": SOURCES,
    "disturbance": DISTURBANCES,
}
SERIES_NAMES = {"met": "One rep each: met", "hold_s": "One rep each: hold", "ask_s": "One rep each: ask"}
GIVEN = ("dog", "step", "hand", "pay_place", "source", "disturbance", "distance_m", "ask_s", "cues")
ORDERS: Choices = [
    ("", "not said"),
    ("day first", "the day (14/03/2026)"),
    ("month first", "the month (03/14/2026)"),
    ("year first", "the year (2026/03/14)"),
]
UNITS: Choices = [("s", "seconds"), ("ms", "milliseconds")]
CLOCKS: Choices = [("min:s", "minutes and seconds"), ("h:min:s", "hours, minutes and seconds")]
NAMINGS: Choices = [
    ("dog and day", "by dog and day"),
    ("as written", "as the sheet names them"),
    ("dog and name", "by dog and the sheet's name"),
    ("dog, day and name", "by dog, day and the sheet's name"),
]


@dataclass(frozen=True, slots=True)
class Choice:
    """One thing to choose: the name in the form, its label, what may be chosen and what is."""

    name: str
    label: str
    options: Choices
    chosen: str
    help: str = ""


@dataclass(frozen=True, slots=True)
class WordRow:
    """A word of a column and what it may mean."""

    said: str
    word: str
    choice: Choice


@dataclass(frozen=True, slots=True)
class ColumnRow:
    """A column with what it may be taken for."""

    head: str
    where: str
    examples: str
    choice: Choice


@dataclass(frozen=True, slots=True)
class WordsOf:
    """The words of one field."""

    name: str
    rows: tuple[WordRow, ...]


@dataclass(frozen=True, slots=True)
class Rows:
    """Everything of a spreadsheet, ready to show. ``settings``: choices that concern the whole sheet."""

    columns: tuple[ColumnRow, ...]
    words: tuple[WordsOf, ...]
    given: tuple[Choice, ...]
    settings: tuple[Choice, ...]
    carried: tuple[tuple[str, str, bool], ...]
    reps: tuple[tuple[int, str, tuple[str, ...]], ...]


def rows_of(page: SheetPage) -> Rows:
    """Lay a spreadsheet out."""
    return Rows(
        columns=tuple(_column(page, place, column) for place, column in enumerate(page.columns)),
        words=tuple(
            WordsOf(
                page.fields[name], tuple(_word(page, name, place, one) for place, one in enumerate(words))
            )
            for name, words in page.words.items()
            if words
        ),
        given=tuple(_given(page)),
        settings=tuple(_settings(page)),
        carried=tuple(
            (f"carry-{name}", page.fields[name], name in page.mapping["carried"])
            for name in page.carriable
            if name in page.mapping["columns"]
        ),
        reps=tuple((one.line, one.rep.session, _cells(one.rep)) for one in page.first_reps),
    )


def _column(page: SheetPage, place: int, column: SheetColumn) -> ColumnRow:
    options = [("", "not used"), *page.fields.items()]
    options += [(f"{REPS}{name}", said) for name, said in SERIES_NAMES.items()]
    choice = Choice(f"col-{place}", f"Column {column.letter}: {column.head}", options, column.field)
    return ColumnRow(column.head, column.letter, ", ".join(column.examples) or "empty", choice)


def _word(page: SheetPage, name: str, place: int, one: SheetWord) -> WordRow:
    if name == "step":
        options = list(page.steps.items())
    elif name == "dog":
        options = [(dog, dog) for dog in page.dogs]
    else:
        options = list(CHOICES[name])
    if name == "met" and not one.word:
        options = [("1", "yes"), ("0", "no, not met"), ("none", "no rep there")]
    nothing = "as written" if name == "dog" else "say what it means"
    said = one.word or "(an empty cell)"
    label = f"{page.fields[name]}: {said}"
    return WordRow(
        said, one.word, Choice(f"word-{name}-{place}", label, [("", nothing), *options], one.value)
    )


def _given(page: SheetPage) -> Iterable[Choice]:
    series = page.mapping["series"] if page.mapping["one_line"] == "session" else {}
    for name in GIVEN:
        if name in page.mapping["columns"] or name in series:
            continue
        options = list(CHOICES.get(name, []))
        if name == "step":
            options = [("", "choose the step"), *page.steps.items()]
        said = page.mapping["given"].get(name, "")
        unit = {
            "distance_m": "m",
            "ask_s": "s, empty where there was none",
            "cues": "names with spaces between",
        }
        yield Choice(f"given-{name}", page.fields[name], options, said, unit.get(name, ""))


def _settings(page: SheetPage) -> Iterable[Choice]:
    said = page.mapping
    yield Choice("order", "In days like 03/04 first comes", ORDERS, said["order"])
    for name in ("hold_s", "ask_s"):
        if name in said["columns"] or name in said["series"]:
            label = f"{page.fields[name]}: bare numbers are"
            yield Choice(f"unit-{name}", label, UNITS, said["units"].get(name, "s"))
    if "hold_s" in said["columns"] or "hold_s" in said["series"]:
        yield Choice("clock_as", "A hold shown as 1:05 is in", CLOCKS, said["clock_as"])
    yield Choice("naming", "Sessions are called", NAMINGS, said["naming"])
    help_ = "A place like Europe/Oslo or an offset like +01:00; empty: this computer's."
    yield Choice("zone", "Time zone of the times", [], said["zone"], help_)


REP_HEADS = ("Rep", "Step", "Met", "Ask", "Hold", "Ended by", "Hand", "Pay place", "Source")


def _cells(rep: Rep) -> tuple[str, ...]:
    return (
        str(rep.rep),
        rep.step,
        yes_no(rep.met),
        ask(rep.ask_s),
        "none" if rep.hold_s is None else seconds(rep.hold_s),
        word(rep.ended_by),
        word(rep.hand),
        word(rep.pay_place),
        rep.source,
    )
