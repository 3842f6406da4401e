"""What a person's marks look like together: delays, on what they fell, and where in the sniff.

Conventions
-----------
Everything carries its n, and what could not be measured is counted, never left out in silence. Marks of one
session resemble each other, so every interval counts with the spread between sessions where there are two or
more. Marks that came too soon to be a reaction are counted apart and stay in the distribution: they are
neither praised nor blamed.
"""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from math import exp, pi

from nares.base.errors import NotEnoughData
from nares.base.interval import session_spread, wilson_interval
from nares.measure.marking.circular import Direction, mean_direction
from nares.measure.marking.marks import DETECTION_S, ORDINARY_S, PHASE_ERROR_S, SIMPLE_MEAN_S, MarkSeen
from nares.measure.marking.quantiles import Middle, median_interval


@dataclass(frozen=True, slots=True)
class Share:
    """A share of marks: how many of how many, with its interval. ``unclear``: marks that cannot be told."""

    count: int
    of: int
    share: float | None
    low: float | None
    high: float | None
    unclear: int


@dataclass(frozen=True, slots=True)
class Band:
    """Marks whose delay lies from ``from_s`` on and under ``to_s``; None for an open end."""

    name: str
    from_s: float | None
    to_s: float | None
    count: int


@dataclass(frozen=True, slots=True)
class Delays:
    """Delays of one kind. ``n`` were measured, ``not_measured`` were not. ``middle`` None when none was."""

    n: int
    not_measured: int
    middle: Middle | None
    values_s: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Timing:
    """Every figure of one person's marks, or of all.

    ``anticipated``: share of marks with a measured delay that came under the detection part of a reaction.
    ``direction``: None when no mark has a phase. ``kept_of_length``: the part of the resultant length that
    the error of a phase leaves; a true length is about ``length / kept_of_length``. ``looked_at``: marks a
    person has looked at.
    """

    marks: int
    sessions: int
    looked_at: int
    after_nose: Delays
    over_ask: Delays
    after_intake: Delays
    bands: tuple[Band, ...]
    anticipated: Share
    sniffing: Share
    inhaling: Share
    direction: Direction | None
    phases: tuple[float, ...]
    kept_of_length: float | None


def timing_of(marks: Sequence[MarkSeen], *, confidence: float) -> Timing:
    """Sum up marks: delays with their medians, shares, and where in the sniff they fall.

    Args:
        marks: At least one mark.
        confidence: Two-sided coverage of every interval. [-]

    Raises:
        NotEnoughData: If there is no mark.

    Sources:
        woods-2015: the parts of a human reaction that part the bands.
    """
    if not marks:
        raise NotEnoughData(
            "There is no mark to sum up. Measure a session with marks, or choose a longer period."
        )
    delayed = [mark for mark in marks if mark.delay_s is not None]
    phased = [mark for mark in marks if mark.phase is not None]
    return Timing(
        marks=len(marks),
        sessions=len({mark.session for mark in marks}),
        looked_at=sum(mark.looked_at for mark in marks),
        after_nose=_delays(marks, [mark.delay_s for mark in marks], confidence),
        over_ask=_delays(marks, [mark.over_ask_s for mark in marks], confidence),
        after_intake=_delays(marks, [mark.after_intake_s for mark in marks], confidence),
        bands=bands_of([mark.delay_s for mark in delayed if mark.delay_s is not None]),
        anticipated=_share(
            [mark.anticipated for mark in delayed], [mark.session for mark in delayed], 0, confidence
        ),
        sniffing=_seen(marks, [mark.sniffing for mark in marks], confidence),
        inhaling=_seen(marks, [mark.inhaling for mark in marks], confidence),
        direction=_direction(phased, confidence),
        phases=tuple(mark.phase for mark in phased if mark.phase is not None),
        kept_of_length=_kept([mark.cycle_s for mark in phased if mark.cycle_s]),
    )


def bands_of(delays_s: Sequence[float]) -> tuple[Band, ...]:
    """Count delays by what a human reaction allows.

    Args:
        delays_s: Mark minus nose-in. [s]
    """
    edges = (
        ("before the nose was in", None, 0.0),
        ("too soon to be a reaction", 0.0, DETECTION_S),
        ("quick for anyone", DETECTION_S, SIMPLE_MEAN_S),
        ("ordinary", SIMPLE_MEAN_S, ORDINARY_S),
        ("after a pause or a hold", ORDINARY_S, None),
    )
    return tuple(
        Band(
            name,
            low,
            high,
            sum((low is None or low <= at) and (high is None or at < high) for at in delays_s),
        )
        for name, low, high in edges
    )


def _delays(marks: Sequence[MarkSeen], values: Sequence[float | None], confidence: float) -> Delays:
    known = [(value, mark.session) for value, mark in zip(values, marks, strict=True) if value is not None]
    times, sessions = tuple(value for value, _ in known), [session for _, session in known]
    middle = median_interval(times, confidence=confidence, sessions=sessions) if times else None
    return Delays(len(times), len(marks) - len(times), middle, times)


def _seen(marks: Sequence[MarkSeen], said: Sequence[str], confidence: float) -> Share:
    clear = [(one == "yes", mark.session) for one, mark in zip(said, marks, strict=True) if one != "unclear"]
    unclear = Counter(said)["unclear"]
    return _share([yes for yes, _ in clear], [session for _, session in clear], unclear, confidence)


def _share(yes: Sequence[bool], sessions: Sequence[str], unclear: int, confidence: float) -> Share:
    if not yes:
        return Share(0, 0, None, None, None, unclear)
    share = sum(yes) / len(yes)
    worth = session_spread(yes, sessions).effective_reps if len(set(sessions)) > 1 else len(yes)
    return Share(sum(yes), len(yes), share, *wilson_interval(share, worth, confidence=confidence), unclear)


def _direction(phased: Sequence[MarkSeen], confidence: float) -> Direction | None:
    if not phased:
        return None
    phases = [mark.phase for mark in phased if mark.phase is not None]
    return mean_direction(phases, confidence=confidence, sessions=[mark.session for mark in phased])


def _kept(cycles_s: Sequence[float]) -> float | None:
    """How much of the resultant a normal error of the phase leaves, averaged over the marks."""
    if not cycles_s:
        return None
    return sum(exp(-((2 * pi * PHASE_ERROR_S / cycle) ** 2) / 2) for cycle in cycles_s) / len(cycles_s)
