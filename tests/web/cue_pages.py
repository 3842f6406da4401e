"""A dog's page of cues, worked out from invented reps: the hand came with the target."""

from dataclasses import replace
from functools import cache

from tests.design.cue_tables import rep

from nares.app.cues.cues_page import cues_of_reps
from nares.app.cues.values import AskCues, CuesPage, OwnCue

ROWS = [
    *[("target hand", 1)] * 20,
    *[("", 0)] * 10,
    *[("target hand box:1", 1), ("target hand box:2", 1), ("distractor:tape box:2", 0), ("rain box:1", 0)]
    * 5,
]
OWN = (OwnCue("rain", "It rained on the roof.", "Mara Quill", 41),)


def cues(asked: AskCues | None = None) -> CuesPage:
    """The page, as asked; Bracken's when nothing is."""
    return _cues(asked.reps, asked.bans) if asked else _cues(None, ())


@cache
def _cues(reps: int | None, bans: tuple[str, ...]) -> CuesPage:
    rows = [
        rep(
            n % 10 + 1,
            names,
            dog="Bracken",
            session=f"bracken-{n // 10 + 1:02d}",
            started_at=f"2026-03-{n // 10 + 1:02d}T08:00:00Z",
            source="target" if "target" in names.split() else "blank",
            paid=bool(paid),
        )
        for n, (names, paid) in enumerate(ROWS)
    ]
    return replace(cues_of_reps(rows, AskCues("Bracken", reps=reps, bans=bans), drawn=True), own=OWN)
