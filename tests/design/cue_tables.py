"""Small histories to look at cues with."""

from nares.base.vocab import Rep
from nares.design.cues.trials import History, Trial

AT = "2026-03-01T08:00:00Z"
BALANCED = [("target hand", 1), ("target", 1), ("hand", 0), ("", 0)] * 10
TIED = [("target hand", 1)] * 40 + [("", 0)] * 20


def trials(rows: list[tuple[str, int]], each: int = 10) -> tuple[Trial, ...]:
    """A trial a row, ``each`` a session."""
    return tuple(
        Trial(f"s{n // each + 1}", AT, frozenset(cues.split()), bool(paid))
        for n, (cues, paid) in enumerate(rows)
    )


def history(rows: list[tuple[str, int]], each: int = 10) -> History:
    return History(trials(rows, each))


def rep(number: int, cues: str = "", **other: object) -> Rep:
    said: dict[str, object] = {
        "dog": "Teasel",
        "session": "t1",
        "started_at": AT,
        "step": "box",
        "rep": number,
        "ask_s": 1.0,
        "hold_s": 1.2,
        "ended_by": "mark",
        "met": True,
        "hand": "away",
        "pay_place": "inside",
        "distance_m": 0.0,
        "disturbance": 0,
        "source": "target",
        "cues": tuple(cues.split()),
        "paid": True,
    }
    return Rep(**{**said, **other})  # type: ignore[arg-type]
