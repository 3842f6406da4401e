"""Builds the demo kennel, or goes on where an earlier build stopped; run again it adds nothing.

The history is written with the clock of its own days, so that it reads like weeks of work; the recording is
measured now, by the same job a trainer's recording goes through.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from itertools import groupby
from pathlib import Path

from nares.app import jobs
from nares.app.deeds import ConfirmReps, CorrectRep, RunSession
from nares.app.desk import Desk, open_desk
from nares.app.tables import keep_session, reps_of_table, sessions_kept
from nares.base.errors import Refused
from nares.base.times import read_utc, utc_text
from nares.base.vocab import Rep
from nares.demo.lineup import SEED, run_lineup
from nares.demo.scenario import (
    DOGS,
    FILMED,
    HANDLER,
    KENNEL,
    OVERRULED,
    SIGNS,
    SITE,
    TRAINER,
    recording,
    shifted,
    table_text,
)

Progress = Callable[[float, str], None]

LOOKED_AT = 10
"""How many of the filmed reps the demo's trainer has looked at already. [count]"""

WRITTEN_DOWN = timedelta(minutes=25)
"""How long after a session began its reps were written down."""

AFTER_THE_LAST = timedelta(hours=1)
"""How long after the last written session the line-up began."""

CORRECTION = CorrectRep(
    "teasel-17", 4, {"disturbance": "1"}, "A van pulled into the yard during this rep.", TRAINER
)


@dataclass(slots=True)
class Days:
    """The clock of the demo's own days. It never runs behind what is already written."""

    at: datetime
    newest: datetime

    def __call__(self) -> datetime:
        """The time of entry in the demo's own days."""
        self.newest = max(self.at, self.newest)
        return self.newest


@dataclass(frozen=True, slots=True)
class Built:
    """What a build found and added."""

    kennel: str
    entries_before: int
    entries: int
    filmed: str


def build(data: Path, *, now: datetime, progress: Progress) -> Built:
    """Build the kennel in a data folder.

    Args:
        data: The folder; made where missing.
        now: The time of day; the last written session falls on the day before.
        progress: Told how far the measuring is.

    Raises:
        Refused: If the folder holds the record of another kennel.
    """
    clock = Days(now, datetime(2000, 1, 1, tzinfo=UTC))
    reps = tuple(shifted(reps_of_table(table_text()), now))
    clock.at = read_utc(reps[0].started_at) - timedelta(days=1)
    with open_desk(data, person=TRAINER, kennel=KENNEL, site=SITE, now=clock, seed=lambda: SEED) as desk:
        kennel = jobs.today_page(desk).kennel
        if kennel != KENNEL:
            raise Refused(
                f"The folder {data} holds the record of {kennel}, not the demo's. "
                "Give the demo a folder of its own with --data."
            )
        before, newest = standing(desk)
        clock.newest = max(clock.newest, newest)
        _add_dogs(desk)
        history = _same_days(desk, reps)
        _write_history(desk, clock, history)
        run_lineup(desk, clock, read_utc(history[-1].started_at) + AFTER_THE_LAST)
        clock.at = read_utc(_filmed_at(desk)) + WRITTEN_DOWN
        _film(desk, progress)
        return Built(KENNEL, before, standing(desk)[0], FILMED.session)


def standing(desk: Desk) -> tuple[int, datetime]:
    """How many entries there are, and when the newest was written; a bare founding counts as none."""
    newest = jobs.record_page(desk).entries[0]
    return (0 if newest.number == 1 else newest.number), read_utc(newest.entered_at)


def _add_dogs(desk: Desk) -> None:
    known = {card.name for card in jobs.today_page(desk).dogs}
    for dog in DOGS:
        if dog.name not in known:
            jobs.add_dog(desk, replace(dog, by=TRAINER))


def _same_days(desk: Desk, reps: Sequence[Rep]) -> list[Rep]:
    """The history on the days of the build it continues, where there was one."""
    kept = sessions_kept(desk)
    first = next((rep for rep in reps if rep.session in kept), None)
    if first is None:
        return list(reps)
    by = read_utc(kept[first.session]) - read_utc(first.started_at)
    return [replace(rep, started_at=utc_text(read_utc(rep.started_at) + by)) for rep in reps]


def _write_history(desk: Desk, clock: Days, reps: Sequence[Rep]) -> None:
    kept = sessions_kept(desk)
    for session, group in groupby(reps, lambda rep: rep.session):
        rows = tuple(group)
        clock.at = read_utc(rows[0].started_at) + WRITTEN_DOWN
        if session not in kept:
            keep_session(desk, rows, TRAINER if rows[0].dog != "Teasel" else HANDLER)
            _on_their_own(desk, session)
        if session == CORRECTION.session:
            _correct(desk)


def _on_their_own(desk: Desk, session: str) -> None:
    """What people saw and decided after a session just written down."""
    if session == SIGNS.session:
        jobs.note_signs(desk, SIGNS)
    if session in OVERRULED:
        jobs.overrule_call(desk, OVERRULED[session])


def _correct(desk: Desk) -> None:
    line = jobs.session_page(desk, CORRECTION.session).reps[CORRECTION.rep - 1]
    if not line.changes:
        jobs.correct_rep(desk, CORRECTION)


def _filmed_at(desk: Desk) -> str:
    """The filmed session came two hours after the dog's last written one."""
    kept = sessions_kept(desk)
    newest = max(
        at for name, at in kept.items() if name.startswith(FILMED.dog.lower()) and name != FILMED.session
    )
    return utc_text(read_utc(newest) + timedelta(hours=2))


def _film(desk: Desk, progress: Progress) -> None:
    """Measure the recording; the trainer stood by the first reps, the rest waits for a look."""
    if FILMED.session not in sessions_kept(desk):
        _measure(desk, progress)
    lines = jobs.session_page(desk, FILMED.session).reps
    if any(line.state != "measured" for line in lines):
        return  # a person has been at it already: the demo's, or whoever looks at the demo
    sure = tuple(line.proposed for line in lines[:LOOKED_AT] if line.proposed and not line.low_certainty)
    if sure:
        jobs.confirm_reps(desk, ConfirmReps(FILMED.session, TRAINER, sure))


def _measure(desk: Desk, progress: Progress) -> None:
    asked = RunSession(
        recording=recording(),
        dog=FILMED.dog,
        by=TRAINER,
        started_at=_filmed_at(desk),
        step=FILMED.step,
        session=FILMED.session,
        front=FILMED.front,
        side=FILMED.side,
        asks_s=FILMED.asks_s,
        note="Filmed on a phone on a stand, hand beside the side opening.",
    )
    jobs.run_session(desk, asked, progress)
