"""What a person may practise next, from the figures of their marks, with the grounds.

Conventions
-----------
A suggestion is made only where the whole interval of its figure lies on the wrong side of a limit, so that
chance alone seldom brings one. The limits are our choices, written here once. Nothing is said of the person,
only of the marks; the order is the order of what harms a dog's learning most: marks on the wrong thing, then
scattered ones, then late ones.
"""

from dataclasses import dataclass, replace

from nares.measure.marking.quantiles import Middle
from nares.measure.marking.timing import Delays, Timing

FEWEST = 12
"""Marks from which anything is suggested. [count]"""
OFF_SNIFFING = 0.2
"""More marks than this off sniffing call for practice. [-]"""
TOO_SOON = 0.2
"""More marks than this too soon to be reactions call for practice. [-]"""
LATE_S = 0.5
"""A median further over the ask than this is late. [s]"""
SHORT_S = 0.2
"""A median further under the ask than this is short of it. [s]"""
SCATTERED_S = 0.3
"""The middle half of the marks spread wider than this is scattered. [s]"""

SCATTERED = (
    "Make the marks alike before making them quick: drop a ball fifty times and click as it touches the "
    "floor, then "
    "go back to the dog with one fixed thing to wait for."
)
LATE = (
    "The marks are alike, and late by much the same: know before the rep how long you wait, keep the thumb "
    "on the "
    "clicker, and click at the moment itself, not after judging it."
)
SHORT = (
    "The marks come before the hold that was asked for: count the hold out, or ask for less. A hold marked "
    "early "
    "teaches the shorter one."
)


@dataclass(frozen=True, slots=True)
class Practice:
    """One suggestion: a word for it, what to do, and the figures it rests on."""

    key: str
    what: str
    grounds: str


def practice_for(timing: Timing) -> tuple[Practice, ...]:
    """Suggest practice from figures; with too few marks, say so and nothing else."""
    if timing.marks < FEWEST:
        return (
            Practice(
                "too few",
                "Measure a few more sessions before practising anything in particular.",
                f"{timing.marks} marks; suggestions begin at {FEWEST}.",
            ),
        )
    found = [one for one in (_off(timing), _soon(timing), _against_the_ask(timing)) if one is not None]
    once = " One session only: see whether the next one says the same." if timing.sessions == 1 else ""
    return tuple(replace(one, grounds=one.grounds + once) for one in found) or (_nothing(timing),)


def _off(timing: Timing) -> Practice | None:
    on = timing.sniffing
    if on.of < FEWEST or on.high is None or on.share is None or on.high >= 1 - OFF_SNIFFING:
        return None
    return Practice(
        "off sniffing",
        "Practise on sound alone: play a recording, eyes shut, and click only while sniffing is heard. "
        "Then work the dog with the opening close enough to hear it, and let a rep go unmarked when it "
        "stops.",
        f"{on.of - on.count} of {on.of} marks fell while no sniffing was heard; {on.unclear} more cannot "
        f"be told.",
    )


def _soon(timing: Timing) -> Practice | None:
    soon = timing.anticipated
    if soon.of < FEWEST or soon.low is None or soon.low <= TOO_SOON:
        return None
    return Practice(
        "too soon",
        "Wait for one breath after the nose goes in before marking: so early a mark answers the "
        "approach, not the nose. If the approach is what you want to mark, leave it as it is.",
        f"{soon.count} of {soon.of} marks came under 0.13 s after nose-in, too soon to be a reaction to it.",
    )


def _against_the_ask(timing: Timing) -> Practice | None:
    """Scattered, late or short of the ask; nothing without an ask, for a long delay may be a long hold."""
    over = timing.over_ask
    middle = over.middle
    if middle is None or over.n < FEWEST:
        return None
    width = middle.three_quarters - middle.quarter
    grounds = (
        f"{over.n} marks against their ask: median {middle.median:+.2f} s{_interval(middle)}, the middle "
        f"half within {width:.2f} s; {over.not_measured} not measured or without an ask."
    )
    if width > SCATTERED_S and _is_sure_of_width(over, SCATTERED_S):
        return Practice("scattered", SCATTERED, grounds)
    if middle.low is not None and middle.low > LATE_S:
        return Practice("late", LATE, grounds)
    if middle.high is not None and middle.high < -SHORT_S:
        return Practice("short", SHORT, grounds)
    return None


def _is_sure_of_width(after: Delays, limit_s: float) -> bool:
    """Whether the middle half stays wider than the limit without the outermost fifth of the marks."""
    ordered = sorted(after.values_s)
    drop = len(ordered) // 10
    kept = ordered[drop : len(ordered) - drop] if drop else ordered
    quarter = len(kept) // 4
    return kept[-1 - quarter] - kept[quarter] > limit_s


def _interval(middle: Middle) -> str:
    if middle.low is None or middle.high is None:
        return ""
    return f" (interval {middle.low:.2f} to {middle.high:.2f} s)"


def _nothing(timing: Timing) -> Practice:
    return Practice(
        "keep on",
        "Nothing here calls for practice. Keep measuring: a change will show.",
        f"{timing.marks} marks of {timing.sessions} session{'' if timing.sessions == 1 else 's'}.",
    )
