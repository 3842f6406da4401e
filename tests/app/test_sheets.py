"""A trainer's own spreadsheet on the record: looked at first, kept whole or not at all, with its origin."""

import hashlib
import io
import zipfile
from dataclasses import replace
from datetime import date, datetime, time
from pathlib import Path
from typing import Any

import pytest
from tests.app.workbooks import Cell, Rows, make_ods, make_xls, make_xlsx

from nares.app import jobs, sheet_files
from nares.app.deeds import AddDog, ImportSheet, LookAtSheet, SetAside
from nares.app.desk import Desk
from nares.app.sheets_page import SheetPage
from nares.base.errors import Refused, Unknown, Unusable

HEAD: list[Cell] = ["Date", "Dog", "Exercise", "Hold", "OK"]
MET: list[Cell] = [date(2026, 2, 20), "Moss", "Value at source", 0.9, "yes"]
MISSED: list[Cell] = [date(2026, 2, 21), "Moss", "Value at source", 0.4, "no"]
ROWS: Rows = [HEAD, *[MET] * 9, MISSED]


def csv(to: Path, text: str = "") -> Path:
    lines = [",".join(map(str, row)) for row in ROWS]
    to.write_text(text or "\n".join(lines) + "\n", encoding="utf-8")
    return to


def keep(desk: Desk, look: LookAtSheet, **more: Any) -> str:
    page = jobs.sheet_page(desk, look)
    look = replace(look, mapping=page.mapping, use="")
    return jobs.import_sheet(desk, ImportSheet(look, "Wren", page.seen, **more)).said


@pytest.fixture(params=["csv", "xlsx", "xls", "ods"])
def file(request: pytest.FixtureRequest, tmp_path: Path) -> Path:
    to = tmp_path / f"moss.{request.param}"
    if request.param == "csv":
        return csv(to)
    make = {"xlsx": make_xlsx, "xls": make_xls, "ods": make_ods}[request.param]
    return make(to, {"empty": [], "log": ROWS})


def test_a_sheet_of_any_kind_is_looked_at_and_kept_with_its_call(desk: Desk, file: Path) -> None:
    before = desk.store.count()
    page = jobs.sheet_page(desk, LookAtSheet(file))
    assert (page.sound, page.reps, len(page.sessions), page.dogs_in_it) == (True, 10, 2, ("Moss",))
    assert desk.store.count() == before
    said = keep(desk, LookAtSheet(file))
    assert said.startswith(
        f"10 reps of 2 sessions from {file.name} are on the record, from entry {before + 1}."
    )
    assert said.endswith("Moss: raise at Value at source.")
    assert [row.rep.met for row in desk.store.reps(dog="Moss")] == [True] * 9 + [False]
    assert jobs.verify_record(desk).holds


def test_where_every_rep_came_from_stays_on_the_record(desk: Desk, tmp_path: Path) -> None:
    file = csv(tmp_path / "moss.csv")
    keep(desk, LookAtSheet(file), keep_as="log of Moss")
    found = desk.store.sheet_of("Moss 2026-02-20")
    assert found is not None
    sheet, lines = found
    assert sheet.name == "moss.csv"
    assert sheet.sha256 == hashlib.sha256(file.read_bytes()).hexdigest()
    assert lines == {rep: rep + 1 for rep in range(1, 10)}
    page = jobs.record_page(desk, kind="sheet_imported")
    assert "10 reps of 2 sessions come from the spreadsheet moss.csv" in page.entries[0].summary
    assert jobs.session_page(desk, "Moss 2026-02-20").from_sheet == sheet.name
    assert desk.store.sheet_of("nothing of it") is None


def test_the_tables_of_sheets_are_the_same_when_folded_anew(desk: Desk, tmp_path: Path) -> None:
    keep(desk, LookAtSheet(csv(tmp_path / "moss.csv")), keep_as="log of Moss")
    before = (desk.store.sheets(), desk.store.sheet_of("Moss 2026-02-20"))
    desk.store.rebuild()
    assert (desk.store.sheets(), desk.store.sheet_of("Moss 2026-02-20")) == before


def test_the_same_sheet_again_is_refused_and_only_what_is_new_is_taken(desk: Desk, tmp_path: Path) -> None:
    file = csv(tmp_path / "moss.csv")
    keep(desk, LookAtSheet(file))
    page = jobs.sheet_page(desk, LookAtSheet(file))
    assert not page.sound
    assert page.before == (3,)
    assert "Moss 2026-02-20, Moss 2026-02-21: on the record already" in str(page.findings[0])
    with pytest.raises(Unusable, match=r"on the record already\. Leave them out by taking new sessions only"):
        keep(desk, LookAtSheet(file))
    with pytest.raises(Refused, match="Every session of this spreadsheet is on the record already"):
        keep(desk, LookAtSheet(file, only_new=True))
    file.write_text(file.read_text() + "2026-02-22,Moss,Value at source,0.9,yes\n")
    assert keep(desk, LookAtSheet(file, only_new=True)).startswith("1 rep of 1 session from moss.csv is on")


def test_a_rep_set_aside_does_not_let_its_session_come_in_again(desk: Desk, tmp_path: Path) -> None:
    file = csv(tmp_path / "moss.csv")
    keep(desk, LookAtSheet(file))
    jobs.set_aside(desk, SetAside("Moss 2026-02-21", 1, "Wren", "It was another dog."))
    assert not jobs.sheet_page(desk, LookAtSheet(file)).sound


def test_any_fault_keeps_everything_out(desk: Desk, tmp_path: Path) -> None:
    before = desk.store.head()
    file = csv(tmp_path / "moss.csv", csv(tmp_path / "a").read_text().replace("no", "hurra"))
    with pytest.raises(Unusable, match=r"line 11, column E \(OK\): Met is 'hurra'"):
        keep(desk, LookAtSheet(file))
    assert desk.store.head() == before


def test_a_fault_of_deciding_takes_the_whole_sheet_with_it(
    desk: Desk, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(*_: Any) -> Any:
        raise Refused("No call today.")

    before = desk.store.head()
    monkeypatch.setattr("nares.app.confirming.decide_for", broken)
    with pytest.raises(Refused, match="No call today"):
        keep(desk, LookAtSheet(csv(tmp_path / "moss.csv")))
    assert desk.store.head() == before
    assert desk.store.sessions() == []


def test_what_is_kept_is_what_was_looked_at(desk: Desk, tmp_path: Path) -> None:
    file = csv(tmp_path / "moss.csv")
    page = jobs.sheet_page(desk, LookAtSheet(file))
    changed = {**page.mapping, "given": {**page.mapping["given"], "hand": "away"}}
    with pytest.raises(Refused, match="The mapping was changed since the preview"):
        jobs.import_sheet(desk, ImportSheet(LookAtSheet(file, mapping=changed), "Wren", page.seen))
    file.write_text(file.read_text().replace("yes", "no", 1))
    with pytest.raises(Refused, match="or the file is another"):
        jobs.import_sheet(desk, ImportSheet(LookAtSheet(file, mapping=page.mapping), "Wren", page.seen))


def test_dogs_nobody_knows_are_named_and_added_when_asked(desk: Desk, tmp_path: Path) -> None:
    file = csv(tmp_path / "a.csv", csv(tmp_path / "b").read_text().replace("Moss", "Bracken"))
    assert "Bracken: not on the record" in str(jobs.sheet_page(desk, LookAtSheet(file)).findings)
    assert "Bracken: raise" in keep(desk, LookAtSheet(file, add_dogs=True))
    assert desk.store.dog("Bracken").breed == "not given"


def test_a_dog_is_known_in_any_letters(desk: Desk, tmp_path: Path) -> None:
    file = csv(tmp_path / "a.csv", csv(tmp_path / "b").read_text().replace("Moss", "MOSS"))
    assert jobs.sheet_page(desk, LookAtSheet(file)).dogs_in_it == ("Moss",)


def test_a_day_to_come_and_a_step_of_another_programme_are_named(desk: Desk, tmp_path: Path) -> None:
    file = csv(tmp_path / "a.csv", csv(tmp_path / "b").read_text().replace("2026-02-21", "2026-12-21"))
    page = jobs.sheet_page(desk, LookAtSheet(file))
    assert [str(one) for one in page.findings] == [
        "line 11: The day is still to come. Check the date, the order of day and month, and the time zone."
    ]


def test_a_mapping_kept_under_a_name_is_used_again(desk: Desk, tmp_path: Path) -> None:
    text = (
        csv(tmp_path / "a")
        .read_text()
        .replace("OK", "Verdict")
        .replace("yes", "hurra")
        .replace("no", "schade")
    )
    file = csv(tmp_path / "moss.csv", text)
    page = jobs.sheet_page(desk, LookAtSheet(file))
    mapping = {**page.mapping, "columns": {**page.mapping["columns"], "met": "Verdict"}}
    mapping["words"] = {**mapping["words"], "met": {"hurra": "1", "schade": "0"}}
    keep(desk, LookAtSheet(file, mapping=mapping), keep_as="Moss's log")
    file.write_text(text.replace("2026-02", "2026-01"))
    assert jobs.sheet_page(desk, LookAtSheet(file)).kept_mappings == ("Moss's log",)
    assert not jobs.sheet_page(desk, LookAtSheet(file)).sound
    assert jobs.sheet_page(desk, LookAtSheet(file, use="Moss's log")).sound
    with pytest.raises(Unknown, match=r"No mapping is kept under the name 'other'\. Kept are: Moss's log"):
        jobs.sheet_page(desk, LookAtSheet(file, use="other"))
    with pytest.raises(Unknown, match="The sheet has no column 'Verdict'"):
        jobs.sheet_page(desk, LookAtSheet(csv(tmp_path / "c.csv"), use="Moss's log"))


def test_a_sheet_of_a_workbook_is_chosen_by_name(desk: Desk, tmp_path: Path) -> None:
    file = make_xlsx(tmp_path / "m.xlsx", {"notes": [["only", "words"]], "log": ROWS})
    assert jobs.sheet_page(desk, LookAtSheet(file)).sheet == "notes"
    page = jobs.sheet_page(desk, LookAtSheet(file, "log"))
    assert (page.sheets, page.sheet, page.sound) == (("notes", "log"), "log", True)
    with pytest.raises(Unknown, match=r"m\.xlsx has no sheet 'Log'\. Its sheets are: notes, log"):
        jobs.sheet_page(desk, LookAtSheet(file, "Log"))


def test_days_times_numbers_and_ticks_come_out_of_a_workbook_as_they_went_in(
    desk: Desk, tmp_path: Path
) -> None:
    rows: Rows = [["Date", "Start", "Step", "Hold", "OK"]]
    rows += [[datetime(2026, 2, 20), time(9, 30), "source-value", time(0, 2), True]]  # noqa: DTZ001
    for make, name in ((make_xlsx, "m.xlsx"), (make_ods, "m.ods")):
        page = jobs.sheet_page(desk, LookAtSheet(make(tmp_path / name, {"log": rows})))
        (first,) = page.first_reps
        assert (first.rep.dog, first.rep.hold_s, first.rep.met) == ("Moss", 2.0, True), name
        assert first.rep.session == "Moss 2026-02-20 09.30"


def test_merged_cells_are_carried_down(desk: Desk, tmp_path: Path) -> None:
    rows = [row if number < 2 else [None, None, *row[2:]] for number, row in enumerate(ROWS[:5])]
    page = jobs.sheet_page(desk, LookAtSheet(make_xlsx(tmp_path / "m.xlsx", {"log": rows}, merged="A2:A5")))
    assert {one.rep.session for one in page.first_reps} == {"Moss 2026-02-20"}
    assert page.mapping["carried"] == ["dog", "day"]


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"", "x is empty"),
        (b"%PDF-1.7 ...", "x is a PDF and no spreadsheet"),
        (b"\x89PNG....", "x is a picture"),
        (b"<html><table></table></html>", "x is a web page or XML"),
        (b"PK\x03\x04nonsense", "x is a broken workbook"),
        (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1nonsense", "x cannot be read as a workbook"),
    ],
)
def test_what_is_no_spreadsheet_is_said(desk: Desk, tmp_path: Path, data: bytes, words: str) -> None:
    (tmp_path / "x").write_bytes(data)
    with pytest.raises(Unusable, match=words):
        jobs.sheet_page(desk, LookAtSheet(tmp_path / "x"))


def test_a_file_that_is_not_there_is_said(desk: Desk, tmp_path: Path) -> None:
    with pytest.raises(Unusable, match="There is no file"):
        jobs.sheet_page(desk, LookAtSheet(tmp_path / "gone.csv"))


def test_an_archive_that_is_no_workbook_is_said(desk: Desk, tmp_path: Path) -> None:
    with zipfile.ZipFile(tmp_path / "x.zip", "w") as packed:
        packed.writestr("film.mp4", b"1")
    with pytest.raises(Unusable, match=r"x\.zip is a ZIP archive and no spreadsheet"):
        jobs.sheet_page(desk, LookAtSheet(tmp_path / "x.zip"))


def test_a_workbook_that_unpacks_to_too_much_is_refused_before_it_is_read(
    desk: Desk, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = make_xlsx(tmp_path / "m.xlsx", {"log": ROWS})
    monkeypatch.setattr(sheet_files, "UNPACKED_BYTES", 1000)
    with pytest.raises(Unusable, match=r"m\.xlsx unpacks to 0 MB, more than"):
        jobs.sheet_page(desk, LookAtSheet(file))


def test_a_part_that_lies_about_its_size_is_refused(desk: Desk, tmp_path: Path) -> None:
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as book:
        book.writestr("xl/workbook.xml", b"x" * 100_000)
    lie = packed.getvalue().replace((100_000).to_bytes(4, "little"), (10).to_bytes(4, "little"))
    (tmp_path / "m.xlsx").write_bytes(lie)
    with pytest.raises(Unusable, match=r"m\.xlsx is a broken workbook"):
        jobs.sheet_page(desk, LookAtSheet(tmp_path / "m.xlsx"))


def test_a_workbook_with_a_cell_at_the_end_of_the_world_is_refused(desk: Desk, tmp_path: Path) -> None:
    file = make_xlsx(tmp_path / "m.xlsx", {"log": ROWS})
    with zipfile.ZipFile(file) as book:
        parts = {part: book.read(part) for part in book.namelist()}
    sheet = parts["xl/worksheets/sheet1.xml"]
    parts["xl/worksheets/sheet1.xml"] = sheet.replace(
        b"</sheetData>", b'<row r="1048576"><c r="XFD1048576"><v>1</v></c></row></sheetData>'
    )
    with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as book:
        for name, data in parts.items():
            book.writestr(name, data)
    with pytest.raises(Unusable, match=r"m\.xlsx cannot be read as a workbook|more than 50000 rows"):
        jobs.sheet_page(desk, LookAtSheet(file))


def repeated(file: Path, before: bytes, after: bytes, *more: tuple[bytes, bytes]) -> Path:
    """The same ODS file with something in its content replaced."""
    with zipfile.ZipFile(file) as book:
        parts = {part: book.read(part) for part in book.namelist()}
    for old, new in ((before, after), *more):
        parts["content.xml"] = parts["content.xml"].replace(old, new)
    with zipfile.ZipFile(file, "w") as book:
        for name, data in parts.items():
            book.writestr(name, data)
    return file


MILLION = b'<table:table-row table:number-rows-repeated="1048000">'
WIDEST = b'<table:table-cell table:number-columns-repeated="16384"'


def test_a_sheet_that_repeats_its_values_without_end_is_refused(desk: Desk, tmp_path: Path) -> None:
    file = make_ods(tmp_path / "m.ods", {"log": ROWS})
    repeated(file, b"<table:table-row>", MILLION, (b"<table:table-cell", WIDEST))
    with pytest.raises(Unusable, match=r"m\.ods cannot be read as a workbook"):
        jobs.sheet_page(desk, LookAtSheet(file))


def test_a_sheet_that_repeats_nothing_to_its_end_is_read(desk: Desk, tmp_path: Path) -> None:
    file = make_ods(tmp_path / "m.ods", {"log": ROWS})
    repeated(file, b"</table:table>", MILLION + WIDEST + b"/></table:table-row></table:table>")
    assert jobs.sheet_page(desk, LookAtSheet(file)).reps == 10


def test_a_large_file_is_refused_by_its_size(
    desk: Desk, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sheet_files, "LARGEST_BYTES", 100)
    with pytest.raises(Unusable, match=r"moss\.csv has 0 MB; up to 0 MB are read"):
        jobs.sheet_page(desk, LookAtSheet(csv(tmp_path / "moss.csv")))


def test_a_file_waits_under_its_digest_for_a_day(desk: Desk, tmp_path: Path) -> None:
    sha256 = jobs.keep_waiting(desk, csv(tmp_path / "moss.csv"))
    kept = jobs.waiting(desk, sha256)
    assert hashlib.sha256(kept.read_bytes()).hexdigest() == sha256
    desk.now.at += sheet_files.WAITS  # type: ignore[attr-defined]
    other = jobs.keep_waiting(desk, csv(tmp_path / "other.csv", "a,b\n1,2\n"))
    with pytest.raises(Unknown, match=r"does not wait here any more\. Choose the file again"):
        jobs.waiting(desk, sha256)
    jobs.let_go(desk, other)
    assert list((desk.data / sheet_files.WAITING).iterdir()) == []


@pytest.mark.parametrize("sha256", ["../record.sqlite3", "a" * 63, "", "/etc/passwd" + "a" * 53])
def test_nothing_but_a_waiting_file_is_reached(desk: Desk, tmp_path: Path, sha256: str) -> None:
    jobs.keep_waiting(desk, csv(tmp_path / "moss.csv"))
    with pytest.raises(Unknown, match="does not wait here"):
        jobs.waiting(desk, sha256)


def test_a_spreadsheet_nobody_can_read_does_not_wait(desk: Desk, tmp_path: Path) -> None:
    (tmp_path / "x").write_bytes(b"%PDF-1.7")
    with pytest.raises(Unusable):
        jobs.keep_waiting(desk, tmp_path / "x")
    assert not (desk.data / sheet_files.WAITING).exists()


def test_a_zone_nobody_knows_is_said(desk: Desk, tmp_path: Path) -> None:
    file = csv(tmp_path / "moss.csv")
    page: SheetPage = jobs.sheet_page(desk, LookAtSheet(file))
    with pytest.raises(Unknown, match=r"There is no time zone 'Saltmarsh'\. Write a place like Europe/Oslo"):
        jobs.sheet_page(desk, LookAtSheet(file, mapping={**page.mapping, "zone": "Saltmarsh"}))
    west = jobs.sheet_page(desk, LookAtSheet(file, mapping={**page.mapping, "zone": "-03:00"}))
    assert west.first_reps[0].rep.started_at == "2026-02-20T15:00:00.000Z"


def test_two_dogs_in_one_sheet_each_get_their_call(desk: Desk, tmp_path: Path) -> None:
    jobs.add_dog(desk, AddDog("Brine", "Springer Spaniel"))
    text = csv(tmp_path / "a").read_text() + "2026-02-22,Brine,Value at source,0.9,yes\n"
    said = keep(desk, LookAtSheet(csv(tmp_path / "b.csv", text)))
    assert "Moss: raise at Value at source. Brine: stay at Value at source." in said
