"""A mapped sheet becomes reps, or every fault by line and column; nothing is passed over unseen."""

from dataclasses import replace
from datetime import UTC, date, time, timedelta, timezone
from typing import Any

import pytest

from nares.base.errors import Unknown, Unusable
from nares.decide.sheets import (
    GIVEN,
    Mapping,
    Sheet,
    SheetRead,
    as_plain,
    from_plain,
    propose,
    read_sheet,
    sheet_of,
    sheet_of_text,
    with_known_words,
    words_in,
)

STEPS = {"source-value": "Value at source", "source-breaths": "Stay for a breath"}
DOGS = ("Brine", "Moss")
LOG = """Brine's log;;;;;
Date;Dog;Exercise;Hold (s);OK?;Remarks
14.03.2026;Brine;Value at source;0,8;x;
;;;1,2;;
;;;"1,05 s";x;
Total;;;;2;
15.03.2026;Brine;source-breaths;1:05;x;good
A note: she was tired that day;;;;;
"""
WIDE = "date,dog,rep1,rep2,rep3\n2026-03-04,Brine,1,0,1\n2026-03-05,Brine,1,1,\n2026-03-05,Brine,0,,1\n"
PLAIN = "Date,Dog,Step,Met\n2026-03-04,Brine,source-value,yes\n"


def read(text: str | Sheet, zone: Any = UTC, **changes: Any) -> SheetRead:
    """Read a sheet by what is proposed for it, with changes."""
    sheet = sheet_of_text(text) if isinstance(text, str) else text
    proposed = propose(sheet, dogs=DOGS, steps=STEPS, header_line=changes.pop("header_line", None))
    given = {**proposed.given, **changes.pop("given", {})}
    return read_sheet(sheet, replace(proposed, given=given, **changes), zone=zone, steps=STEPS)


def said(found: SheetRead) -> str:
    return "\n".join(map(str, found.findings))


def test_a_log_with_title_gaps_totals_and_notes_becomes_reps() -> None:
    found = read(LOG)
    assert said(found) == ""
    assert [(one.line, one.rep.session, one.rep.rep, one.rep.met, one.rep.hold_s) for one in found.reps] == [
        (3, "Brine 2026-03-14", 1, True, 0.8),
        (4, "Brine 2026-03-14", 2, False, 1.2),
        (5, "Brine 2026-03-14", 3, True, 1.05),
        (7, "Brine 2026-03-15", 1, True, 65.0),
    ]
    assert [str(one) for one in found.passed_over] == [
        "line 1: Above the header: Brine's log",
        "line 6: A line of totals: Total, 2",
        "line 8: A note: A note: she was tired that day",
    ]


def test_what_the_sheet_does_not_say_is_taken_as_said_and_named() -> None:
    rep = read(LOG).reps[1].rep
    assert (rep.ended_by, rep.paid, rep.hand, rep.cues, rep.started_at) == (
        "dog", False, "inside", ("target",), "2026-03-14T12:00:00.000Z",
    )  # fmt: skip
    notes = " ".join(read(LOG).notes)
    for word in ("ended by the mark", "taken as paid", "Hand is not in the sheet: inside", "put at noon"):
        assert word in notes


def test_one_line_a_session_is_taken_apart_into_reps() -> None:
    found = read(WIDE, given={"step": "source-value"})
    assert [(one.line, one.rep.session, one.rep.rep, one.rep.met) for one in found.reps] == [
        (2, "Brine 2026-03-04", 1, True),
        (2, "Brine 2026-03-04", 2, False),
        (2, "Brine 2026-03-04", 3, True),
        (3, "Brine 2026-03-05", 1, True),
        (3, "Brine 2026-03-05", 2, True),
        (4, "Brine 2026-03-05 (2)", 1, False),
        (4, "Brine 2026-03-05 (2)", 3, True),
    ]
    assert found.reps[-1].rep.started_at == "2026-03-05T12:01:00.000Z"


TICKS = "date,dog,rep1,rep2,rep3\n2026-03-04,Brine,x,,x\n2026-03-05,Brine,x,x,\n2026-03-06,Brine,,,\n"


def test_an_empty_place_among_ticks_is_asked_and_never_dropped_unsaid() -> None:
    given = {"step": "source-value"}
    unsaid = read(TICKS, given=given, words={"met": {"x": "1"}})
    assert [one.where for one in unsaid.findings] == ["line 2", "line 3"]
    assert "The column rep2 is empty: a rep that was not met, or no rep at all?" in said(unsaid)
    missed = read(TICKS, given=given, words={"met": {"x": "1", "": "0"}}).reps
    assert [one.rep.met for one in missed] == [True, False, True, True, True, False, False, False, False]
    skipped = read(TICKS, given=given, words={"met": {"x": "1", "": "none"}})
    assert [(one.line, one.rep.rep) for one in skipped.reps] == [(2, 1), (2, 3), (3, 1), (3, 2)]
    assert "line 4: It says nothing of a rep" in str(skipped.passed_over[-1])


def test_an_empty_place_among_ticks_is_proposed_as_nothing_and_beside_misses_as_no_rep() -> None:
    assert propose(sheet_of_text(TICKS), dogs=DOGS, steps=STEPS).words["met"] == {"x": "1"}
    assert propose(sheet_of_text(WIDE), dogs=DOGS, steps=STEPS).words["met"] == {
        "0": "0",
        "1": "1",
        "": "none",
    }


def test_a_hold_beside_an_empty_word_that_is_no_rep_is_named() -> None:
    text = "Date,Dog,Hold 1,Hold 2,Hold 3,Met 1,Met 2,Met 3\n2026-03-04,Brine,1.2,0.4,2,y,,n\n"
    found = read(text, given={"step": "source-value"})
    assert "Empty was said to be no rep, but the line says more of it" in said(found)


def test_columns_of_holds_beside_columns_of_met_go_together() -> None:
    text = "Date,Dog,Hold 1,Hold 2,Hold 3,Met 1,Met 2,Met 3\n2026-03-04,Brine,1.2,0.4,2,y,n,y\n"
    found = read(text, given={"step": "source-value"})
    assert [(one.rep.hold_s, one.rep.met) for one in found.reps] == [(1.2, True), (0.4, False), (2.0, True)]


def test_columns_of_holds_with_an_ask_for_the_session_say_what_was_met() -> None:
    text = "Date,Dog,Ask,r1,r2,r3\n2026-03-04,Brine,1,1.2,0.4,1\n"
    found = read(text, given={"step": "source-value"})
    assert [(one.rep.ask_s, one.rep.met) for one in found.reps] == [(1.0, True), (1.0, False), (1.0, True)]
    assert "Met is taken from the hold and the ask" in " ".join(found.notes)


def test_a_word_over_numbered_columns_is_a_header_of_two_lines() -> None:
    rows: list[list[Any]] = [
        ["Date", "Dog", "Rep", None, None],
        [None, None, 1, 2, 3],
        [date(2026, 3, 4), "Brine", "ok", "fail", "ok"],
    ]
    found = read(sheet_of("s", rows), given={"step": "source-value"})
    assert [one.rep.met for one in found.reps] == [True, False, True]
    assert found.layout.heads == ("Date", "Dog", "Rep 1", "Rep 2", "Rep 3")


@pytest.mark.parametrize("cell", ["8 of 10", "8/10", "8", 8])
def test_counts_are_refused_because_the_order_is_not_in_them(cell: Any) -> None:
    rows: list[list[Any]] = [["Date", "Dog", "Step", "Met"], ["2026-03-04", "Brine", "source-value", cell]]
    found = read(sheet_of("s", rows))
    assert found.reps == ()
    assert "line 2, column D (Met)" in said(found)
    assert "in which order they came, and the call depends on the order" in said(found)


def test_a_count_that_a_spreadsheet_made_a_day_of_is_explained() -> None:
    rows: list[list[Any]] = [
        ["Date", "Dog", "Step", "Met"],
        ["2026-03-04", "Brine", "source-value", date(2026, 10, 8)],
    ]
    assert "a spreadsheet turns 8/10 into one" in said(read(sheet_of("s", rows)))


def test_every_fault_comes_back_at_once_and_no_rep_with_them() -> None:
    text = "Date,Dog,Step,Hold,Met\n2026-03-04,Brine,source-value,long,yes\n"
    text += "soon,Brine,nowhere,1,hurra\n2026-03-05,Brine,source-value,1,yes\n"
    found = read(text)
    assert found.reps == ()
    assert [one.where for one in found.findings] == [
        "line 2, column D (Hold)",
        "line 3, column A (Date)",
        "line 3, column C (Step)",
        "line 3, column E (Met)",
    ]
    assert "Hold is 'long'. It is no length of time" in said(found)
    assert "Nobody has said what this word means" in said(found)
    assert "no step of this key or name" in said(found)


def test_an_own_word_counts_once_it_has_a_meaning() -> None:
    sheet = sheet_of_text(PLAIN.replace("yes", "Hurra"))
    mapping = with_known_words(propose(sheet, dogs=DOGS, steps=STEPS), sheet, DOGS, STEPS)
    assert words_in(sheet, mapping)["met"] == ("hurra",)
    meant = replace(mapping, words={**mapping.words, "met": {"hurra": "1"}})
    assert read_sheet(sheet, meant, zone=UTC, steps=STEPS).reps[0].rep.met


@pytest.mark.parametrize(
    ("cells", "met"),
    [
        (["x", None], [True, False]),
        (["✓", "x"], [True, False]),
        (["x", "0"], [True, False]),
        (["1", None], [True, False]),
    ],
)
def test_a_cross_is_a_tick_or_a_fail_by_what_stands_beside_it(
    cells: list[str | None], met: list[bool]
) -> None:
    rows: list[list[Any]] = [["Date", "Dog", "Step", "OK"]]
    rows += [["2026-03-04", "Brine", "source-value", cell] for cell in cells]
    assert [one.rep.met for one in read(sheet_of("s", rows)).reps] == met


def test_an_empty_cell_beside_a_written_word_is_asked() -> None:
    rows: list[list[Any]] = [["Date", "Dog", "Step", "Hold", "OK"]]
    rows += [["2026-03-04", "Brine", "source-value", 1, cell] for cell in ("ok", None)]
    assert "Met is empty. Fill it in, or say what an empty cell means" in said(read(sheet_of("s", rows)))


def test_a_cross_nobody_can_tell_is_asked() -> None:
    rows: list[list[Any]] = [["Date", "Dog", "Step", "OK"], ["2026-03-04", "Brine", "source-value", "x"]]
    assert "Met is 'x'. Nobody has said what this word means" in said(read(sheet_of("s", rows)))


def test_day_and_month_that_could_change_places_are_asked_not_guessed() -> None:
    text = PLAIN.replace("2026-03-04", "03/04/2026")
    assert "Say whether the day or the month comes first" in said(read(text))
    assert read(text, order="month first").reps[0].rep.started_at.startswith("2026-03-04")
    assert read(text, order="day first").reps[0].rep.started_at.startswith("2026-04-03")


def test_times_are_put_into_utc_from_their_zone() -> None:
    text = "Date,Time,Dog,Step,Met\n2026-03-04,9:30,Brine,source-value,yes\n"
    assert read(text, zone=timezone(timedelta(hours=2))).reps[0].rep.started_at == "2026-03-04T07:30:00.000Z"
    iso = "Date,Dog,Step,Met\n2026-03-04T09:30:00+05:00,Brine,source-value,yes\n"
    assert read(iso).reps[0].rep.started_at == "2026-03-04T04:30:00.000Z"


def test_reps_half_an_hour_apart_are_of_two_sessions() -> None:
    rows: list[list[Any]] = [["Date", "Time", "Dog", "Step", "Met"]]
    for clock in (time(9, 30), time(9, 41), time(15, 0)):
        rows.append([date(2026, 3, 4), clock, "Brine", "source-value", "yes"])
    found = read(sheet_of("s", rows))
    assert [one.rep.session for one in found.reps] == [
        "Brine 2026-03-04 09.30", "Brine 2026-03-04 09.30", "Brine 2026-03-04 15.00",
    ]  # fmt: skip


def test_a_rep_numbered_one_again_begins_another_session() -> None:
    rows: list[list[Any]] = [["Date", "Dog", "Step", "Rep", "Met"]]
    rows += [["2026-03-04", "Brine", "source-value", number, "yes"] for number in ("1", "2", "1", "2")]
    names = [one.rep.session for one in read(sheet_of("s", rows)).reps]
    assert names == ["Brine 2026-03-04"] * 2 + ["Brine 2026-03-04 (2)"] * 2


@pytest.mark.parametrize(
    ("rows", "naming", "names"),
    [
        ([("morning at the quay", "Brine", 4)], "as written", ["morning at the quay"]),
        ([("7", "Brine", 4), ("8", "Brine", 5)], "dog and name", ["Brine 7", "Brine 8"]),
        (
            [("quay one", "Brine", 4), ("quay one", "Moss", 4)],
            "dog and name",
            ["Brine quay one", "Moss quay one"],
        ),
        (
            [("1", "Brine", 4), ("1", "Brine", 5)],
            "dog, day and name",
            ["Brine 2026-03-04 1", "Brine 2026-03-05 1"],
        ),
    ],
)
def test_sessions_are_named_so_that_they_stay_apart(
    rows: list[tuple[str, str, int]], naming: str, names: list[str]
) -> None:
    lines = [["Session", "Dog", "Date", "Step", "Met"]]
    lines += [[name, dog, f"2026-03-0{day}", "source-value", "yes"] for name, dog, day in rows]
    sheet = sheet_of("s", lines)
    assert propose(sheet, dogs=DOGS, steps=STEPS).naming == naming
    assert [one.rep.session for one in read(sheet).reps] == names


@pytest.mark.parametrize(
    ("second", "naming", "rule"),
    [
        (["a b", "Moss", "2026-03-04"], "as written", "Call sessions by dog and name"),
        (["a b", "Brine", "2026-03-05"], "as written", "Call sessions by dog, day and name"),
        ([None, "Brine", "2026-03-04"], "as written", "The session has no name"),
    ],
)
def test_a_session_of_two_dogs_or_two_days_is_named(second: list[str | None], naming: str, rule: str) -> None:
    rows: list[list[Any]] = [
        ["Session", "Dog", "Date", "Step", "Met"],
        ["a b", "Brine", "2026-03-04", "source-value", "yes"],
    ]
    rows.append([*second, "source-value", "yes"])
    assert rule in said(read(sheet_of("s", rows), naming=naming, carried=()))


def test_a_rep_number_twice_is_named_with_both_lines_and_no_rep_is_given() -> None:
    rows: list[list[Any]] = [["Date", "Dog", "Step", "Rep", "Met"]]
    rows += [["2026-03-04", "Brine", "source-value", number, "yes"] for number in ("1", "2", "2")]
    found = read(sheet_of("s", rows))
    assert "line 4: Rep 2 of session Brine 2026-03-04 already stands on line 3" in said(found)
    assert found.reps == ()


def test_what_no_column_says_is_asked_before_any_line_is_read() -> None:
    found = read("Weather,Mood\nrain,good\n")
    assert [one.where for one in found.findings] == ["Dog", "Day", "Step", "Met"]
    assert "or give one value for the whole sheet" in said(found)


def test_a_value_for_the_whole_sheet_that_cannot_be_is_said_once() -> None:
    text = "Date,Dog,Met\n2026-03-04,Brine,yes\n2026-03-05,Brine,yes\n"
    found = read(text, given={"step": "nowhere", "hand": "elbow"})
    assert [one.where for one in found.findings] == ["Hand, for the sheet", "Step, for the sheet"]


def test_a_line_that_says_nothing_of_a_rep_is_named() -> None:
    found = read(PLAIN + "2026-03-05,Brine,source-value,\n")
    assert len(found.reps) == 1
    assert [str(one) for one in found.passed_over] == [
        "line 3: It says nothing of a rep: 2026-03-05, Brine, source-value"
    ]


def test_an_empty_sheet_and_a_header_alone_say_so() -> None:
    assert "No line below the header is a rep" in said(read("Date,Dog,Step,Met\n"))
    assert read_sheet(sheet_of("s", []), Mapping(), zone=UTC, steps=STEPS).reps == ()


def test_a_repeated_header_is_passed_over() -> None:
    found = read(PLAIN + PLAIN)
    assert [one.line for one in found.reps] == [2, 4]
    assert "line 3: The header once more" in str(found.passed_over[0])


def test_a_sheet_without_a_header_is_read_by_letters() -> None:
    sheet = sheet_of_text("2026-03-04,Brine,source-value,yes\n")
    columns = {"day": "column A", "dog": "column B", "step": "column C", "met": "column D"}
    mapping = Mapping(0, columns=columns, given=GIVEN)
    assert propose(sheet).header_line == 0
    found = read_sheet(sheet, mapping, zone=UTC, steps=STEPS)
    assert [one.rep.step for one in found.reps] == ["source-value"]


@pytest.mark.parametrize(
    ("changes", "error", "words"),
    [
        ({"columns": {"met": "Nope"}}, Unknown, "no column 'Nope'. Its columns are: Date, Dog, Step, Met"),
        ({"columns": {"mood": "Met"}}, Unknown, "no field 'mood'. The fields are: dog"),
        ({"columns": {"met": "Met", "paid": "Met"}}, Unusable, "'Met' is used for two things"),
        ({"series": {"hand": ("Met",)}, "columns": {}}, Unusable, "Columns for each rep hold one of met"),
        ({"order": "sideways"}, Unusable, "order of day and month is 'sideways'. Choose one of: day first"),
        ({"naming": "x"}, Unusable, "How sessions are called is 'x'"),
        ({"clock_as": "x"}, Unusable, "How times are meant is 'x'"),
        ({"units": {"hold_s": "min"}}, Unusable, "unit of a length of time is 'min'"),
        ({"one_line": "x"}, Unusable, "What one line is is 'x'"),
    ],
)
def test_a_mapping_that_cannot_be_is_refused(changes: Any, error: type[Exception], words: str) -> None:
    with pytest.raises(error, match=words.replace("(", r"\(")):
        read(PLAIN, **changes)


def test_a_mapping_goes_through_plain_values_unchanged() -> None:
    mapping = propose(sheet_of_text(LOG), dogs=DOGS, steps=STEPS)
    assert from_plain(as_plain(mapping)) == mapping
    with pytest.raises(Unusable, match="This is no mapping of a sheet"):
        from_plain({"words": 3})


def test_milliseconds_are_told_by_the_header_or_by_their_size() -> None:
    rows: list[list[Any]] = [
        ["Date", "Dog", "Step", "Hold", "Met"],
        [date(2026, 3, 4), "Brine", "source-value", 1450, True],
    ]
    assert read(sheet_of("s", rows)).reps[0].rep.hold_s == 1.45
    rows[0][3], rows[1][3] = "Hold (ms)", 90
    assert read(sheet_of("s", rows)).reps[0].rep.hold_s == 0.09


def test_an_hour_long_hold_is_refused() -> None:
    rows: list[list[Any]] = [
        ["Date", "Dog", "Step", "Hold (s)", "Met"],
        ["2026-03-04", "Brine", "source-value", 9000, "yes"],
    ]
    assert "Hold is '9000'. Give a number from 0 up to 3600" in said(read(sheet_of("s", rows)))
