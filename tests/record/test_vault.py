"""The vault: what it keeps and for how long, codes and tokens, several processes, crashes at each point."""

import multiprocessing
import sqlite3
import stat
from datetime import UTC, datetime, timedelta
from multiprocessing.synchronize import Barrier
from pathlib import Path
from typing import Any

import pytest
from tests.record.line_ups import KEY

from nares.base.errors import NaresError, Refused, Unusable
from nares.base.lineups import Role
from nares.design.keys import commitment_of
from nares.record.vault import CODE_LENGTH, LETTERS, WITHOUT_SEAL_H, WRONG_FREE, WRONG_WAIT_S, Vault

NOW = datetime(2026, 3, 2, 9, 0, tzinfo=UTC)
PEOPLE: dict[Role, str] = {"placer": "Joss Pike", "handler": "Tobin Fell"}
COMMITMENT = commitment_of(KEY)


@pytest.fixture
def vault(tmp_path: Path) -> Vault:
    return Vault(tmp_path / "vault.sqlite3")


def later(seconds: float) -> datetime:
    return NOW + timedelta(seconds=seconds)


def test_a_key_comes_back_as_it_was_laid_in(vault: Vault) -> None:
    vault.lay_in("brine-1", KEY, PEOPLE, NOW)
    assert vault.key("brine-1", COMMITMENT) == KEY


def test_the_file_is_its_owners_alone_from_the_first_moment(vault: Vault) -> None:
    vault.lay_in("brine-1", KEY, PEOPLE, NOW)
    assert stat.S_IMODE(vault.path.stat().st_mode) == 0o600


def test_nothing_is_made_by_looking(vault: Vault) -> None:
    assert vault.seat_by_token("x") is None
    vault.forget(COMMITMENT)
    vault.leave("x")
    vault.sweep((), (), NOW)
    with pytest.raises(Refused, match="opens no seat"):
        vault.seat_by_code("A" * 10, NOW)
    with pytest.raises(Refused, match="not in the vault"):
        vault.key("brine-1", COMMITMENT)
    assert not vault.path.exists()


def test_a_forgotten_key_is_gone_and_so_are_its_bytes(vault: Vault) -> None:
    vault.lay_in("brine-1", KEY, PEOPLE, NOW)
    assert KEY["nonce"].encode() in vault.path.read_bytes()
    vault.forget(COMMITMENT)
    assert KEY["nonce"].encode() not in vault.path.read_bytes()
    assert [path.name for path in vault.path.parent.iterdir()] == [vault.path.name]
    with pytest.raises(Refused, match=r"not in the vault.*only be void"):
        vault.key("brine-1", COMMITMENT)


def test_codes_are_ten_signs_without_look_alikes_and_kept_as_hashes_only(vault: Vault) -> None:
    codes = vault.lay_in("brine-1", KEY, PEOPLE, NOW)
    assert codes.keys() == PEOPLE.keys()
    assert len(set(codes.values())) == 2
    for code in codes.values():
        assert len(code) == CODE_LENGTH
        assert set(code) <= set(LETTERS)
        assert code.encode() not in vault.path.read_bytes()
    assert len(LETTERS) == 32
    assert not set("01IO") & set(LETTERS)


def test_a_code_opens_its_seat_however_it_is_typed(vault: Vault) -> None:
    code = vault.lay_in("brine-1", KEY, PEOPLE, NOW)["handler"]
    for typed in (code, code.lower(), f" {code[:5]}-{code[5:]} ", f"{code[:5]} {code[5:]}"):
        seat = vault.seat_by_code(typed, NOW)
        assert (seat.lineup, seat.role, seat.person) == ("brine-1", "handler", "Tobin Fell")


def test_a_token_counts_until_it_is_left_or_the_seat_is_taken_anew(vault: Vault) -> None:
    code = vault.lay_in("brine-1", KEY, PEOPLE, NOW)["handler"]
    first = vault.sit(vault.seat_by_code(code, NOW))
    assert vault.seat_by_token(first) is not None
    assert first.encode() not in vault.path.read_bytes()
    second = vault.sit(vault.seat_by_code(code, NOW))
    assert vault.seat_by_token(first) is None
    assert vault.seat_by_token(second) is not None
    vault.leave(second)
    assert vault.seat_by_token(second) is None
    assert vault.seat_by_code(code, NOW).role == "handler"


def test_after_closing_codes_open_nothing_and_a_seat_that_is_taken_stays_until_left(vault: Vault) -> None:
    codes = vault.lay_in("brine-1", KEY, PEOPLE, NOW)
    token = vault.sit(vault.seat_by_code(codes["handler"], NOW))
    vault.forget(COMMITMENT)
    for code in codes.values():
        with pytest.raises(Refused, match="opens no seat"):
            vault.seat_by_code(code, NOW)
    assert vault.seat_by_token(token) is not None
    vault.leave(token)
    assert vault.seat_by_token(token) is None


def test_a_seat_is_not_taken_while_its_line_up_is_being_closed(vault: Vault) -> None:
    code = vault.lay_in("brine-1", KEY, PEOPLE, NOW)["handler"]
    token = vault.sit(vault.seat_by_code(code, NOW))
    about_to = vault.seat_by_code(code, NOW)
    vault.forget(COMMITMENT)
    with pytest.raises(Refused, match="opens no seat"):
        vault.sit(about_to)
    assert vault.seat_by_token(token) is not None


def test_guessing_is_slowed_down_and_a_right_code_waits_as_well(vault: Vault) -> None:
    code = vault.lay_in("brine-1", KEY, PEOPLE, NOW)["handler"]
    for _ in range(WRONG_FREE):
        with pytest.raises(Refused, match="opens no seat"):
            vault.seat_by_code("Z" * 10, NOW)
    for typed in ("Z" * 10, code):
        with pytest.raises(Refused, match=r"Wait 30 s"):
            vault.seat_by_code(typed, NOW)
    assert vault.seat_by_code(code, later(WRONG_WAIT_S)).role == "handler"
    with pytest.raises(Refused, match="opens no seat"):
        vault.seat_by_code("Z" * 10, later(WRONG_WAIT_S))
    with pytest.raises(Refused, match="Wait"):  # a right code in between frees no tries
        vault.seat_by_code("Z" * 10, later(WRONG_WAIT_S + 1))


def test_a_day_of_guessing_is_fewer_than_3000_tries(vault: Vault) -> None:
    vault.lay_in("brine-1", KEY, PEOPLE, NOW)
    answered = 0
    for second in range(0, 3600, 2):
        with pytest.raises(Refused) as refused:
            vault.seat_by_code("Z" * 10, later(second))
        answered += "Wait" not in str(refused.value)
    assert WRONG_FREE < answered <= 3000 / 24


def test_a_clock_set_back_does_not_lock_seats_for_long(vault: Vault) -> None:
    code = vault.lay_in("brine-1", KEY, PEOPLE, NOW)["handler"]
    for _ in range(WRONG_FREE):
        with pytest.raises(Refused):
            vault.seat_by_code("Z" * 10, later(86_400))
    assert vault.seat_by_code(code, NOW).role == "handler"


CHANGES: list[Any] = [
    lambda row: row.replace(b'"holds":"target"', b'"holds":"blank"'),
    lambda row: row.replace(b"c3c3", b"c4c4"),
    lambda row: b"[]",
    lambda row: b"{",
    lambda row: row[:-1],
]


@pytest.mark.parametrize("change", CHANGES)
def test_a_key_that_was_changed_is_not_handed_out(vault: Vault, change: Any) -> None:
    vault.lay_in("brine-1", KEY, PEOPLE, NOW)
    with sqlite3.connect(vault.path) as connection:
        (row,) = connection.execute("SELECT key FROM keys").fetchone()
        connection.execute("UPDATE keys SET key = ?", (change(row),))
    connection.close()
    with pytest.raises(Refused, match="not the one that was sealed"):
        vault.key("brine-1", COMMITMENT)


def test_a_vault_that_is_no_database_is_said_to_be_so(vault: Vault) -> None:
    vault.path.write_bytes(b"not a database, however long it may be" * 100)
    for ask in (lambda: vault.key("x", COMMITMENT), lambda: vault.lay_in("x", KEY, PEOPLE, NOW)):
        with pytest.raises(Unusable, match="cannot be used"):
            ask()


def test_what_a_crash_left_is_swept_and_nothing_else(vault: Vault) -> None:
    other, third = {**KEY, "nonce": "d4" * 32}, {**KEY, "nonce": "e5" * 32}
    for name, key in (("sealed", KEY), ("closed", other), ("cut off", third)):
        vault.lay_in(name, key, PEOPLE, NOW)
    soon, old = NOW + timedelta(hours=1), NOW + timedelta(hours=WITHOUT_SEAL_H, seconds=1)
    vault.sweep({COMMITMENT}, {commitment_of(other)}, soon)
    assert vault.key("cut off", commitment_of(third)) == third  # another process may be about to seal it
    with pytest.raises(Refused):
        vault.key("closed", commitment_of(other))
    vault.sweep({COMMITMENT}, {commitment_of(other)}, old)
    with pytest.raises(Refused):
        vault.key("cut off", commitment_of(third))
    assert vault.key("sealed", COMMITMENT) == KEY


def _lay_in(path: Path, number: int, start: Barrier) -> None:
    start.wait(30)
    for count in range(10):
        key = {**KEY, "nonce": f"{number:02x}{count:02x}" * 16}
        codes = Vault(path).lay_in(f"{number}-{count}", key, PEOPLE, NOW)
        assert Vault(path).sit(Vault(path).seat_by_code(codes["placer"], NOW))


def test_processes_that_make_and_use_a_vault_at_once_all_succeed(vault: Vault) -> None:
    fork = multiprocessing.get_context("fork")
    start = fork.Barrier(4)
    writers = [fork.Process(target=_lay_in, args=(vault.path, number, start)) for number in range(4)]
    for writer in writers:
        writer.start()
    for writer in writers:
        writer.join(60)
    assert [writer.exitcode for writer in writers] == [0] * 4
    with sqlite3.connect(vault.path) as connection:
        assert connection.execute("SELECT count(*) FROM keys").fetchone() == (40,)
    connection.close()


def test_two_keys_are_never_laid_in_as_one(vault: Vault) -> None:
    codes = vault.lay_in("brine-1", KEY, PEOPLE, NOW)
    with pytest.raises(NaresError):
        vault.lay_in("brine-1", KEY, PEOPLE, NOW)
    assert vault.seat_by_code(codes["placer"], NOW).role == "placer"
