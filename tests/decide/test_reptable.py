"""The rep table: read whole or not at all, written back without loss."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from nares.base.errors import Unusable
from nares.base.vocab import Rep
from nares.decide import read_rep_table, write_rep_table
from nares.decide.repcells import COLUMNS
from nares.decide.reptable import parse_rep_table

HEADER = (
    "dog,session,started_at,step,rep,ask_s,hold_s,ended_by,met,hand,pay_place,distance_m,disturbance,source,"
    "cues,paid"
)
ROW = "Bracken,7,2026-03-01T09:30:00+01:00,hold-3,1,2.50,2.61,mark,1,away,inside,0,0,target,box hand,1"
TABLE = f"{HEADER}\n{ROW}\n{ROW.replace(',1,2.50', ',2,2.50').replace('2.61,mark,1', '1.10,dog,0')}\n"
OWN = (
    'note,dog,session,started_at,step,rep,"ask_s",hold_s,ended_by,met,hand,pay_place,distance_m,disturbance,'
    "source,cues,paid,weather\r\n"
    '"wet, cold",Bracken,7,2026-03-01T09:30:00+01:00,hold-3,1,2.50,2.610,mark,1,away,inside,0,0,target,,1,'
    '"a ""b"""\r\n'
    '"two\r\nlines",Bracken,7,2026-03-01T09:31:00+01:00,hold-3,2,,,dog,0,away,inside,00.0,0,target,box,1,\r\n'
)


def places(text: str) -> list[str]:
    return [finding.where for finding in parse_rep_table(text).findings]


def test_a_row_becomes_a_rep() -> None:
    first, second = read_rep_table(TABLE).reps
    assert first == Rep(
        dog="Bracken", session="7", started_at="2026-03-01T09:30:00+01:00", step="hold-3", rep=1, ask_s=2.5,
        hold_s=2.61, ended_by="mark", met=True, hand="away", pay_place="inside", distance_m=0.0,
        disturbance=0, source="target", cues=("box", "hand"), paid=True,
    )  # fmt: skip
    assert (second.ended_by, second.met) == ("dog", False)


@pytest.mark.parametrize("column", COLUMNS)
def test_each_missing_column_is_named(column: str) -> None:
    names = HEADER.split(",")
    kept = [n for n in range(len(names)) if names[n] != column]
    text = "\n".join(",".join(line.split(",")[n] for n in kept) for line in TABLE.splitlines())
    assert places(text) == [f"line 1, column {column}"]
    with pytest.raises(Unusable, match=rf"'{column}' is missing. Add it"):
        read_rep_table(text)


@pytest.mark.parametrize(
    ("old", "new", "column", "says"),
    [
        ("Bracken", " ", "dog", "It is empty"),
        ("+01:00", "", "started_at", "has no zone"),
        ("2026-03-01T", "01/03/2026 ", "started_at", "is not a date and time"),
        (",1,2.50", ",0,2.50", "rep", "whole number from 1 up"),
        (",1,2.50", ",one,2.50", "rep", "whole number from 1 up"),
        ("2.50", "-2", "ask_s", "number from 0 up"),
        ("2.61", "-0.5", "hold_s", "cannot end before it starts"),
        ("2.61", "nan", "hold_s", "number from 0 up"),
        ("2.61", "inf", "hold_s", "from 0 up to 3600"),
        ("2.61", "1e308", "hold_s", "from 0 up to 3600"),
        ("2.50", "3601", "ask_s", "from 0 up to 3600"),
        ("2.61", "1_0", "hold_s", "number with a point"),
        ("inside,0,0", "inside,10001,0", "distance_m", "from 0 up to 10000"),
        ("2.61", "long", "hold_s", "number with a point"),
        ("mark,1", "bell,1", "ended_by", "one of mark, dog"),
        ("mark,1", "mark,yes", "met", "1 for yes or 0 for no"),
        ("away,inside", "up,inside", "hand", "one of inside, side, front, away"),
        ("away,inside", "away,pocket", "pay_place", "one of inside, outside, away"),
        ("inside,0,0", "inside,,0", "distance_m", "number with a point"),
        ("inside,0,0", "inside,0,4", "disturbance", "whole number from 0 to 3"),
        ("target", "trap", "source", "one of target, blank, distractor"),
        ("hand,1", "hand,2", "paid", "1 for yes or 0 for no"),
    ],
)
def test_a_wrong_value_is_named_by_line_and_column(old: str, new: str, column: str, says: str) -> None:
    table = parse_rep_table(f"{HEADER}\n{ROW.replace(old, new, 1)}\n")
    assert [finding.where for finding in table.findings] == [f"line 2, column {column}"]
    assert says in table.findings[0].text
    assert table.reps == ()


def test_all_faults_come_back_at_once_and_nothing_is_half_imported() -> None:
    bad = ROW.replace("2.61", "-1").replace("mark,1", "mark,3")
    text = f"{TABLE}{bad.replace(',1,2.50', ',3,2.50')}\n{ROW},extra\n"
    assert places(text) == ["line 4, column hold_s", "line 4, column met", "line 5"]
    assert parse_rep_table(text).reps == ()


def test_the_same_rep_twice_is_named_with_its_first_line() -> None:
    (finding,) = parse_rep_table(f"{HEADER}\n{ROW}\n{ROW}\n").findings
    assert finding.where == "line 3, column rep"
    assert "already stands on line 2" in finding.text


def test_two_dogs_may_share_a_session_number() -> None:
    assert len(read_rep_table(f"{HEADER}\n{ROW}\n{ROW.replace('Bracken', 'Teasel')}\n").reps) == 2


def test_a_clock_that_went_backwards_is_named() -> None:
    later = ROW.replace(",1,2.50", ",2,2.50").replace("09:30", "09:10")
    (finding,) = parse_rep_table(f"{HEADER}\n{ROW}\n{later}\n").findings
    assert finding.rule == "clock-backwards"
    assert finding.where == "line 3, column started_at"


def test_a_time_in_another_zone_is_no_step_back() -> None:
    later = ROW.replace(",1,2.50", ",2,2.50").replace("09:30:00+01:00", "08:31:00+00:00")
    assert len(read_rep_table(f"{HEADER}\n{ROW}\n{later}\n").reps) == 2


@pytest.mark.parametrize(
    ("text", "rule"),
    [
        ("", "no-header"),
        ("\n\n", "no-header"),
        (HEADER.replace(",", ";") + "\n", "semicolons"),
        (HEADER + ",dog\n", "repeated-column"),
        (f'{HEADER}\n"{ROW}\n', "not-csv"),
        (f"{HEADER}\nBracken,7\n", "wrong-length"),
    ],
)
def test_tables_that_are_none(text: str, rule: str) -> None:
    assert rule in [finding.rule for finding in parse_rep_table(text).findings]


def test_a_header_alone_is_an_empty_table() -> None:
    assert read_rep_table(HEADER + "\n").reps == ()


@pytest.mark.parametrize("text", [TABLE, "\ufeff" + TABLE, OWN, OWN.rstrip("\r\n"), "\ufeff" + OWN])
def test_written_back_unchanged_it_is_the_same_text(text: str) -> None:
    table = read_rep_table(text)
    assert write_rep_table(table.reps, like=table) == text


def test_a_changed_value_leaves_every_other_cell_of_its_row_as_it_was() -> None:
    table = read_rep_table(OWN)
    first, second = table.reps
    text = write_rep_table([replace(first, met=False), second], like=table)
    assert text == OWN.replace("2.610,mark,1", "2.610,mark,0")
    assert table.unknown_columns == ("note", "weather")


def test_a_new_rep_gets_empty_unknown_cells() -> None:
    table = read_rep_table(OWN)
    text = write_rep_table([*table.reps, replace(table.reps[1], rep=3)], like=table)
    assert text.startswith(OWN)
    assert read_rep_table(text).reps[2].rep == 3
    assert text.splitlines()[-1].startswith(",Bracken,7,")
    assert text.endswith(",\r\n")


names = st.text(
    st.characters(blacklist_categories=["Cs", "Cc"], blacklist_characters="\ufeff"), min_size=1
).map(str.strip)
numbers = st.one_of(st.none(), st.floats(0, 600).map(lambda v: round(v, 3)))


@settings(deadline=None)
@given(
    names.filter(bool),
    names.filter(bool),
    numbers,
    numbers,
    st.booleans(),
    st.integers(0, 3),
    st.integers(1, 99),
)
def test_written_reps_read_back_the_same(
    dog: str, step: str, ask_s: float | None, hold_s: float | None, met: bool, disturbance: int, rep: int
) -> None:
    whole = Rep(
        dog, "1", "2026-03-01T08:30:00.000Z", step, rep, ask_s, hold_s, "dog", met, "front", "away", 2.5,
        disturbance, "blank", ("box", "glove"), not met,
    )  # fmt: skip
    assert read_rep_table(write_rep_table([whole])).reps == (whole,)
