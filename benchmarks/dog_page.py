"""How long a dog's page takes after five years of daily sessions, and where the time goes.

    python -m benchmarks.dog_page [SESSIONS]

A record is written in a folder of its own: one dog, a session of 22 reps a day, working through the
programme and then maintaining its last step; a call at the end of each year. The page is asked for as a
browser does (address, view, template), without the network between; the median of several askings is told,
and from a profile the share of time spent in our own code, in the database, in the template engine, in
drawing and in the rest. Beside it, as a bound measured in the same run: the bare reading of every rep's row,
and an empty kennel's first page.
"""

import cProfile
import pstats
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path
from statistics import median
from typing import Any

import numpy as np

from nares.app import jobs
from nares.app.desk import Desk, open_desk
from nares.app.tables import session_entries
from nares.base.times import utc_text
from nares.base.vocab import Rep
from nares.decide import Step, read_programme, shipped_programme, step_call
from nares.record.store import Proposed

REPS = 22
ASKED = 9
PLACES = {
    "ours": ("/nares/",),
    "database": ("sqlite3", "Cursor", "Connection"),
    "templates and web framework": ("/django/",),
    "drawing": ("/matplotlib/",),
    "numbers": ("/numpy/", "/scipy/"),
}


def reps_of(sessions: int) -> Iterator[list[Rep]]:
    """Every session of a dog that learns each step, is raised by the test, and maintains the last."""
    steps, draws = read_programme(shipped_programme()).steps, np.random.default_rng(20_001)
    place, at_step = 0, list[bool]()
    first = datetime.now(UTC) - timedelta(days=sessions)
    for number in range(sessions):
        step, rows = steps[place], list[Rep]()
        for rep in range(1, REPS + 1):
            met = bool(draws.random() < 0.5 + 0.4 * (1 - np.exp(-len(at_step) / 60)))
            rows.append(rep_of(step, number, rep, first + timedelta(days=number), met, draws))
            at_step.append(met)
        yield rows
        if place + 1 < len(steps) and len(at_step) > 300 and step_call(at_step[-60:]).call == "raise":
            place, at_step = place + 1, []


def rep_of(step: Step, number: int, rep: int, at: datetime, met: bool, draws: np.random.Generator) -> Rep:
    """One rep of a session; a hold the dog ended falls short of the ask."""
    ask_s = round(float(draws.uniform(*step.ask_s)), 1)
    hold_s = round(ask_s + 0.2 if met else ask_s * float(draws.uniform(0.2, 0.95)), 2)
    return Rep(
        "Bracken",
        f"bracken-{number:04d}",
        utc_text(at),
        step.key,
        rep,
        ask_s,
        hold_s,
        "mark" if met else "dog",
        met,
        step.hand,
        step.pay_place,
        step.distance_m,
        step.disturbance,
        "target",
    )


def written(desk: Desk, sessions: int) -> int:
    """Put the whole career on the record; a call is made once a year, as it is the newest that counts."""
    by, count = "Mara Quill", 0
    dog = {"dog": "Bracken", "breed": "Labrador Retriever", "programme": "box"}
    entries = [Proposed("dog_added", dog, desk.now(), by)]
    for rows in reps_of(sessions):
        entries += session_entries(rows, by)
        count += len(rows)
    desk.store.append_all(entries)
    return count


def timed(work: Callable[[], object]) -> float:
    """Seconds one asking takes."""
    start = time.perf_counter()
    work()
    return time.perf_counter() - start


def shares(work: Callable[[], object]) -> dict[str, float]:
    """Share of the time spent within each place's own functions."""
    profile = cProfile.Profile()
    profile.runcall(work)
    stats: dict[Any, Any] = pstats.Stats(profile).stats  # type: ignore[attr-defined]
    spent: Counter[str] = Counter()
    for (file, _, name), (_, _, own, _, _) in stats.items():
        where = f"{file} {name}"
        place = next((p for p, marks in PLACES.items() if any(mark in where for mark in marks)), "python")
        spent[place] += own
    total = sum(spent.values())
    return {place: value / total for place, value in spent.most_common()}


def main() -> int:
    """Write, ask, tell."""
    sessions = int(sys.argv[1]) if len(sys.argv) > 1 else 1826
    from tests.web.conftest import DeskClient

    from nares.web.application import DESK
    from nares.web.settings import configure

    configure(secret="a secret of this benchmark only")
    with tempfile.TemporaryDirectory() as folder, open_desk(Path(folder), kennel="Saltmarsh Kennels") as desk:
        door = DeskClient()
        carried: dict[str, Any] = {DESK: desk}
        door.defaults.update(carried)

        def median_s(work: Callable[[], object]) -> float:
            return median([timed(work) for _ in range(ASKED)])

        def page() -> object:
            answer = door.get("/dogs/Bracken/")
            assert answer.status_code == 200
            return answer

        empty_s = median_s(lambda: door.get("/"))
        count = written(desk, sessions)
        call_s, first_s = timed(lambda: called(desk)), timed(page)
        page_s, value_s = median_s(page), median_s(lambda: jobs.dog_page(desk, "Bracken"))
        rows_s = median_s(lambda: bare_rows(desk))
        print(f"{count} reps of {sessions} sessions; a new call decided and kept in {1e3 * call_s:.0f} ms")
        print(f"page: first {1e3 * first_s:.0f} ms, then {1e3 * page_s:.0f} ms (median of {ASKED})")
        print(f"its value without the template: {1e3 * value_s:.0f} ms")
        print(
            f"bounds: an empty kennel's page {1e3 * empty_s:.0f} ms, reading every rep {1e3 * rows_s:.0f} ms"
        )
        path, sessions_of_path = [0, 0, 0, 1] * 2500, [n // 20 for n in range(10_000)]
        call_10k_s = median_s(lambda: step_call(path, sessions_of_path))
        loop_s = median_s(lambda: sum(1 for value in path if value))
        ratio = call_10k_s / loop_s
        print(f"step_call on 10,000 reps: {1e3 * call_10k_s:.2f} ms, {ratio:.1f} bare loops over them")
        for place, share in shares(page).items():
            print(f"  {share:5.1%} {place}")
    return 0


def called(desk: Desk) -> None:
    """Decide once more, as after a confirmed session."""
    from nares.app.confirming import call_again

    desk.store.append_all(call_again(desk, "Bracken", desk.now(), "Mara Quill"))


def bare_rows(desk: Desk) -> list[Any]:
    """Every row of the table of reps, as the database gives it."""
    return desk.store._connection().execute("SELECT * FROM reps").fetchall()


if __name__ == "__main__":
    raise SystemExit(main())
