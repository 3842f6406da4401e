"""The desk: the one place where record, clock, chance and recordings are plugged in.

Every job takes a desk. A test hands in another clock and another chance and nothing else changes.
"""

import getpass
import os
import secrets
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, tzinfo
from pathlib import Path
from typing import TYPE_CHECKING

from nares.base.errors import Refused, Unknown, Unusable
from nares.record.store import Store
from nares.record.vault import VAULT, Vault

if TYPE_CHECKING:
    from numpy.random import Generator

RECORD = "record.sqlite3"
RECORDINGS = "recordings"
SECRET = "secret"


def _seed() -> bytes:
    return secrets.token_bytes(32)


@dataclass(frozen=True, slots=True)
class Desk:
    """What a job works with.

    ``now``: the time of day, asked once a deed. ``draws``: a fresh source of chance. ``person``: who
    answers for what is written from here unless a request says otherwise. ``zone``: where days begin and
    end; the computer's when None. ``seed``: 32 bytes nobody can guess, for what must stay secret.
    """

    data: Path
    store: Store
    now: Callable[[], datetime]
    draws: "Callable[[], Generator]"
    person: str
    zone: tzinfo | None = None
    seed: Callable[[], bytes] = _seed

    def today(self) -> date:
        """The day it is where the dogs are."""
        return self.now().astimezone(self.zone).date()

    def midnight(self, day: date) -> datetime:
        """When a day begins where the dogs are."""
        began = datetime.combine(day, time.min, tzinfo=self.zone)
        return began.astimezone(UTC)

    @property
    def secret(self) -> str:
        """What signs the pages' cookies: made once for a data folder, readable by its owner only."""
        kept = self.data / SECRET
        if not kept.exists():
            partial = kept.with_name(f"{SECRET}.{os.getpid()}")
            partial.touch(mode=0o600)
            partial.write_text(secrets.token_hex(32), encoding="ascii")
            partial.replace(kept)
        return kept.read_text(encoding="ascii")

    @property
    def recordings(self) -> Path:
        """The folder of kept recordings, each named by its digest."""
        return self.data / RECORDINGS

    @property
    def vault(self) -> Vault:
        """Sealed keys and seats, beside the record and never in it."""
        return Vault(self.data / VAULT)

    def by(self, asked: str) -> str:
        """Say who writes: the person named in a request, else the person at this desk."""
        return asked.strip() or self.person


@contextmanager
def open_desk(
    data: Path,
    *,
    person: str | None = None,
    kennel: str | None = None,
    site: str | None = None,
    now: Callable[[], datetime] | None = None,
    draws: "Callable[[], Generator] | None" = None,
    seed: Callable[[], bytes] | None = None,
    found: bool = True,
) -> Iterator[Desk]:
    """Open the record of a data folder, founding it where there is none.

    Args:
        data: The folder of the record and the recordings; made where missing.
        person: Who works here; the user of this computer when None.
        kennel: Whose record a new one is. An existing record keeps its own name.
        site: Where a new record is kept.
        now: The clock; the computer's when None.
        draws: A source of chance; the computer's when None.
        seed: Where secrets are drawn from, 32 bytes at a time; the system's own chance when None.
        found: Whether to begin a record where there is none. Without it nothing is made.

    Raises:
        Unknown: If there is no record and none is to be founded.
        Unusable: If the folder cannot be made or written.
        Refused: If the folder holds the record of another kennel.
    """
    _require_sqlite()
    clock = now or _clock
    if not found and not has_record(data):
        raise Unknown(
            f"There is no record in the folder {data}. Give its folder with --data, or begin one: "
            "nares dog add NAME --breed BREED."
        )
    try:
        data.mkdir(parents=True, exist_ok=True)
    except OSError as fault:
        raise Unusable(
            f"The folder {data} cannot be made: {fault.strerror}. Give another with --data."
        ) from None
    known = _names(data / RECORD)
    names = known or (kennel or "My kennel", site or "this computer")
    with Store.open(data / RECORD, kennel=names[0], site=names[1], clock=clock) as store:
        desk = Desk(data, store, clock, draws or _draws, person or _person(), seed=seed or _seed)
        if store.head() is None:
            founded = {"kennel": names[0], "site": names[1]}
            store.append("kennel_founded", founded, happened_at=clock(), by=desk.person)
        yield desk


def _require_sqlite() -> None:
    """Refuse a database that cannot be used yet, rather than writing somewhere else in silence."""
    if os.environ.get("NARES_DATABASE_URL"):
        raise Refused(
            "NARES_DATABASE_URL is set, but this release keeps its record in the data folder only. Unset it."
        )


def has_record(data: Path) -> bool:
    """Whether a record lies in a data folder; looking makes none."""
    return (data / RECORD).exists()


def _names(path: Path) -> tuple[str, str] | None:
    """Read whose record it is, if there is one."""
    if not path.is_file():
        return None
    with Store.open_to_read(path) as store:
        return (store.kennel, store.site) if store.head() else None


def _clock() -> datetime:
    return datetime.now(UTC)


def local_now() -> datetime:
    """The time of day with the zone of this computer."""
    return _clock().astimezone()


def _draws() -> "Generator":
    import numpy as np

    return np.random.default_rng()


def _person() -> str:
    try:
        return getpass.getuser()
    except (KeyError, OSError):  # a computer without a user of that number
        return "trainer"
