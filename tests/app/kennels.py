"""Kennels to test with: a clock that ticks, a session measured by hand."""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import asdict, dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path

import numpy as np

from nares.app import jobs
from nares.app.deeds import AddDog
from nares.app.desk import Desk, open_desk
from nares.base.vocab import EndedBy, Mark, MeasuredRep, Reading, RecordingFacts, Span
from nares.record.store import Proposed

STARTED = "2026-03-02T08:00:00.000Z"
SHA = "ab" * 32


@dataclass(slots=True)
class TickingClock:
    """One second later at each look."""

    at: datetime = datetime(2026, 3, 2, 9, 0, tzinfo=UTC)

    def __call__(self) -> datetime:
        self.at += timedelta(seconds=1)
        return self.at


def measured(
    number: int, hold_s: float = 1.4, *, ended_by: EndedBy = "mark", sure: float = 0.95
) -> MeasuredRep:
    nose_in = 10.0 * number
    marked = ended_by == "mark"
    return MeasuredRep(
        rep=number,
        nose_in_s=nose_in,
        nose_out_s=nose_in + hold_s + 1,
        mark_s=nose_in + hold_s if marked else None,
        mark_delay_s=hold_s if marked else None,
        hold_s=hold_s,
        ended_by=ended_by,
        inhales_before_mark=5,
        sniffing_at_mark="yes",
        inhaling_at_mark="unclear",
        pay_s=nose_in + hold_s + 0.5 if marked else None,
        pay_delay_s=0.5 if marked else None,
        pay_place="inside" if marked else None,
        sure=sure,
    )


REPS = (measured(1), measured(2, 0.6, ended_by="dog"), measured(3, sure=0.5), measured(4, ended_by="unknown"))
READING = Reading(
    RecordingFacts(60.0, 30.0, SHA, ("video", "audio")),
    tuple(Mark(rep.mark_s, 0.99) for rep in REPS if rep.mark_s is not None),
    (Span(10.1, 10.2, 0.8),),
    tuple(Span(rep.nose_in_s or 0, rep.nose_out_s or 0, 0.97) for rep in REPS),
    (),
    REPS,
)


@contextmanager
def kennel(data: Path, clock: TickingClock | None = None) -> Iterator[Desk]:
    """A kennel with the dog Moss, the same to the byte each time it is made."""
    with open_desk(
        data,
        person="Wren",
        kennel="Test kennel",
        site="bench",
        now=clock or TickingClock(),
        draws=lambda: np.random.default_rng(7),
    ) as opened:
        jobs.add_dog(opened, AddDog("Moss", "Springer Spaniel"))
        yield opened


def measure_by_hand(desk: Desk) -> str:
    """A measured session of Moss: two clear reps, one unsure, one whose end was not seen."""
    said = {
        "session": "moss-01",
        "dog": "Moss",
        "step": "source-breaths",
        "started_at": STARTED,
        "asks_s": [1.0],
    }
    recording = {
        "session": "moss-01",
        "sha256": SHA,
        "name": "morning.mp4",
        "media_type": "video/mp4",
        "bytes": 9,
        "duration_s": 60.0,
    }
    reading = {
        "session": "moss-01",
        "sha256": SHA,
        "made_with": {},
        "settings": {},
        "reading": asdict(READING),
    }
    kinds = (("session_run", said), ("recording_kept", recording), ("reading_made", reading))
    desk.store.append_all(Proposed(kind, payload, STARTED, "Wren") for kind, payload in kinds)
    return "moss-01"
