"""What one side answered, run by run: the handler's call, or the dog's alert.

Conventions
-----------
Only runs that count are here: void runs are left out and listed, runs without a
call are listed as not run. A *target place* holds the target, an *empty place* something else that is no
target: blank, distractor or control. A warm spot is neither and is left out. Where the visits of a run are
known, a place never visited was never offered to the dog.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Literal

from nares.base.lineups import Blinding, Observed, Placed, RunResult, Visit

Side = Literal["call", "alert"]
"""Whose answer: the handler's call, or the dog's own alert."""


@dataclass(frozen=True, slots=True)
class Answer:
    """One run as one side answered it. ``at``: places answered; empty: clear. ``visits``: empty: not known.

    ``one_only``: only one place could be named, however many targets lay there.
    """

    lineup: str
    run: int
    placed: tuple[Placed, ...]
    at: tuple[int, ...]
    visits: tuple[Visit, ...]
    blinding: Blinding | None
    one_only: bool

    @property
    def targets(self) -> tuple[int, ...]:
        """Places with a target."""
        return tuple(one.position for one in self.placed if one.holds == "target")

    @property
    def empties(self) -> tuple[int, ...]:
        """Places without a target that count: blanks, distractors, controls."""
        return tuple(one.position for one in self.placed if one.holds not in ("target", "warm"))

    @property
    def warm(self) -> tuple[int, ...]:
        """Places that held a target lately."""
        return tuple(one.position for one in self.placed if one.holds == "warm")

    @property
    def found(self) -> bool:
        """Whether a target was answered."""
        return any(place in self.targets for place in self.at)

    @property
    def false(self) -> tuple[int, ...]:
        """Empty places answered."""
        return tuple(place for place in self.at if place in self.empties)

    @property
    def at_warm(self) -> bool:
        """Whether a warm spot was answered: such a run says nothing about false alerts."""
        return any(place in self.warm for place in self.at)

    def offered(self, places: Iterable[int]) -> tuple[int, ...]:
        """Those of the places that the dog came to, as far as is known."""
        seen = {visit.position for visit in self.visits} | set(self.at)
        return tuple(place for place in places if not self.visits or place in seen)


def counted(results: Sequence[RunResult]) -> list[RunResult]:
    """Runs that count, in order: not void."""
    return sorted((one for one in results if not one.void), key=lambda one: (one.lineup, one.run))


def answers_of(results: Sequence[RunResult], side: Side) -> list[Answer]:
    """What one side answered in every run that counts and was answered or called clear, in order."""
    runs = [(one, _places(one, side)) for one in counted(results)]
    return [
        Answer(
            one.lineup,
            one.run,
            one.placed,
            at,
            () if one.observed is None else tuple(sorted(one.observed.visits, key=lambda seen: seen.from_s)),
            one.blinding,
            side == "call" or one.observed is None or not one.observed.visits,
        )
        for one, at in runs
        if at is not None
    ]


def _places(result: RunResult, side: Side) -> tuple[int, ...] | None:
    if side == "call":
        if result.called is None:
            return None
        return () if result.called.position is None else (result.called.position,)
    return None if result.observed is None else alerts_of(result.observed)


def alerts_of(observed: Observed) -> tuple[int, ...]:
    """Every place the dog alerted at in a run, once: the alert written down, and those among the visits."""
    alerts = {visit.position for visit in observed.visits if visit.alerted}
    if observed.alerted_at is not None:
        alerts.add(observed.alerted_at)
    return tuple(sorted(alerts))
