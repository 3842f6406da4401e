"""Whatever a sheet holds: a proposal, then reps or faults in words, never a crash, never a line lost."""

from collections import Counter
from datetime import UTC, date, datetime, time, timedelta
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from nares.base.errors import NaresError
from nares.decide.repcells import READERS, cell_of
from nares.decide.sheets import (
    as_plain,
    from_plain,
    propose,
    read_sheet,
    sheet_of,
    sheet_of_text,
    with_known_words,
)

STEPS = {"source-value": "Value at source"}
HEADS = [
    "Date",
    "Time",
    "Dog",
    "Session",
    "Step",
    "Rep",
    "Hold",
    "Ask",
    "Met",
    "OK",
    "Hand",
    "Rep 1",
    "Rep 2",
    "Rep 3",
    "x",
]
WORDS = [
    "Brine",
    "yes",
    "no",
    "x",
    "✓",
    "8 of 10",
    "1:05",
    "0,8",
    "03/04/2026",
    "14.03.2026",
    "Total",
    "side",
    "source-value",
    "9:30",
    "-",
    "800 ms",
    "²",
    "١٢",
    "1e999",
    "nan",
    "10000-01-01",
    "0:0",
    "99/99/9999",
]
cells = st.one_of(
    st.none(),
    st.sampled_from(WORDS),
    st.text(max_size=8),
    st.integers(-10, 50_000),
    st.floats(),
    st.booleans(),
    st.dates(date(1990, 1, 1), date(2030, 1, 1)),
    st.datetimes(datetime(1900, 1, 1), datetime(2100, 1, 1)),  # noqa: DTZ001 - as a spreadsheet gives them
    st.times(),
    st.timedeltas(timedelta(-3), timedelta(3)),
)
FITTING: dict[str, Any] = {
    "Date": st.sampled_from([date(2026, 3, 4), "2026-03-05", "14.03.2026", datetime(2026, 3, 4, 9)]),  # noqa: DTZ001
    "Time": st.sampled_from(["9:30", time(15, 0), None]),
    "Dog": st.sampled_from(["Brine", "brine"]),
    "Step": st.just("source-value"),
    "Rep": st.integers(1, 3),
    "Hold": st.sampled_from([0.8, "1,2", "1:05", None]),
    "Ask": st.sampled_from([1, "0,5"]),
    "Met": st.sampled_from(["yes", "no", True]),
    "Rep 1": st.sampled_from([1, 0, None]),
    "Rep 2": st.sampled_from([1, 0, None]),
    "Rep 3": st.sampled_from([1, 0, None]),
}


@st.composite
def drawn(draw: Any) -> Any:
    """A sheet whose cells mostly fit their header and sometimes do not."""
    heads = draw(st.lists(st.sampled_from(HEADS), min_size=1, max_size=9))
    heads = [*heads, *(["Date", "Dog", "Met"] if draw(st.booleans()) else [])]
    odd = draw(st.booleans())
    rows = [
        [draw(cells if odd and draw(st.integers(0, 9)) == 0 else FITTING.get(head, cells)) for head in heads]
        for _ in range(draw(st.integers(0, 6)))
    ]
    return sheet_of("s", [heads, *rows])


sheets = st.one_of(
    drawn(),
    st.builds(
        lambda heads, rows: sheet_of("s", [heads, *rows]),
        st.lists(st.sampled_from(HEADS), min_size=1, max_size=9),
        st.lists(st.lists(cells, max_size=9), max_size=6),
    ),
)
seen: Counter[str] = Counter()
MOST = {"step": "source-value", "dog": "Brine"}


@settings(max_examples=100, deadline=None, derandomize=True)
@given(sheet=sheets, order=st.sampled_from(["", "day first", "month first"]), wide=st.booleans())
def every_line_is_told(sheet: Any, order: str, wide: bool) -> None:
    mapping = with_known_words(propose(sheet, dogs=("Brine",), steps=STEPS), sheet, ("Brine",), STEPS)
    plain = {
        **as_plain(mapping),
        "order": order,
        "given": {**MOST, **mapping.given} if wide else mapping.given,
    }
    try:
        read = read_sheet(sheet, from_plain(plain), zone=UTC, steps=STEPS)
    except NaresError:
        return
    assert not (read.reps and read.findings)
    seen["reps" if read.reps else "faults"] += 1
    for one in read.reps:
        for name in READERS:
            assert READERS[name](cell_of(one.rep, name)) == getattr(one.rep, name) or name in (
                "ask_s",
                "hold_s",
                "distance_m",
            )
    if read.reps:
        told = {one.line for one in read.reps} | {int(one.where.split()[-1]) for one in read.passed_over}
        filled = {n for n, row in enumerate(sheet.rows, 1) if any(cell is not None for cell in row)}
        assert filled - told <= {mapping.header_line, mapping.header_line - 1}


def test_every_sheet_gives_reps_or_faults_and_names_every_line() -> None:
    seen.clear()
    every_line_is_told()
    assert min(seen["reps"], seen["faults"]) >= 5, seen


@settings(max_examples=100, deadline=None, derandomize=True)
@given(text=st.text(alphabet="Datehold;,\t|\n\r\"' 0123456789.-/✓é", max_size=200))
def test_every_text_becomes_a_sheet_or_a_sentence(text: str) -> None:
    try:
        sheet = sheet_of_text(text)
        read_sheet(sheet, propose(sheet), zone=UTC, steps=STEPS)
    except NaresError as error:
        said = str(error)
    else:
        said = "Nothing to say."
    assert 1 <= said.count(". ") + 1 <= 3
