"""How fast a record is verified, against the bare cost of hashing and canonicalising the same entries.

    python -m benchmarks.verify [ENTRIES]

The bare cost is one SHA-256 and one RFC 8785 canonicalisation of each entry with the libraries themselves,
measured in the same run.
"""

import hashlib
import json
import sys
import tempfile
import time
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

import rfc8785

from nares.base.vocab import Rep
from nares.record.chain import Sealed, verify_chain
from nares.record.store import Proposed, Store
from nares.record.verify import verify

AT = "2026-03-01T08:00:00Z"


def written(path: Path, entries: int) -> Store:
    store = Store.open(path, kennel="Saltmarsh Kennels", site="laptop", clock=lambda: datetime.now(UTC))
    proposed = [Proposed("dog_added", {"dog": "Brine", "breed": "Spaniel"}, AT, "Runa Vell")]
    for number in range(entries // 2):
        name = f"b{number}"
        rep = Rep("Brine", name, AT, "hand", 1, 1.0, 1.25, "mark", True, "inside", "inside", 0.0, 0, "target")
        said = {"session": name, "dog": "Brine", "step": "hand", "started_at": AT}
        proposed.append(Proposed("session_run", said, AT, "Runa Vell"))
        reps = {"session": name, "reading": None, "reps": [rep]}
        proposed.append(Proposed("reps_confirmed", reps, AT, "Runa Vell"))
    store.append_all(proposed)
    return store


def timed(work: Callable[[], object]) -> float:
    start = time.perf_counter()
    work()
    return time.perf_counter() - start


def bare(stored: list[Sealed]) -> None:
    for sealed in stored:
        hashlib.sha256(rfc8785.dumps(json.loads(sealed.body))).hexdigest()


def main() -> int:
    entries = int(sys.argv[1]) if len(sys.argv) > 1 else 20_000
    with tempfile.TemporaryDirectory() as folder, written(Path(folder) / "record.sqlite3", entries) as store:
        rows = store._connection().execute("SELECT number, body, digest FROM entries ORDER BY number")
        stored = [Sealed(*row) for row in rows]
        chain_s = min(timed(lambda: list(verify_chain(stored))) for _ in range(3))
        bare_s = timed(lambda: bare(stored))
        whole_s = timed(lambda: verify(store))
        size = sum(len(sealed.body) for sealed in stored) / len(stored)
    count = len(stored)
    print(f"{count} entries of {size:.0f} bytes")
    print(f"chain    {count / chain_s:10,.0f} entries/s   {chain_s / bare_s:.2f} of the bare cost")
    print(f"bare     {count / bare_s:10,.0f} entries/s")
    print(f"verify   {count / whole_s:10,.0f} entries/s   with every table compared")
    return 0


if __name__ == "__main__":
    sys.exit(main())
