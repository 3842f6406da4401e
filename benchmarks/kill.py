"""Kill a writer in the middle of a burst, many times, and see that nothing acknowledged was lost.

    python -m benchmarks.kill [KILLS]

A child process appends pairs of entries (a session and its reps, one transaction) and names the last number
and digest of each pair through a pipe once `append_all` has returned. The parent ends it with SIGKILL after a
random few milliseconds and starts the next on the same file. SIGKILL stands for a crash of the program; a
power cut also tests the disk, which no program can do from inside.
"""

import os
import signal
import sys
import tempfile
import time
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from random import Random
from typing import NoReturn

from nares.base.vocab import Rep
from nares.record.chain import Entry
from nares.record.store import Proposed, Store
from nares.record.verify import verify

KENNEL, SITE, BY = "Saltmarsh Kennels", "laptop", "Runa Vell"


@dataclass(frozen=True, slots=True)
class Killed:
    """What came of it: acknowledged pairs lost, entries half there, and whether the record holds."""

    kills: int
    acknowledged: int
    entries: int
    lost: int
    half: int
    holds: bool
    took_s: float


def _now() -> datetime:
    return datetime.now(UTC)


def _open(path: Path) -> Store:
    return Store.open(path, kennel=KENNEL, site=SITE, clock=_now)


def _pair(name: str) -> list[Proposed]:
    at = "2026-03-01T08:00:00Z"
    rep = Rep("Brine", name, at, "hand", 1, 1.0, 1.2, "mark", True, "inside", "inside", 0.0, 0, "target")
    session = {"session": name, "dog": "Brine", "step": "hand", "started_at": at}
    reps = {"session": name, "reading": None, "reps": [rep]}
    return [Proposed("session_run", session, at, BY), Proposed("reps_confirmed", reps, at, BY)]


def _burst(path: Path, run: int, pipe: int) -> NoReturn:
    """The child: write until killed."""
    try:
        store = _open(path)
        for count in range(1_000_000):
            last = store.append_all(_pair(f"{run}-{count}"))[-1]
            os.write(pipe, f"{last.number} {last.digest}\n".encode())
    finally:
        os._exit(1)


def _acknowledged(path: Path, run: int, wait_s: float) -> list[tuple[int, str]]:
    """Start a child, kill it ``wait_s`` after its first acknowledgement, return what it acknowledged."""
    reader, writer = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(reader)
        _burst(path, run, writer)
    os.close(writer)
    with os.fdopen(reader, "rb") as lines:
        first = lines.readline() if run % 4 else b""  # every fourth is killed while it is still opening
        time.sleep(wait_s)
        os.kill(child, signal.SIGKILL)
        said = first + lines.read()
    os.waitpid(child, 0)
    whole = [line.split() for line in said.decode().splitlines(keepends=True) if line.endswith("\n")]
    return [(int(number), digest) for number, digest in whole]


def kill_many(path: Path, kills: int, *, chance: Random, longest_s: float = 0.03) -> Killed:
    """Kill ``kills`` writers on one file and look at what is there."""
    start = time.monotonic()
    with _open(path) as store:
        store.append("dog_added", {"dog": "Brine", "breed": "Spaniel"}, happened_at=_now(), by=BY)
    said = [ack for run in range(kills) for ack in _acknowledged(path, run, chance.uniform(0.0, longest_s))]
    with _open(path) as store:
        there = {entry.number: entry.digest for entry in _entries(store)}
        lost = sum(there.get(number) != digest for number, digest in said)
        half = len(
            {found.session for found in store.sessions()} ^ {kept.rep.session for kept in store.reps()}
        )
        holds = verify(store).holds
    return Killed(kills, len(said), len(there), lost, half, holds, time.monotonic() - start)


def _entries(store: Store) -> Iterator[Entry]:
    page = 1
    while found := store.entries(page=page, size=1000):
        yield from found
        page += 1


def main() -> int:
    kills = int(sys.argv[1]) if len(sys.argv) > 1 else 200
    with tempfile.TemporaryDirectory() as folder:
        came = kill_many(Path(folder) / "record.sqlite3", kills, chance=Random(kills))
    print(came)
    return 0 if came.holds and came.lost == 0 and came.half == 0 else 1


if __name__ == "__main__":
    sys.exit(main())
