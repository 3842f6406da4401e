"""One mark and what surrounds it: how long after nose-in, ask and intake, and on what it fell.

Conventions
-----------
A *delay* is mark minus what came before it, in seconds; a mark before the nose went in has a negative one.
``over_ask_s`` is how much later than the ask a mark fell: where a hold of three seconds was asked, the delay
after nose-in says how patient the person was, and only what goes over the ask says how quick. A *phase* runs
from 0, where an intake begins, to 1, where the next would; it is carried on from the intakes heard before
the mark, because the mark hides 50 to 100 ms of what follows it, and is known to some 10 to 20 ms. What
could not be measured is None.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from nares.base.vocab import Bout, Seen, Span
from nares.measure.sound.phase import cycle_s, run_before, sniffing_at

DETECTION_S = 0.131
"""How long a person takes to notice a thing seen, before any movement: the part of a simple reaction nobody
is quicker than. A mark sooner after nose-in cannot be a reaction to it. [s]
"""
SIMPLE_MEAN_S = 0.231
"""Mean simple reaction to a thing seen, finger on the button, nothing to decide. [s]"""
ORDINARY_S = 0.5
"""Up to here a reaction in the midst of other work is ordinary; our choice. [s]"""
PHASE_ERROR_S = 0.015
"""How well the time since the last intake is known at a mark, one standard deviation. [s]"""
FEWEST_INTAKES = 3
"""Intakes of a run that make a cycle."""


@dataclass(frozen=True, slots=True)
class MarkSeen:
    """One mark of one session.

    ``looked_at``: a person corrected or confirmed it. ``cycle_s``: time from intake to intake where it fell.
    """

    session: str
    dog: str
    person: str
    rep: int
    at_s: float
    delay_s: float | None
    over_ask_s: float | None
    after_intake_s: float | None
    phase: float | None
    cycle_s: float | None
    sniffing: Seen
    inhaling: Seen
    looked_at: bool

    @property
    def anticipated(self) -> bool:
        """Whether the mark came too soon after nose-in to be a reaction to it, or before it."""
        return self.delay_s is not None and self.delay_s < DETECTION_S


def phase_at(
    at_s: float, bouts: Sequence[Bout] | None, inhales: Sequence[Span] | None
) -> tuple[float, float, float] | None:
    """Where in the sniff a moment falls: phase, time since the intake began, and the cycle.

    Args:
        at_s: The moment, mostly a mark. [s]
        bouts: Sniffing bouts in time order; None where the sound cannot carry them.
        inhales: Intakes in time order; None where the sound cannot carry them.

    Returns:
        Phase (0 to 1), seconds since the latest intake began, seconds from intake to intake; None where the
        dog was not sniffing or the rhythm before the moment is too short.
    """
    if inhales is None or sniffing_at(at_s, bouts, inhales) != "yes":
        return None
    run = run_before(at_s, inhales)
    if len(run) < FEWEST_INTAKES:
        return None
    cycle = cycle_s(run)
    since = at_s - run[-1].start_s
    if cycle <= 0 or since > 2 * cycle:
        return None
    phase = (since / cycle) % 1
    return phase, phase * cycle, cycle
