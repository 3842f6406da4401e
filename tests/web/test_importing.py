"""Bringing in a spreadsheet through the pages: choose, map, look, keep, on real jobs and a real record."""

import json
import re
from collections.abc import Iterator
from html import unescape
from pathlib import Path
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from tests.app.workbooks import Rows, make_xlsx
from tests.web.conftest import DeskClient

from nares.app import jobs
from nares.app.deeds import AddDog
from nares.app.desk import Desk, open_desk
from nares.app.sheet_files import WAITING
from nares.web.application import DESK
from nares.web.settings import configure

LOG = (
    "Date;Dog;Exercise;Hold;Verdict;Remarks\n"
    + "14.02.2026;Bracken;Value at source;0,9;hurra;\n" * 9
    + "15.02.2026;Bracken;Value at source;0,4;schade;<b>rain</b>\n"
)


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Desk]:
    with open_desk(tmp_path / "data", person="Mara Quill", kennel="Saltmarsh Kennels", site="yard") as made:
        jobs.add_dog(made, AddDog("Bracken", "Labrador Retriever"))
        yield made


@pytest.fixture
def door(desk: Desk) -> DeskClient:
    configure(secret="a secret of the tests only")
    client = DeskClient()
    carried: dict[str, Any] = {DESK: desk}
    client.defaults.update(carried)
    return client


def send(door: DeskClient, text: str | bytes = LOG, name: str = "log.csv", **more: str) -> Any:
    data = text if isinstance(text, bytes) else text.encode("cp1252")
    return door.post("/import/", {"file": SimpleUploadedFile(name, data), **more})


def form_of(page: str) -> dict[str, str]:
    """Everything the page's form would send as it stands, without its buttons."""
    body = page.split('id="sheet-form"')[1]
    form: dict[str, str] = {}
    for tag in re.findall(r"<input[^>]*>", body):
        said = dict(re.findall(r'(\w[\w-]*)="([^"]*)"', tag))
        if said.get("type") != "checkbox" or " checked" in tag:
            form[said["name"]] = unescape(said.get("value", ""))
    for name, options in re.findall(r'<select name="([^"]+)"[^>]*>(.*?)</select>', body, re.DOTALL):
        found = re.findall(r'<option(?: value="([^"]*)")?( selected)?>(.*?)</option>', options)
        chosen = next((one for one in found if one[1]), found[0])
        form[name] = unescape(chosen[0] or ("" if 'value="' in options else chosen[2]))
    return form


def text_of(answer: Any) -> str:
    return str(answer.content.decode())


def mapped(door: DeskClient, at: str, **said: str) -> tuple[dict[str, str], str]:
    """Look with the verdicts mapped; the form and the page that come back."""
    form = {**form_of(text_of(door.get(at))), "col-4": "met", "do": "look"}
    form |= form_of(text_of(door.post(at, form)))
    form |= {"word-met-0": "1", "word-met-1": "0", **said}
    page = text_of(door.post(at, {**form, "do": "look"}))
    return form_of(page), page


def test_a_sheet_goes_from_choosing_to_the_call(door: DeskClient, desk: Desk) -> None:
    at = send(door)["Location"]
    page = text_of(door.get(at))
    assert "Column E: Verdict" in page
    assert "No column says it, and hold and ask together do not either" in page
    assert 'value="keep"' not in page
    form, page = mapped(door, at)
    assert "10 reps of 2 sessions can be kept" in page
    answer = door.post(at, {**form, "do": "keep", "keep_as": "own log"})
    assert (answer.status_code, answer["Location"]) == (302, "/dogs/Bracken/")
    shown = text_of(door.get("/dogs/Bracken/"))
    assert "10 reps of 2 sessions from log.csv are on the record" in unescape(shown)
    assert "Bracken: raise at Value at source" in shown
    assert jobs.verify_record(desk).holds
    assert list((desk.data / WAITING).iterdir()) == []
    session = text_of(door.get("/sessions/Bracken%202026-02-14/"))
    assert "Its reps came from the spreadsheet <strong>log.csv</strong>" in session
    assert "There is nothing to play and nothing was measured" in session


def test_nothing_is_kept_by_looking(door: DeskClient, desk: Desk) -> None:
    before = desk.store.head()
    mapped(door, send(door)["Location"])
    assert desk.store.head() == before


def test_what_was_changed_since_the_preview_is_shown_and_not_kept(door: DeskClient, desk: Desk) -> None:
    at = send(door)["Location"]
    form, _ = mapped(door, at)
    before = desk.store.head()
    answer = door.post(at, {**form, "given-hand": "away", "do": "keep"})
    assert answer.status_code == 409
    assert "The mapping was changed since the preview" in text_of(answer)
    assert form_of(text_of(answer))["given-hand"] == "away"
    assert desk.store.head() == before
    kept = door.post(at, {**form_of(text_of(answer)), "do": "keep"})
    assert kept.status_code == 302
    assert {row.rep.hand for row in desk.store.reps(dog="Bracken")} == {"away"}


def test_a_form_without_the_digest_of_a_preview_keeps_nothing(door: DeskClient, desk: Desk) -> None:
    at = send(door)["Location"]
    form, _ = mapped(door, at)
    del form["seen"]
    assert door.post(at, {**form, "do": "keep"}).status_code == 409
    assert desk.store.reps(dog="Bracken") == []


def test_faults_are_listed_by_line_and_what_was_typed_stays(door: DeskClient) -> None:
    at = send(door, LOG.replace("0,4", "long"))["Location"]
    form, page = mapped(door, at, zone="+01:00")
    assert "Line 11, column D (Hold)" in page
    assert "It is no length of time" in page
    assert form["zone"] == "+01:00"
    assert 'value="keep"' not in page


def test_one_thing_from_two_columns_is_said(door: DeskClient) -> None:
    at = send(door)["Location"]
    form = {**form_of(text_of(door.get(at))), "col-4": "met", "col-5": "met", "do": "look"}
    answer = door.post(at, form)
    assert answer.status_code == 422
    assert "Met is taken from 'Verdict' and from 'Remarks'. Choose one of them." in unescape(text_of(answer))


def test_one_thing_from_two_columns_is_not_kept_either(door: DeskClient, desk: Desk) -> None:
    at = send(door)["Location"]
    form, _ = mapped(door, at)
    answer = door.post(at, {**form, "col-5": "met", "do": "keep"})
    assert (answer.status_code, desk.store.reps(dog="Bracken")) == (422, [])


@pytest.mark.parametrize(
    ("said", "words"),
    [
        ({"zone": "Saltmarsh"}, "There is no time zone 'Saltmarsh'"),
        ({"header_line": "two"}, "Give the number of a line"),
        ({"naming": "x"}, "How sessions are called is 'x'"),
        ({"head-0": "Gone"}, "The sheet has no column 'Gone'"),
    ],
)
def test_a_choice_that_cannot_be_is_said_on_the_page(
    door: DeskClient, said: dict[str, str], words: str
) -> None:
    at = send(door)["Location"]
    answer = door.post(at, {**form_of(text_of(door.get(at))), **said, "do": "look"})
    assert (answer.status_code, words in unescape(text_of(answer))) == (422, True)


def test_another_sheet_or_header_line_makes_the_form_anew(door: DeskClient, tmp_path: Path) -> None:
    rows: Rows = [[*line.split(";")] for line in LOG.splitlines()]
    file = make_xlsx(tmp_path / "m.xlsx", {"a": [["Dog", "Date"], ["x", "y"]], "b": [["title"], *rows]})
    at = send(door, file.read_bytes(), "m.xlsx")["Location"]
    form = form_of(text_of(door.get(at)))
    assert form["sheet"] == "a"
    page = text_of(door.post(at, {**form, "sheet": "b", "do": "look"}))
    assert "Column F: Remarks" in page
    assert form_of(page)["header_line"] == "2"
    page = text_of(door.post(at, {**form_of(page), "header_line": "0", "do": "look"}))
    assert "Column A: column A" in page


def test_a_kept_mapping_reads_the_next_sheet(door: DeskClient, desk: Desk) -> None:
    at = send(door)["Location"]
    form, _ = mapped(door, at)
    door.post(at, {**form, "do": "keep", "keep_as": "own log"})
    assert "<option>own log</option>" in text_of(door.get("/import/"))
    at = send(door, LOG.replace(".02.", ".01."), use="own log")["Location"]
    page = text_of(door.get(at))
    assert "10 reps of 2 sessions can be kept" in page
    assert door.post(at, {**form_of(page), "do": "keep"}).status_code == 302
    at = send(door, "a;b\n1;2\n3;4\n", use="own log")["Location"]
    assert "The sheet has no column" in text_of(door.get(at))


def test_the_same_sheet_again_takes_only_what_is_new(door: DeskClient, desk: Desk) -> None:
    at = send(door)["Location"]
    form, _ = mapped(door, at)
    door.post(at, {**form, "do": "keep", "keep_as": "own log"})
    more = LOG + "16.02.2026;Bracken;Value at source;0,9;hurra;\n"
    at = send(door, more, use="own log")["Location"]
    page = text_of(door.get(at))
    assert "on the record already. Leave them out by taking new sessions only" in page
    page = text_of(door.post(at, {**form_of(page), "only_new": "1", "do": "look"}))
    assert "1 rep of 1 session can be kept" in page
    assert door.post(at, {**form_of(page), "do": "keep"}).status_code == 302
    assert len(desk.store.reps(dog="Bracken")) == 11


def test_new_dogs_are_added_when_asked(door: DeskClient, desk: Desk) -> None:
    at = send(door, LOG.replace("Bracken", "Tansy"))["Location"]
    form, page = mapped(door, at)
    assert "Tansy: not on the record" in page
    page = text_of(door.post(at, {**form, "add_dogs": "1", "do": "look"}))
    assert door.post(at, {**form_of(page), "do": "keep"})["Location"] == "/dogs/Tansy/"


@pytest.mark.parametrize(
    ("data", "name", "words"),
    [
        (b"%PDF-1.7", "a.pdf", "is a PDF and no spreadsheet"),
        (b"", "a.csv", "is empty"),
        (b"PK\x03\x04", "a.xlsx", "is a broken workbook"),
    ],
)
def test_a_file_that_is_no_spreadsheet_is_said_beside_the_form(
    door: DeskClient, desk: Desk, data: bytes, name: str, words: str
) -> None:
    answer = send(door, data, name)
    assert (answer.status_code, words in text_of(answer)) == (422, True)
    assert not (desk.data / WAITING).exists()


def test_no_file_and_a_file_that_no_longer_waits_are_said(door: DeskClient) -> None:
    answer = door.post("/import/", {})
    assert (answer.status_code, "No file was sent" in text_of(answer)) == (422, True)
    gone = door.get(f"/import/{'a' * 64}/")
    assert (gone.status_code, "does not wait here any more" in text_of(gone)) == (404, True)
    assert door.get("/import/..%2f..%2frecord.sqlite3/").status_code == 404


def test_what_a_sheet_holds_is_never_taken_for_a_page(door: DeskClient) -> None:
    at = send(door, LOG, name="<script>alert(1)</script>.csv")["Location"]
    page = text_of(door.get(at))
    assert "<script>alert" not in page
    assert "<b>rain</b>" not in page
    assert "&lt;b&gt;rain&lt;/b&gt;" in page


def test_both_pages_have_their_twins(door: DeskClient) -> None:
    at = send(door)["Location"].partition("?")[0]
    page = json.loads(door.get(at.rstrip("/") + ".json").content)
    assert (page["schema"], page["sound"], page["columns"][4]["head"]) == ("sheet/1", False, "Verdict")
    assert json.loads(door.get("/import.json").content)["schema"] == "sheets/1"


def test_the_form_needs_its_token(desk: Desk) -> None:
    configure(secret="a secret of the tests only")
    client = DeskClient(enforce_csrf_checks=True)
    carried: dict[str, Any] = {DESK: desk}
    client.defaults.update(carried)
    assert client.post("/import/", {}).status_code == 403
