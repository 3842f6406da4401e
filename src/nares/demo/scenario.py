"""Saltmarsh Kennels: an invented kennel on an invented coast, its people, dogs, and one real recording.

The rep table beside this file was made by simulated dogs whose truth is kept in the test suite; the recording
is ours and is measured for real. Days are shifted as a whole so that the last session was yesterday.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from importlib.resources import files
from pathlib import Path

from nares.app.deeds import AddDog, NoteSigns, OverruleCall
from nares.base.times import read_utc, utc_text
from nares.base.vocab import Region, Rep

KENNEL, SITE = "Saltmarsh Kennels", "the training barn"
TRAINER, HANDLER = "Wren Halloway", "Tobias Fenn"

DOGS = (
    AddDog(
        "Bracken", "Labrador Retriever", "2024-05-11", "male", note="Bold at the box, impatient with a hand."
    ),
    AddDog(
        "Teasel", "German Shorthaired Pointer", "2023-09-02", "female", note="Steady. Ready for longer holds."
    ),
    AddDog("Plover", "Belgian Malinois", "2025-01-19", "female", note="New. Looks in and out quickly."),
)


@dataclass(frozen=True, slots=True)
class Filmed:
    """The recorded session: whose, where the openings are in the picture, what was asked."""

    dog: str
    session: str
    step: str
    front: Region
    side: Region
    asks_s: tuple[float, ...]


FILMED = Filmed(
    dog="Bracken",
    session="bracken-filmed",
    step="hand-side-hold",
    front=Region(0.4239, 0.4183, 0.0518, 0.1471),
    side=Region(0.6443, 0.4363, 0.0341, 0.0958),
    asks_s=(1.0, 1.2, 0.9, 1.4, 1.1, 0.8, 1.3, 1.0, 0.8, 1.5, 0.8, 1.2, 0.9, 1.1, 1.0),
)


SIGNS = NoteSigns(
    "Plover",
    ("yawn",),
    HANDLER,
    session="plover-05",
    rep=7,
    note="Once, at the box. Loose and quick again after.",
)
OVERRULED = {
    "teasel-03": OverruleCall(
        "Teasel", "stay", "A second session before the hand goes: the yard was quiet and cool today.", TRAINER
    ),
    "teasel-11": OverruleCall("Teasel", "stay", "Food in sight on a hungry day first.", TRAINER),
}
"""What people saw and decided on their own, by the session after which it was."""


def recording() -> Path:
    """The demo recording as it lies in the package."""
    return Path(str(files("nares.demo").joinpath("bracken.mp4")))


def table_text() -> str:
    """The rep table as the simulated dogs left it."""
    return files("nares.demo").joinpath("saltmarsh.csv").read_text(encoding="utf-8")


def days_to_shift(newest: str, now: datetime) -> timedelta:
    """How many whole days bring the newest session to yesterday."""
    return timedelta(days=(now.date() - read_utc(newest).date()).days - 1)


def shifted(reps: tuple[Rep, ...], now: datetime) -> Iterator[Rep]:
    """The same reps with every session moved by the same number of days."""
    by = days_to_shift(max(rep.started_at for rep in reps), now)
    for rep in reps:
        yield replace(rep, started_at=utc_text(read_utc(rep.started_at) + by))
