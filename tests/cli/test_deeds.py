"""A trainer's day on the command line: dog, table, call, correction, verification, export."""

import json
import zipfile
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from tests.cli.conftest import Run

TABLE = (
    "dog,session,started_at,step,rep,ask_s,hold_s,ended_by,met,hand,pay_place,"
    "distance_m,disturbance,source,cues,paid\n"
    + "".join(
        f"Moss,moss-t1,2026-03-01T08:00:00Z,source-breaths,{rep},1,1.3,mark,1,inside,inside,0,0,target,target,1\n"
        for rep in range(1, 11)
    )
)


@pytest.fixture
def kennel(nares: Run, tmp_path: Path) -> Run:
    """A record with the dog Moss and ten reps."""
    (tmp_path / "reps.csv").write_text(TABLE, encoding="utf-8")
    assert nares("dog", "add", "Moss", "--breed", "Springer Spaniel", "--by", "Wren").code == 0
    assert nares("reps", "import", "reps.csv", "--by", "Wren").code == 0
    return nares


def test_a_dog_and_its_call_are_listed(kennel: Run) -> None:
    said = kennel("dog", "list")
    assert said.out == "Moss (Springer Spaniel): step 2 of 28, raise at Stay for a breath\n"


def test_an_empty_kennel_says_what_to_do_first(nares: Run) -> None:
    assert "nares dog add NAME" in nares("dog", "list").out


def test_a_rep_is_corrected_in_the_open(kennel: Run) -> None:
    assert kennel("session", "correct", "moss-t1", 2, "hold_s=0.4", "met=0", "--why", "Misread.").code == 0
    rows = kennel("reps", "export").out.splitlines()
    assert ",2,1,0.4,mark,0," in rows[2]
    assert kennel("record", "verify").code == 0


@pytest.mark.parametrize("changes", [["hold_s"], ["hold_s=1", "hold_s=2"]])
def test_a_value_is_never_blanked_by_a_forgotten_sign(kennel: Run, changes: list[str]) -> None:
    before = kennel("record", "head").out
    said = kennel("session", "correct", "moss-t1", 2, *changes, "--why", "Misread.")
    assert (said.code, "FIELD=VALUE" in said.err) == (2, True)
    assert kennel("record", "head").out == before


def test_a_reason_is_asked_for(kennel: Run) -> None:
    said = kennel("session", "correct", "moss-t1", 2, "hold_s=0.4")
    assert (said.code, "--why" in said.err) == (2, True)


def test_a_refusal_is_exit_4_and_one_sentence(kennel: Run) -> None:
    said = kennel("reps", "import", "reps.csv")
    assert said.code == 4
    assert said.err.startswith("nares: Already on the record: moss-t1.")
    assert said.out == ""


def test_the_head_names_the_newest_entry(kennel: Run) -> None:
    digest = kennel("record", "head").out.strip()
    told = json.loads(kennel("record", "verify", "--json", "-").out)
    assert (told["schema"], told["holds"], told["head"]) == ("verify/1", True, digest)


def test_a_cut_off_end_is_seen_against_the_head_on_paper(kennel: Run) -> None:
    old = kennel("record", "head").out.strip()
    assert kennel("record", "verify", "--head", old).code == 0
    said = kennel("record", "verify", "--head", "f" * 64)
    assert said.code == 1
    assert "f" * 12 in said.out


def test_an_export_verifies_and_a_changed_one_does_not(kennel: Run, tmp_path: Path) -> None:
    assert kennel("record", "export", "out.zip").code == 0
    assert kennel("record", "verify", "out.zip").code == 0
    changed = tmp_path / "changed.zip"
    with zipfile.ZipFile(tmp_path / "out.zip") as whole, zipfile.ZipFile(changed, "w") as other:
        for name in whole.namelist():
            held = whole.read(name)
            other.writestr(
                name, held.replace(b'"hold_s":1.3', b'"hold_s":2.3') if "entries" in name else held
            )
    said = kennel("record", "verify", changed)
    assert said.code == 1
    assert "entry" in said.out


def test_rebuilding_changes_no_answer(kennel: Run) -> None:
    before = kennel("reps", "export").out
    assert kennel("record", "rebuild").code == 0
    assert kennel("reps", "export").out == before


def test_one_value_of_an_entry_is_amended(kennel: Run) -> None:
    entry = json.loads(kennel("record", "verify", "--json", "-").out)["entries"] - 1
    said = kennel("record", "amend", entry, "/reps/0/disturbance", "2", "--why", "A van.")
    assert said.code == 0, said.err
    assert "0 stays beside it" in said.out
    assert kennel("record", "amend", entry, "/reps/0/nothing", "2", "--why", "x").code == 2


def test_the_shipped_programme_has_no_faults_and_a_double_raise_is_named(nares: Run, tmp_path: Path) -> None:
    text = nares("programme", "show").out
    (tmp_path / "mine.toml").write_text(text, encoding="utf-8")
    assert nares("programme", "check", "mine.toml").code == 0
    (tmp_path / "two.toml").write_text(
        text.replace('key = "hand-side"', 'key = "hand-side"\ndisturbance_x = 1', 1), encoding="utf-8"
    )
    said = nares("programme", "check", "two.toml")
    assert said.code == 1
    assert "hand-side" in said.out


def test_one_entry_is_shown_whole(kennel: Run) -> None:
    shown = json.loads(kennel("record", "show", 2).out)
    assert (shown["number"], shown["kind"], shown["payload"]["dog"]) == (2, "dog_added", "Moss")
    assert kennel("record", "show", 999).code == 2


def test_other_addresses_than_this_computer_are_for_the_seats_and_say_what_that_means(
    nares: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    served: list[str] = []
    monkeypatch.setattr("nares.web.server.serve", lambda desk, *, host, port: served.append(host))
    said = nares("serve", "--host", "0.0.0.0", "--port", "8499")
    assert (said.code, served) == (0, ["0.0.0.0"])
    assert "http://127.0.0.1:8499/" in said.err
    assert ":8499/seat/" in said.err
    assert "the seats of line-ups and nothing else" in said.err
    assert "take over a seat" in said.err
    assert "seat" not in nares("serve").err


@pytest.mark.parametrize(
    "words",
    [
        ["reps", "export", "data/record.sqlite3"],
        ["record", "export", "data/record.sqlite3"],
        ["decide", "reps.csv", "--dog", "Moss", "--json", "data/record.sqlite3"],
    ],
)
def test_no_answer_is_written_over_the_record(kennel: Run, words: list[str]) -> None:
    before = kennel("record", "head").out
    said = kennel(*words)
    assert (said.code, said.out) == (4, ""), said.err
    assert kennel("record", "head").out == before


def test_an_earlier_export_is_not_replaced(kennel: Run, tmp_path: Path) -> None:
    assert kennel("record", "export", "out.zip").code == 0
    before = (tmp_path / "out.zip").read_bytes()
    kennel("dog", "add", "Rush", "--breed", "Malinois")
    assert kennel("record", "export", "out.zip").code == 4
    assert (tmp_path / "out.zip").read_bytes() == before


@pytest.mark.parametrize(
    "words",
    [
        ["reps", "export", "reps.csv/out.csv"],
        ["record", "export", "reps.csv/out.zip"],
        ["decide", "reps.csv", "--dog", "Moss", "--json", "reps.csv/out.json"],
        ["record", "verify", "--json", "reps.csv/out.json"],
        ["reps", "export", "data"],
    ],
)
def test_a_place_that_cannot_be_written_is_one_sentence_and_exit_3(kennel: Run, words: list[str]) -> None:
    said = kennel(*words)
    assert (said.code, said.out) == (3, "")
    assert "cannot be written" in said.err
    assert said.err.count("\n") == 1


def test_a_full_disk_behind_standard_output_is_not_a_no(kennel: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(*_: object, **__: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("nares.cli.options.give", full)
    monkeypatch.setattr("nares.cli.record.give", full)
    said = kennel("record", "verify")
    assert said.code == 3
    assert said.err == "nares: No space left on device. Check the folder, its rights and its space.\n"


def test_a_clock_that_went_back_is_said_in_the_open_and_writing_goes_on(
    kennel: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert kennel("record", "clock-back", "--why", "Nothing is wrong.").code == 4
    monkeypatch.setattr("nares.app.desk._clock", lambda: datetime.now(UTC) - timedelta(minutes=10))
    add = ("dog", "add", "Rush", "--breed", "Malinois")
    refused = kennel(*add)
    assert refused.code == 4
    assert "nares record clock-back --why" in refused.err
    said = kennel("record", "clock-back", "--why", "The laptop had the wrong hour.", "--by", "Wren")
    assert said.code == 0, said.err
    assert kennel(*add).code == 0
    assert kennel("record", "verify").code == 0


@pytest.mark.parametrize(
    "words",
    [
        ["record", "head"],
        ["record", "show", 1],
        ["record", "verify"],
        ["record", "rebuild"],
        ["record", "export", "out.zip"],
        ["record", "amend", 2, "/breed", "x", "--why", "y"],
        ["reps", "export"],
        ["session", "confirm", "moss-t1"],
        ["dog", "list"],
    ],
)
def test_looking_into_a_misspelt_folder_founds_no_record(
    kennel: Run, words: list[str], tmp_path: Path
) -> None:
    said = kennel(*words, "--data", "dta")
    assert said.code == (0 if words[0] == "dog" else 2)
    assert "dta" in said.out + said.err
    assert not (tmp_path / "dta").exists()


def test_an_export_is_verified_under_any_name(kennel: Run, tmp_path: Path) -> None:
    assert kennel("record", "export", "handed-out").code == 0
    assert kennel("record", "verify", "handed-out").code == 0


def test_an_export_without_its_entries_is_a_no(kennel: Run, tmp_path: Path) -> None:
    assert kennel("record", "export", "out.zip").code == 0
    with zipfile.ZipFile(tmp_path / "out.zip") as whole, zipfile.ZipFile(tmp_path / "less.zip", "w") as less:
        for name in whole.namelist():
            if "entries" not in name:
                less.writestr(name, whole.read(name))
    assert kennel("record", "verify", "less.zip").code == 1


def test_what_is_neither_record_nor_export_is_exit_3(kennel: Run, tmp_path: Path) -> None:
    (tmp_path / "empty").mkdir()
    with zipfile.ZipFile(tmp_path / "other.zip", "w") as other:
        other.writestr("a.txt", "hello")
    for path in ("empty", "other.zip", "reps.csv"):
        said = kennel("record", "verify", path)
        assert (said.code, said.out) == (3, ""), path
        assert said.err.count("\n") == 1


def test_an_export_glued_to_the_record_is_not_verified_in_its_place(kennel: Run, tmp_path: Path) -> None:
    assert kennel("record", "export", "out.zip").code == 0
    kennel("dog", "add", "Rush", "--breed", "Malinois")
    head = kennel("record", "head").out.strip()
    with (tmp_path / "data" / "record.sqlite3").open("ab") as record:
        record.write((tmp_path / "out.zip").read_bytes())
    assert zipfile.is_zipfile(tmp_path / "data" / "record.sqlite3")
    said = kennel("record", "verify")
    assert (said.code == 0) == (head in said.out)


def test_a_database_that_cannot_be_used_is_said_not_ignored(
    nares: Run, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setenv("NARES_DATABASE_URL", "postgresql:///kennel")
    said = nares("dog", "add", "Moss", "--breed", "Whippet")
    assert said.code == 4
    assert "Unset it" in said.err
    assert not (tmp_path / "data").exists()


@pytest.mark.parametrize(("born", "said"), [("2026-02-31", "is not a day"), ("2999-01-01", "not here yet")])
def test_a_day_of_birth_that_cannot_be_is_named(nares: Run, born: str, said: str) -> None:
    answer = nares("dog", "add", "Rush", "--breed", "Malinois", "--born", born)
    assert (answer.code, said in answer.err) == (2, True)
    assert "Rush" not in nares("dog", "list").out


def test_an_empty_setting_is_no_folder(nares: Run, monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("NARES_DATA", "")
    assert nares("dog", "add", "Rush", "--breed", "Malinois").code == 0
    assert (tmp_path / "nares-data" / "record.sqlite3").exists()


@pytest.mark.parametrize("port", [0, 99999])
def test_the_demo_refuses_a_port_that_does_not_exist(nares: Run, port: int, tmp_path: Path) -> None:
    assert nares("demo", "--port", port, "--once").code == 2
    assert not (tmp_path / "data").exists()
