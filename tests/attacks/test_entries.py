"""What someone with the file and any program might try on the entries, and what is seen of it."""

import hashlib
import json
import shutil
from collections.abc import Callable
from functools import partial
from pathlib import Path
from random import Random
from sqlite3 import Connection, IntegrityError, connect
from typing import Any

import pytest

from nares.record.chain import Sealed, verify_chain
from nares.record.verify import Verdict

Attacked = Callable[..., Verdict]


def rules(verdict: Verdict) -> set[str]:
    return {finding.rule for finding in verdict.findings}


def rewrite(connection: Connection, number: int, change: Callable[[dict[str, Any]], object]) -> str:
    """Change what an entry says and give it a digest that fits; returns that digest."""
    (body,) = connection.execute("SELECT body FROM entries WHERE number = ?", (number,)).fetchone()
    said = json.loads(body)
    change(said)
    forged = json.dumps(said, sort_keys=True, separators=(",", ":"), ensure_ascii=False).encode()
    digest = hashlib.sha256(forged).hexdigest()
    sql = "UPDATE entries SET body = ?, digest = ? WHERE number = ?"
    connection.execute(sql, (forged, digest, number))
    return digest


def test_an_untouched_record_holds(attacked: Attacked) -> None:
    verdict = attacked(lambda connection: None)
    assert verdict.holds
    assert verdict.entries == 11
    assert verdict.first_bad is None


def test_two_hundred_random_bytes_changed_are_two_hundred_found(day: Path, tmp_path: Path) -> None:
    path = tmp_path / "record.sqlite3"
    shutil.copy(day, path)
    connection = connect(path, isolation_level=None)
    for (name,) in connection.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'").fetchall():
        connection.execute(f"DROP TRIGGER {name}")
    whole = connection.execute("SELECT number, body, digest FROM entries ORDER BY number").fetchall()
    chance = Random(20260301)
    found = 0
    for _ in range(200):
        number, body, digest = chance.choice(whole)
        place, change = chance.randrange(len(body) + 64), chance.randrange(1, 256)
        if place < len(body):
            changed = bytes([*body[:place], body[place] ^ change, *body[place + 1 :]])
            connection.execute("UPDATE entries SET body = ? WHERE number = ?", (changed, number))
        else:
            letters = bytearray(digest.encode())
            letters[place - len(body)] = (letters[place - len(body)] ^ change) & 0x7F or 1
            if letters.decode() == digest:
                letters[place - len(body)] ^= 1
            connection.execute("UPDATE entries SET digest = ? WHERE number = ?", (letters.decode(), number))
        rows = connection.execute("SELECT number, body, digest FROM entries ORDER BY number")
        first = next(verify_chain([Sealed(*row) for row in rows]), None)
        found += first is not None and first.where == f"entry {number}"
        connection.execute("UPDATE entries SET body = ?, digest = ? WHERE number = ?", (body, digest, number))
    connection.close()
    assert found == 200


@pytest.mark.parametrize("number", [1, 5, 10])
def test_dropping_an_entry_is_found(attacked: Attacked, number: int) -> None:
    verdict = attacked(lambda c: c.execute("DELETE FROM entries WHERE number = ?", (number,)))
    assert verdict.first_bad == number + 1
    assert {"numbering", "broken-link"} <= rules(verdict)


def test_dropping_an_entry_and_closing_the_gap_is_found(attacked: Attacked) -> None:
    def attack(c: Connection) -> None:
        c.execute("DELETE FROM entries WHERE number = 5")
        for number in range(6, 12):
            c.execute("UPDATE entries SET number = ? WHERE number = ?", (number - 1, number))

    verdict = attacked(attack)
    assert verdict.first_bad == 5


def test_exchanging_two_entries_is_found(attacked: Attacked) -> None:
    def attack(c: Connection) -> None:
        c.execute("UPDATE entries SET number = 100 WHERE number = 2")
        c.execute("UPDATE entries SET number = 2 WHERE number = 3")
        c.execute("UPDATE entries SET number = 3 WHERE number = 100")

    assert attacked(attack).first_bad == 2


def test_slipping_an_entry_in_is_found(attacked: Attacked) -> None:
    def attack(c: Connection) -> None:
        for number in range(11, 3, -1):
            c.execute("UPDATE entries SET number = ? WHERE number = ?", (number + 1, number))
        (body,) = c.execute("SELECT body FROM entries WHERE number = 3").fetchone()
        forged = body.replace(b'"number":3', b'"number":4').replace(b"Samphire", b"Marsh")
        c.execute("INSERT INTO entries VALUES (4, ?, ?)", (forged, hashlib.sha256(forged).hexdigest()))

    verdict = attacked(attack)
    assert verdict.first_bad == 4
    assert "broken-link" in rules(verdict)


def test_adding_an_unlinked_entry_at_the_end_is_found(attacked: Attacked) -> None:
    def attack(c: Connection) -> None:
        (body,) = c.execute("SELECT body FROM entries WHERE number = 3").fetchone()
        forged = body.replace(b'"number":3', b'"number":12').replace(b"Samphire", b"Marsh")
        c.execute("INSERT INTO entries VALUES (12, ?, ?)", (forged, hashlib.sha256(forged).hexdigest()))

    assert attacked(attack).first_bad == 12


def test_changing_one_entry_and_its_own_digest_breaks_the_next_link(attacked: Attacked) -> None:
    verdict = attacked(lambda c: rewrite(c, 7, lambda said: said["payload"]["reps"][0].update(met=False)))
    assert verdict.first_bad == 8
    assert "broken-link" in rules(verdict)


def test_a_number_forged_inside_the_last_entry_is_found(attacked: Attacked) -> None:
    verdict = attacked(lambda c: rewrite(c, 11, lambda said: said.update(number=12)))
    assert (verdict.first_bad, verdict.findings[0].rule) == (11, "numbering")


def test_a_forged_time_of_entry_is_found(attacked: Attacked) -> None:
    def change(said: dict[str, Any]) -> None:
        said["entered_at"] = "2026-02-01T08:00:00.000Z"

    assert attacked(lambda c: rewrite(c, 7, change)).first_bad == 8


def test_a_payload_that_reads_in_two_ways_is_found(attacked: Attacked) -> None:
    def attack(c: Connection) -> None:
        (body,) = c.execute("SELECT body FROM entries WHERE number = 11").fetchone()
        forged = body.replace(b'"call":"ease"', b'"call":"raise","call":"ease"')
        digest = hashlib.sha256(forged).hexdigest()
        c.execute("UPDATE entries SET body = ?, digest = ? WHERE number = 11", (forged, digest))

    verdict = attacked(attack)
    assert verdict.first_bad == 11
    assert "not-canonical" in rules(verdict)


@pytest.mark.parametrize(
    ("spelled", "otherwise"),
    [(b'"schema":1', b'"schema":1.0'), (b'"schema":1', b'"schema": 1'), (b"hot day", b"hot\\u0020day")],
)
def test_the_same_meaning_spelled_otherwise_is_found(
    attacked: Attacked, spelled: bytes, otherwise: bytes
) -> None:
    def attack(c: Connection) -> None:
        (body,) = c.execute("SELECT body FROM entries WHERE number = 11").fetchone()
        forged = body.replace(spelled, otherwise)
        assert forged != body
        digest = hashlib.sha256(forged).hexdigest()
        c.execute("UPDATE entries SET body = ?, digest = ? WHERE number = 11", (forged, digest))

    assert "not-canonical" in rules(attacked(attack))


def test_putting_rubbish_in_place_of_an_entry_is_a_finding_not_a_crash(attacked: Attacked) -> None:
    for rubbish in (b"", b"\xff\xfe", b"[]", b"null", b'{"number":5}', b"[" * 100_000):
        verdict = attacked(
            lambda c, r=rubbish: c.execute("UPDATE entries SET body = ? WHERE number = 5", (r,))
        )
        assert verdict.first_bad == 5
        assert "unreadable" in rules(verdict)


def test_cutting_off_the_end_is_not_found_by_the_chain_alone(attacked: Attacked) -> None:
    def attack(c: Connection) -> None:
        c.execute("DELETE FROM entries WHERE number > 8")

    verdict = attacked(attack)
    assert verdict.first_bad is None
    assert rules(verdict) == {"table"}  # only because the tables still show what is gone


def test_cutting_off_the_end_and_its_tables_is_not_found_at_all(attacked: Attacked) -> None:
    assert attacked(cut_off_and_clean).holds


def test_cutting_off_the_end_is_found_with_the_head_digest_from_paper(attacked: Attacked) -> None:
    head = attacked(lambda c: None).head
    verdict = attacked(cut_off_and_clean, head=head)
    assert verdict.first_bad == 9
    assert rules(verdict) == {"missing-head"}


def test_rewriting_everything_is_found_only_with_the_head_digest_from_paper(attacked: Attacked) -> None:
    head = attacked(lambda c: None).head

    def attack(c: Connection) -> None:
        previous = rewrite(c, 7, lambda said: [rep.update(met=False) for rep in said["payload"]["reps"]])
        for number in range(8, 12):
            previous = rewrite(c, number, partial(_link, previous))
        c.execute("UPDATE reps SET met = 0")
        c.execute("""UPDATE present SET payload = replace(payload, '"met": true', '"met": false')""")

    assert attacked(attack).holds
    assert "missing-head" in rules(attacked(attack, head=head))


def test_an_old_head_digest_is_still_there_after_more_was_written(attacked: Attacked, day: Path) -> None:
    connection = connect(day)
    (old,) = connection.execute("SELECT digest FROM entries WHERE number = 4").fetchone()
    connection.close()
    assert attacked(lambda c: None, head=old).holds


def _link(previous: str, said: dict[str, Any]) -> None:
    said["previous"] = previous


def cut_off_and_clean(c: Connection) -> None:
    c.execute("DELETE FROM entries WHERE number > 8")
    c.execute("DELETE FROM lines WHERE entry > 8")
    c.execute("DELETE FROM reps_aside")
    c.execute("DELETE FROM calls")
    c.execute("DELETE FROM overrulings")


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE entries SET body = x'00' WHERE number = 5",
        "UPDATE entries SET number = 99 WHERE number = 11",
        "DELETE FROM entries WHERE number = 11",
        "DELETE FROM entries",
        "REPLACE INTO entries VALUES (5, x'00', hex(zeroblob(32)))",
        "INSERT OR REPLACE INTO entries SELECT 12, body, digest FROM entries WHERE number = 3",
        "INSERT OR REPLACE INTO entries SELECT number, x'00', hex(zeroblob(32)) FROM entries",
        "UPDATE OR REPLACE entries SET number = 4 WHERE number = 5",
        "INSERT INTO entries VALUES (5, x'00', hex(zeroblob(32))) "
        "ON CONFLICT (number) DO UPDATE SET body = excluded.body",
        "INSERT INTO entries VALUES (99, x'00', hex(zeroblob(32)))",
        "INSERT INTO entries VALUES (NULL, x'00', 'short')",
        "INSERT INTO entries VALUES ('x', x'00', hex(zeroblob(32)))",
    ],
)
@pytest.mark.parametrize("recursive", ["ON", "OFF"])
def test_the_file_itself_refuses(guarded: Connection, statement: str, recursive: str) -> None:
    guarded.execute(f"PRAGMA recursive_triggers = {recursive}")
    before = guarded.execute("SELECT * FROM entries").fetchall()
    with pytest.raises(IntegrityError, match=r"Entries are never|next number|CHECK|mismatch"):
        guarded.execute(statement)
    assert guarded.execute("SELECT * FROM entries").fetchall() == before


def test_whoever_owns_the_file_can_drop_the_triggers(guarded: Connection) -> None:
    guarded.execute("DROP TRIGGER entries_are_not_deleted")
    guarded.execute("DELETE FROM entries WHERE number = 11")
    assert guarded.execute("SELECT max(number) FROM entries").fetchone() == (10,)
