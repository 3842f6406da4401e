"""The vault: sealed keys, and who may sit where, beside the record and never in it.

Conventions
-----------
`data/vault.sqlite3`, readable by its owner alone (mode 0600), is made when a key
is first laid in. It holds each sealed key until its line-up is closed; a salted hash of each seat's code;
the hash of the token of each seat that is taken; the times of wrong codes. Nothing of it goes into an
export, a page or a log. It is no backup: without it, runs that are not open can only be void, and
everything else goes on.

**Codes** are ten of 32 letters and digits without look-alikes, 50 bits of chance, and are kept as
HMAC-SHA256 under a salt of their own. A slow hash would protect nothing: whoever can read this file reads
the keys in it. Guessing goes through `seat_by_code` only, which after `WRONG_FREE` wrong codes within
`WRONG_WINDOW_S` asks for `WRONG_WAIT_S` between tries: fewer than 3000 tries a day against 2^50 codes.
**Tokens** are 256 bits of chance and kept as SHA-256; a seat has one at a time, so that sitting down anew
ends the token before.

**Deleting.** A key is deleted under SQLite's ``secure_delete``, which overwrites its pages in this file.
That does not reach the rollback journal's blocks that the file system has freed, a copy somebody made, or
what a solid-state disc keeps of overwritten blocks. Once a line-up is closed that no longer matters: its
key is on the record.

**Order of writing.** Laid in before the record is told; forgotten after. A crash between leaves a key
without a seal, which nobody can use and `sweep` removes, never a seal without its key.
"""

import hashlib
import hmac
import json
import os
import secrets
import sqlite3
from collections.abc import Collection, Iterator, Mapping
from contextlib import closing, contextmanager
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

from nares.base.errors import Refused, Unusable
from nares.base.lineups import Role
from nares.base.times import read_utc, utc_text
from nares.design.keys import commitment_of
from nares.record.canonical import canonical

VAULT = "vault.sqlite3"
LETTERS = "23456789ABCDEFGHJKLMNPQRSTUVWXYZ"
CODE_LENGTH = 10
WRONG_FREE = 5
"""So many wrong codes within the window are answered at once. [count]"""
WRONG_WINDOW_S = 900.0
WRONG_WAIT_S = 30.0
WITHOUT_SEAL_H = 24.0
"""A key this old that no line-up on the record commits to belongs to a drawing that was cut off. [h]"""

_WAIT_S = 20.0
_TABLES = """
CREATE TABLE IF NOT EXISTS keys (
    commitment TEXT PRIMARY KEY, lineup TEXT NOT NULL, key BLOB NOT NULL, laid_in_at TEXT NOT NULL) STRICT;
CREATE TABLE IF NOT EXISTS seats (
    commitment TEXT NOT NULL, lineup TEXT NOT NULL, role TEXT NOT NULL, person TEXT NOT NULL,
    salt BLOB, hash BLOB, token TEXT UNIQUE, PRIMARY KEY (commitment, role)) STRICT;
CREATE TABLE IF NOT EXISTS wrong (at TEXT NOT NULL) STRICT;
"""
_WRONG = "This code opens no seat. Look at it again, or ask the trainer for it."


@dataclass(frozen=True, slots=True)
class Sitting:
    """A seat as the vault knows it. ``commitment``: of the line-up's key."""

    lineup: str
    commitment: str
    role: Role
    person: str


@dataclass(frozen=True, slots=True)
class Vault:
    """The vault of a data folder."""

    path: Path

    def lay_in(
        self, lineup: str, key: Mapping[str, Any], people: Mapping[Role, str], now: datetime
    ) -> dict[Role, str]:
        """Keep a key and one seat for each role, before the record is told of it.

        Returns:
            The code of each seat, in clear: this is the one time.

        Raises:
            Refused: If this very key is there already.
            Unusable: If the vault cannot be written.
        """
        commitment = commitment_of(key)
        codes: dict[Role, str] = {role: _new_code() for role in people}
        self._make()
        with self._writing() as connection:
            if connection.execute("SELECT 1 FROM keys WHERE commitment = ?", (commitment,)).fetchone():
                raise Refused(f"This very key of {lineup} is in the vault already. Draw with fresh chance.")
            text = canonical(dict(key))
            connection.execute(
                "INSERT INTO keys VALUES (?, ?, ?, ?)", (commitment, lineup, text, utc_text(now))
            )
            for role, person in people.items():
                salt = secrets.token_bytes(16)
                row = (commitment, lineup, role, person, salt, _hashed(codes[role], salt))
                connection.execute("INSERT INTO seats VALUES (?, ?, ?, ?, ?, ?, NULL)", row)
        return codes

    def key(self, lineup: str, commitment: str) -> dict[str, Any]:
        """The sealed key of a line-up, checked against its commitment.

        Raises:
            Refused: If it is not here, or is not what was sealed.
        """
        row = self._one("SELECT key FROM keys WHERE commitment = ?", commitment)
        if row is None:
            raise Refused(
                f"The key of {lineup} is not in the vault {VAULT} of this data folder, so its runs that are "
                "not open can only be void. Bring the vault back, or close the line-up and say why."
            )
        try:
            key = json.loads(row[0])
            sound = isinstance(key, dict) and commitment_of(key) == commitment
        except ValueError:
            sound = False
        if not sound:
            raise Refused(
                f"The key of {lineup} in the vault is not the one that was sealed: it was changed since. "
                "Void the runs that are not open, and say why."
            )
        return dict(key)

    def forget(self, commitment: str) -> None:
        """Delete a key and the codes of its seats; seats that are taken stay until they are left."""
        if not self.path.exists():
            return
        with self._writing() as connection:
            connection.execute("DELETE FROM keys WHERE commitment = ?", (commitment,))
            connection.execute("DELETE FROM seats WHERE commitment = ? AND token IS NULL", (commitment,))
            connection.execute(
                "UPDATE seats SET salt = NULL, hash = NULL WHERE commitment = ?", (commitment,)
            )

    def sweep(self, sealed: Collection[str], closed: Collection[str], now: datetime) -> None:
        """Forget what a crash left: keys of closed line-ups, and old keys that were never sealed."""
        if not self.path.exists():
            return
        old = utc_text(now - timedelta(hours=WITHOUT_SEAL_H))
        with closing(self._connect()) as connection:
            rows = connection.execute("SELECT commitment, laid_in_at FROM keys").fetchall()
        for commitment, laid_in_at in rows:
            if commitment in closed or (commitment not in sealed and laid_in_at < old):
                self.forget(commitment)

    def seat_by_code(self, code: str, now: datetime) -> Sitting:
        """The seat a code opens.

        Raises:
            Refused: If it opens none, or too many wrong codes were tried just now.
        """
        if not self.path.exists():
            raise Refused(_WRONG)
        with self._writing() as connection:
            tried = _wrong_near(connection, now)
            wait_s = _wait_s(tried, now)
            found = None if wait_s else _opened_by(connection, _plain(code))
            if not wait_s and found is None:
                connection.execute("INSERT INTO wrong VALUES (?)", (utc_text(now),))
        if wait_s:
            raise Refused(f"Too many wrong codes were tried. Wait {wait_s:.0f} s, then try again.")
        if found is None:
            raise Refused(_WRONG)
        return found

    def sit(self, sitting: Sitting) -> str:
        """Give a seat a new token, in clear this once; a token given before it counts no more.

        Raises:
            Refused: If the seat is gone.
        """
        token = secrets.token_urlsafe(32)
        sql = "UPDATE seats SET token = ? WHERE commitment = ? AND role = ? AND hash IS NOT NULL"
        with self._writing() as connection:
            if not connection.execute(sql, (_digest(token), sitting.commitment, sitting.role)).rowcount:
                raise Refused(_WRONG)
        return token

    def seat_by_token(self, token: str) -> Sitting | None:
        """The seat a token stands for, or None."""
        if not token or not self.path.exists():
            return None
        sql = "SELECT lineup, commitment, role, person FROM seats WHERE token = ?"
        row = self._one(sql, _digest(token))
        return Sitting(*row) if row else None

    def leave(self, token: str) -> None:
        """Let a token count no more; the code still opens the seat while the line-up is not closed."""
        if token and self.path.exists():
            with self._writing() as connection:
                connection.execute("UPDATE seats SET token = NULL WHERE token = ?", (_digest(token),))
                connection.execute("DELETE FROM seats WHERE token IS NULL AND hash IS NULL")

    def _one(self, sql: str, *values: Any) -> tuple[Any, ...] | None:
        if not self.path.exists():
            return None
        with closing(self._connect()) as connection, self._told():
            row: tuple[Any, ...] | None = connection.execute(sql, values).fetchone()
        return row

    def _make(self) -> None:
        """Make the file with its rights before anything is in it."""
        try:
            self.path.parent.mkdir(parents=True, exist_ok=True)
            os.close(os.open(self.path, os.O_CREAT | os.O_RDWR, 0o600))
        except OSError as fault:
            raise Unusable(f"The vault {self.path} cannot be made: {fault.strerror}.") from None

    def _connect(self) -> sqlite3.Connection:
        connection = sqlite3.connect(
            f"{self.path.resolve().as_uri()}?mode=rw", uri=True, isolation_level=None, timeout=_WAIT_S
        )
        try:
            with self._told():
                # EXTRA is FULL and the folder too: a key must not be gone after its seal was written.
                connection.executescript("PRAGMA synchronous = EXTRA; PRAGMA secure_delete = ON;")
                if not connection.execute("SELECT 1 FROM sqlite_master WHERE name = 'wrong'").fetchone():
                    connection.executescript(f"BEGIN IMMEDIATE; {_TABLES} COMMIT;")
        except Unusable:
            connection.close()
            raise
        return connection

    @contextmanager
    def _writing(self) -> Iterator[sqlite3.Connection]:
        with closing(self._connect()) as connection, self._told():
            connection.execute("BEGIN IMMEDIATE")
            yield connection
            connection.execute("COMMIT")

    @contextmanager
    def _told(self) -> Iterator[None]:
        try:
            yield
        except sqlite3.Error as fault:
            raise Unusable(
                f"The vault {self.path} cannot be used: {fault}. Bring back the file {VAULT} as it was, or "
                "void the runs that are not open."
            ) from None


def _new_code() -> str:
    return "".join(secrets.choice(LETTERS) for _ in range(CODE_LENGTH))


def _plain(code: str) -> str:
    return "".join(code.replace("-", " ").split()).upper()


def _hashed(code: str, salt: bytes) -> bytes:
    return hmac.new(salt, code.encode(), hashlib.sha256).digest()


def _digest(token: str) -> str:
    return hashlib.sha256(token.encode()).hexdigest()


def _opened_by(connection: sqlite3.Connection, code: str) -> Sitting | None:
    sql = "SELECT lineup, commitment, role, person, salt, hash FROM seats WHERE hash IS NOT NULL"
    found = None
    for *seat, salt, kept in connection.execute(sql).fetchall():  # every one, however early one fits
        if hmac.compare_digest(_hashed(code, salt), kept):
            found = Sitting(*seat)
    return found


def _wrong_near(connection: sqlite3.Connection, now: datetime) -> list[datetime]:
    """When wrong codes were tried within the window; older ones are dropped."""
    window = timedelta(seconds=WRONG_WINDOW_S)
    connection.execute(
        "DELETE FROM wrong WHERE at < ? OR at > ?", (utc_text(now - window), utc_text(now + window))
    )
    return [read_utc(row[0]) for row in connection.execute("SELECT at FROM wrong ORDER BY at")]


def _wait_s(tried: list[datetime], now: datetime) -> float:
    """How long to wait before another try. [s]"""
    if len(tried) < WRONG_FREE:
        return 0.0
    return max(0.0, WRONG_WAIT_S - (now - tried[-1]).total_seconds())
