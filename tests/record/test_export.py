import subprocess
import sys
import zipfile
from collections.abc import Callable
from pathlib import Path

import bagit
import pytest
from tests.record.kennel import FILM, FILM_SHA256, opened, write_day

from nares.base.errors import BrokenChain, Unknown, Unusable
from nares.record.export import export_bag, findings_of, verify_export
from nares.record.store import Store


@pytest.fixture
def film(tmp_path: Path) -> Path:
    path = tmp_path / "film.mp4"
    path.write_bytes(FILM)
    return path


@pytest.fixture
def bag(store: Store, film: Path, tmp_path: Path) -> Path:
    export_bag(store, tmp_path / "out.zip", {FILM_SHA256: film})
    return tmp_path / "out.zip"


@pytest.fixture
def folder(bag: Path, tmp_path: Path) -> Path:
    zipfile.ZipFile(bag).extractall(tmp_path / "unpacked")
    return tmp_path / "unpacked" / "record"


def rules(path: Path, head: str | None = None) -> set[str]:
    return {fault.rule for fault in verify_export(path, head=head).faults}


def run_verifier(folder: Path, *more: str) -> subprocess.CompletedProcess[str]:
    # -I -S: neither installed packages nor the environment can help.
    command = [sys.executable, "-I", "-S", str(folder / "verify.py"), *more]
    return subprocess.run(command, capture_output=True, text=True, check=False)


def test_an_export_holds_as_zip_and_as_folder(store: Store, bag: Path, folder: Path) -> None:
    answer = verify_export(bag, head=store.entry(4).digest)
    assert (answer.faults, answer.entries, answer.not_included) == ([], 11, [])
    assert store.head() == (11, answer.head)
    assert verify_export(folder) == verify_export(bag)


def test_an_outside_program_finds_the_bag_valid(folder: Path) -> None:
    found = bagit.Bag(str(folder))
    assert found.version_info == (1, 0)
    assert found.validate()
    assert found.info["Source-Organization"] == "Saltmarsh Kennels"
    assert found.info["Payload-Oxum"].endswith(".3")


def test_an_outside_program_finds_a_changed_bag_invalid(folder: Path) -> None:
    (folder / "data" / "head.txt").write_text("x" * 65, encoding="ascii")
    with pytest.raises(bagit.BagValidationError):
        bagit.Bag(str(folder)).validate()


def test_the_same_record_gives_the_same_bytes(store: Store, film: Path, bag: Path, tmp_path: Path) -> None:
    export_bag(store, tmp_path / "again.zip", {FILM_SHA256: film})
    assert (tmp_path / "again.zip").read_bytes() == bag.read_bytes()


def test_recordings_may_stay_at_home_and_are_named(store: Store, tmp_path: Path) -> None:
    out = export_bag(store, tmp_path / "light.zip", {})
    assert out.not_included == (FILM_SHA256,)
    answer = verify_export(tmp_path / "light.zip")
    assert (answer.faults, answer.not_included) == ([], [FILM_SHA256])


def test_an_empty_record_is_exported(empty: Store, tmp_path: Path) -> None:
    export_bag(empty, tmp_path / "empty.zip", {})
    answer = verify_export(tmp_path / "empty.zip")
    assert (answer.faults, answer.entries, answer.head) == ([], 0, None)


def test_a_recording_that_is_not_the_one_kept_is_refused(store: Store, film: Path, tmp_path: Path) -> None:
    film.write_bytes(b"another film")
    with pytest.raises(Unusable, match="is not what was kept"):
        export_bag(store, tmp_path / "out.zip", {FILM_SHA256: film})
    with pytest.raises(Unknown, match="keeps no recording 000000000000…"):
        export_bag(store, tmp_path / "out.zip", {"0" * 64: film})
    with pytest.raises(Unusable, match="cannot be written"):
        export_bag(store, tmp_path / "out.zip", {FILM_SHA256: tmp_path / "gone.mp4"})
    assert list(tmp_path.glob("out.zip*")) == []


def test_a_broken_record_is_not_exported(tmp_path: Path) -> None:
    with opened(tmp_path) as store:
        write_day(store)
        connection = store._connection()
        connection.execute("DROP TRIGGER entries_are_not_updated")
        connection.execute("UPDATE entries SET body = x'20' WHERE number = 4")
        with pytest.raises(BrokenChain, match=r"does not hold together\. entry 4"):
            export_bag(store, tmp_path / "out.zip", {})
    assert not (tmp_path / "out.zip").exists()


def test_the_verifier_in_the_bag_needs_nothing_but_python(store: Store, folder: Path) -> None:
    ran = run_verifier(folder, "--head", store.entry(2).digest)
    assert (ran.returncode, ran.stderr) == (0, "")
    assert ran.stdout.splitlines()[-1] == "Everything holds."
    assert "import rfc8785" not in (folder / "verify.py").read_text(encoding="utf-8")
    ran = run_verifier(folder, "--head", "f" * 64)
    assert ran.returncode == 1
    assert "No entry carries the digest ffff" in ran.stdout


def test_the_verifier_says_in_one_line_that_it_cannot_read(folder: Path, tmp_path: Path) -> None:
    (tmp_path / "notes.zip").write_text("no zip", encoding="utf-8")
    ran = run_verifier(folder, str(tmp_path / "notes.zip"))
    assert ran.returncode == 3
    assert len(ran.stderr.splitlines()) == 1
    with pytest.raises(Unusable, match="cannot be read as an export"):
        verify_export(tmp_path / "notes.zip")
    with pytest.raises(Unknown, match="There is no export"):
        verify_export(tmp_path / "none.zip")


def edit(path: Path, change: Callable[[bytes], bytes]) -> None:
    path.write_bytes(change(path.read_bytes()))


@pytest.mark.parametrize(
    ("name", "change", "rule"),
    [
        ("data/entries.jsonl", lambda b: b.replace(b'"met":true', b'"met":null', 1), "changed"),
        ("data/entries.jsonl", lambda b: b"".join(b.splitlines(True)[1:]), "broken-link"),
        ("data/entries.jsonl", lambda b: b"".join(b.splitlines(True)[::-1]), "numbering"),
        ("data/entries.jsonl", lambda b: b"".join(b.splitlines(True)[:-2]), "head"),
        ("data/entries.jsonl", lambda b: b.replace(b'"schema":1', b'"schema":1.0', 1), "not-canonical"),
        ("data/entries.jsonl", lambda b: b.replace(b"{", b"[", 1), "unreadable"),
        ("data/entries.jsonl", lambda b: b"\xff" + b, "unreadable"),
        ("data/head.txt", lambda b: b"f" * 64 + b"\n", "head"),
        (f"data/media/{FILM_SHA256}.mp4", lambda b: b"x" + b, "changed"),
        ("verify.py", lambda b: b + b"# nothing\n", "changed"),
        ("bagit.txt", lambda b: b.replace(b"1.0", b"0.9"), "bag"),
        ("manifest-sha256.txt", lambda b: b"not a manifest\n" + b, "bag"),
        ("manifest-sha256.txt", lambda b: b"".join(b.splitlines(True)[1:]), "added"),
    ],
)
def test_a_change_in_the_bag_is_found(
    folder: Path, name: str, change: Callable[[bytes], bytes], rule: str
) -> None:
    edit(folder / name, change)
    assert rule in rules(folder)
    assert run_verifier(folder).returncode == 1


def test_a_verifier_made_to_lie_is_found_by_any_other(folder: Path) -> None:
    edit(folder / "verify.py", lambda b: b.replace(b"return 1 if", b"return 0 if"))
    edit(folder / "data" / "head.txt", lambda b: b"f" * 64 + b"\n")
    assert run_verifier(folder).returncode == 0  # it says what its forger wants
    assert {"changed", "head"} <= rules(folder)


def test_a_file_removed_or_added_is_found(folder: Path) -> None:
    (folder / "data" / "media" / ("0" * 64 + ".mp4")).write_bytes(b"")
    assert {"added", "media"} <= rules(folder)
    (folder / "data" / "entries.jsonl").unlink()
    assert "missing" in rules(folder)


def test_a_bag_cut_off_and_made_whole_again_is_found_only_with_the_head_from_paper(
    store: Store, tmp_path: Path
) -> None:
    with opened(tmp_path / "short") as short:
        for entry in store.entries(size=100)[::-1][:3]:
            short.append(entry.kind, dict(entry.payload), happened_at=entry.happened_at, by=entry.by)
        export_bag(short, tmp_path / "short.zip", {})
    assert rules(tmp_path / "short.zip") == set()
    head = store.head()
    assert head is not None
    assert rules(tmp_path / "short.zip", head=head[1]) == {"missing-head"}


def test_a_byte_changed_in_the_zip_names_the_entry(bag: Path) -> None:
    edit(bag, lambda b: b.replace(b"a paw, not a nose", b"a nose, not a paw"))
    answer = verify_export(bag)
    assert ("changed", "entry 9") in [(fault.rule, fault.where) for fault in answer.faults]
    assert findings_of(answer)[0].where == "data/entries.jsonl"


def test_a_file_put_into_the_zip_twice_is_found(bag: Path) -> None:
    with zipfile.ZipFile(bag, "a") as file, pytest.warns(UserWarning, match="Duplicate name"):
        file.writestr("record/data/head.txt", "f" * 64)
    assert {"doubled", "changed", "head"} <= rules(bag)
