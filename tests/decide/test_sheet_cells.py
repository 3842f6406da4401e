"""What cells of a trainer's sheet mean: days, times, lengths, numbers, words, encodings, delimiters."""

import re
from datetime import date, datetime, time, timedelta

import pytest

from nares.base.errors import Unusable
from nares.decide.sheets.cells import LONGEST_ROWS, WIDEST_COLUMNS, Cell, key_of, sheet_of
from nares.decide.sheets.delimited import decode, sheet_of_text
from nares.decide.sheets.fields import FIELDS, WORDS, field_of_head, known_words
from nares.decide.sheets.lengths import read_length, read_number
from nares.decide.sheets.moments import order_of, read_clock, read_moment
from nares.decide.sheets.propose import propose

LOG = "Date;Dog;Hold;Größe\n14.03.2026;Brine;0,8;✓\n"


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "cp1252"])
def test_every_usual_encoding_is_told_from_the_bytes(encoding: str) -> None:
    said = LOG if encoding != "cp1252" else LOG.replace("✓", "ja")
    text, found = decode(said.encode(encoding))
    assert text == said
    assert found == encoding


@pytest.mark.parametrize("data", [b"Date;Dog\x00\x01\x02\x03;\x00;;;;;;;;;;;;;;", b"caf\x81\x8d\xff,1\n"])
def test_what_is_no_text_is_refused(data: bytes) -> None:
    with pytest.raises(Unusable, match=r"The file (is no text|holds bytes no text has).*XLSX, XLS or ODS"):
        decode(data)


@pytest.mark.parametrize("delimiter", [",", ";", "\t", "|"])
def test_the_delimiter_is_the_one_that_cuts_alike(delimiter: str) -> None:
    lines = [["Date", "Dog", "Hold"], ["2026-03-14", "Brine", "0.8"], ["2026-03-15", "Brine", "1.2"]]
    sheet = sheet_of_text("\n".join(delimiter.join(line) for line in lines))
    assert [list(row) for row in sheet.rows] == lines


def test_decimal_commas_do_not_cut_cells_of_a_sheet_with_semicolons() -> None:
    assert sheet_of_text("Dog;Hold;Ask\nBrine;0,8;1,5\nBrine;1,2;1,5\n").rows[1] == ("Brine", "0,8", "1,5")


def test_a_line_that_names_the_delimiter_keeps_the_lines_in_their_places() -> None:
    sheet = sheet_of_text("sep=;\r\nDog;Hold\r\nBrine;0,8\r\n")
    assert sheet.rows == ((), ("Dog", "Hold"), ("Brine", "0,8"))


def test_an_open_quotation_mark_is_named_with_its_line() -> None:
    with pytest.raises(Unusable, match=r"Line 2 is not CSV .*Check the quotation marks of that line"):
        sheet_of_text('Dog,Hold\nBrine,"0.8\n')


def test_a_sheet_too_long_or_too_wide_is_refused() -> None:
    with pytest.raises(Unusable, match=rf"more than {LONGEST_ROWS} rows.*Cut it into parts"):
        sheet_of_text("a,b\n" * (LONGEST_ROWS + 1))
    with pytest.raises(Unusable, match=rf"more than {WIDEST_COLUMNS} columns"):
        sheet_of_text(",".join("a" * (WIDEST_COLUMNS + 1)))


@pytest.mark.parametrize(
    ("cell", "order", "day"),
    [
        ("2026-03-14", "", date(2026, 3, 14)),
        ("2026/3/4", "", date(2026, 3, 4)),
        ("14.03.2026", "", date(2026, 3, 14)),
        ("3/14/26", "", date(2026, 3, 14)),
        ("3.4.2026", "day first", date(2026, 4, 3)),
        ("3/4/2026", "month first", date(2026, 3, 4)),
        ("04/04/2026", "", date(2026, 4, 4)),
        ("14 Mar 2026", "", date(2026, 3, 14)),
        ("14. March 2026", "", date(2026, 3, 14)),
        ("14-Mar-26", "", date(2026, 3, 14)),
        ("March 14th, 2026", "", date(2026, 3, 14)),
        ("Sat 14/03/2026", "", date(2026, 3, 14)),
        (datetime(2026, 3, 14, 9), "", date(2026, 3, 14)),  # noqa: DTZ001 - as a spreadsheet gives it
        (date(2026, 3, 14), "", date(2026, 3, 14)),
        (46095, "", date(2026, 3, 14)),
        ("46095", "", date(2026, 3, 14)),
    ],
)
def test_days_are_read_however_they_are_written(cell: Cell, order: str, day: date) -> None:
    assert read_moment(cell, order).day == day


def test_a_time_behind_a_day_is_read_with_its_zone() -> None:
    assert read_moment("14.03.2026 9:05", "").clock == time(9, 5)
    moment = read_moment("2026-03-14T09:05:00+02:00", "")
    assert (moment.clock, moment.zone and moment.zone.utcoffset(None)) == (time(9, 5), timedelta(hours=2))


@pytest.mark.parametrize(
    ("cell", "order", "said"),
    [
        ("03/04/2026", "", "could change places. Say whether the day or the month comes first"),
        ("14/03/2026", "month first", "no such day"),
        ("31.02.2026", "", "no such day"),
        ("14.03.", "", "no year"),
        ("14 Foo 2026", "", "no month Foo"),
        ("soon", "", "no day. Write it like 2026-03-14"),
        (12, "", "a number and no day"),
        (time(9), "", "no day"),
        (None, "", "no day"),
    ],
)
def test_a_day_that_cannot_be_is_said(cell: Cell, order: str, said: str) -> None:
    with pytest.raises(ValueError, match=re.escape(said)):
        read_moment(cell, order)


def test_the_order_of_days_shows_in_the_column_or_is_asked() -> None:
    assert order_of(["03/04/2026", "14/04/2026"]) == "day first"
    assert order_of(["03/04/2026", "03/14/2026"]) == "month first"
    assert order_of(["03/04/2026", "05/06/2026"]) == ""
    assert order_of(["14/04/2026", "03/14/2026"]) == ""
    assert order_of(["03.04.2026"]) == "day first"
    assert order_of(["2026-03-04"]) == ""


@pytest.mark.parametrize(
    ("cell", "clock"),
    [
        ("9:05", time(9, 5)),
        ("09.05", time(9, 5)),
        ("9h05", time(9, 5)),
        ("9:05 pm", time(21, 5)),
        ("12:05 a.m.", time(0, 5)),
        ("9 AM", time(9)),
        ("23:59:30", time(23, 59, 30)),
        (0.5, time(12)),
        (time(9, 5), time(9, 5)),
    ],
)
def test_times_of_day_are_read(cell: Cell, clock: time) -> None:
    assert read_clock(cell) == clock


@pytest.mark.parametrize("cell", ["25:00", "9", "late", 3, None])
def test_a_time_of_day_that_cannot_be_is_said(cell: Cell) -> None:
    with pytest.raises(ValueError, match=r"time of day\. Write it like 09:30"):
        read_clock(cell)


@pytest.mark.parametrize(
    ("cell", "unit", "length_s"),
    [
        ("4,5 s", "s", 4.5),
        ("4.5sec", "s", 4.5),
        ('3"', "s", 3.0),
        ("1:05", "s", 65.0),
        ("1:05,5", "s", 65.5),
        ("1 min 5 s", "s", 65.0),
        ("2min", "s", 120.0),
        ("800 ms", "s", 0.8),
        (450, "ms", 0.45),
        ("1.234,5", "ms", 1.2345),
        (time(1, 5), "s", 65.0),
        (timedelta(hours=1, minutes=5), "s", 65.0),
        ("-", "s", None),
        (None, "s", None),
        ("n/a", "s", None),
    ],
)
def test_lengths_are_read(cell: Cell, unit: str, length_s: float | None) -> None:
    assert read_length(cell, unit=unit) == pytest.approx(length_s)


def test_a_time_cell_can_be_meant_as_it_stands() -> None:
    assert read_length(time(0, 1, 5), clock_as="h:min:s") == 65
    assert read_length(time(0, 1, 5), clock_as="min:s") == 65
    assert read_length(time(1, 5), clock_as="h:min:s") == 3900


@pytest.mark.parametrize(
    ("cell", "said"),
    [
        ("long", "no length of time"),
        ("1:75", "no sixty seconds"),
        (-1, "not less than 0"),
        (date(2026, 3, 14), "a day and no length"),
        (True, "no length of time"),
    ],
)
def test_a_length_that_cannot_be_is_said(cell: Cell, said: str) -> None:
    with pytest.raises(ValueError, match=re.escape(said)):
        read_length(cell)


@pytest.mark.parametrize("cell", ["1,2,3,x", "", True, date(2026, 1, 1)])
def test_a_number_that_cannot_be_is_said(cell: Cell) -> None:
    with pytest.raises(ValueError, match="no number"):
        read_number(cell)


def test_no_word_means_two_things_and_every_value_is_known() -> None:
    for field, values in WORDS.items():
        words = [word for said in values.values() for word in said.split()]
        assert sorted({word for word in words if words.count(word) > 1}) == []
        assert all(known_words(field)[value.replace("-", " ")] for value in values)
    every = [word for values in WORDS.values() for said in values.values() for word in said.split()]
    assert all(key_of(word) == word for word in every)


def test_no_header_word_belongs_to_two_fields_that_hold_the_same_kind_of_cell() -> None:
    heads = [(head, field.kind) for field in FIELDS for head in field.heads]
    assert sorted({head for head in heads if heads.count(head) > 1}) == []


@pytest.mark.parametrize(
    ("cell", "field"), [("9:30", "time"), ("0,8", "hold_s"), ("2026-03-14", "day"), ("blank", "source")]
)
def test_where_a_header_may_mean_two_things_the_cells_decide(cell: str, field: str) -> None:
    head = {"time": "Time", "hold_s": "Time", "day": "Start", "source": "Target"}[field]
    assert propose(sheet_of("s", [[head, "Dog"], [cell, "Brine"]])).columns[field] == head


@pytest.mark.parametrize(
    ("head", "field"),
    [
        ("Hold time (s)", "hold_s"),
        ("K9", "dog"),
        ("PASS/FAIL", "met"),
        ("Hand position", "hand"),
        ("Rep #", "rep"),
        ("Weather", None),
        ("", None),
    ],
)
def test_headers_are_known_in_plain_words(head: str, field: str | None) -> None:
    found = field_of_head(head)
    assert (found and found[0]) == field


def test_empty_ends_of_rows_and_sheets_are_cut() -> None:
    sheet = sheet_of("a", [["x", " ", None], [None], ["", "\u00a0y\u00a0"], [None, ""]])
    assert sheet.rows == (("x",), (), (None, "y"))
