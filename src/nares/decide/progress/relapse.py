"""Has a dog fallen back at a step it had mastered? A Bernoulli CUSUM over the reps it still gets there.

Conventions
-----------
Every missed rep adds ``per_missed`` to a sum, every met rep takes ``per_met`` off, never below 0. At ``line``
the *alarm* goes. ``good`` is the share met by a dog that is as it should be, ``bad`` that of one that has
fallen. How often the alarm goes by luck and how soon it goes in earnest are exact, for reps that do not
depend on each other: from 0 back to 0 or up to the line is a sequential test, and its length over its chance
to end at the line is the average number of reps to an alarm.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import log

from nares.base.errors import OutOfRange

REPS_TO_FALSE_ALARM = 240.0
"""A dog as it should be sets the alarm off by luck about once in so many reps. [count]"""

TOUCH = 1e-9
LEFT_OVER = 1e-13
LONGEST_RUN = 1e9
LINE_STEP = 0.01


@dataclass(frozen=True, slots=True)
class Watch:
    """The alarm for one step, and what it does on average.

    ``false_alarm_reps``: reps to an alarm of a dog at ``good``; ``notice_reps``: of one at ``bad``.
    """

    good: float
    bad: float
    line: float
    false_alarm_reps: float
    notice_reps: float

    @property
    def per_missed(self) -> float:
        """What a missed rep adds. [natural logarithm]"""
        return log((1 - self.bad) / (1 - self.good))

    @property
    def per_met(self) -> float:
        """What a met rep takes off. [natural logarithm]"""
        return log(self.good / self.bad)


@dataclass(frozen=True, slots=True)
class Alarm:
    """An alarm at rep ``at``; ``since``: the rep from which on the misses gathered. From 1."""

    since: int
    at: int


@dataclass(frozen=True, slots=True)
class Sum:
    """Where the sum stands after the last rep: ``height`` as a part of the line, and the first alarm, if any.

    ``since``: the rep from which on it has been above 0; None while it is 0.
    """

    height: float
    since: int | None
    alarm: Alarm | None


@lru_cache(maxsize=64)
def relapse_watch(*, good: float, bad: float, false_alarm_reps: float = REPS_TO_FALSE_ALARM) -> Watch:
    """Set an alarm so that a good dog sets it off no oftener than once in so many reps, on average.

    Args:
        good: Share of reps met by a dog that is as it should be. [-]
        bad: Share met by one that has fallen; below ``good``. [-]
        false_alarm_reps: Reps from one false alarm to the next, at least, on average. [count]

    Raises:
        OutOfRange: If shares or reps cannot be.

    Sources:
        reynolds-stoumbos-1999: the chart for a share, one rep at a time.

    Examples:
        >>> watch = relapse_watch(good=0.9, bad=0.7)
        >>> watch.line, round(watch.false_alarm_reps), round(watch.notice_reps)
        (3.05, 274, 17)
    """
    if not 2 <= false_alarm_reps <= 1e6:
        raise OutOfRange(
            f"A false alarm once in {false_alarm_reps:g} reps cannot be asked. Give a number from 2 to "
            "a million."
        )
    low, high = 0, 1
    while reps_to_alarm(good, good=good, bad=bad, line=high * LINE_STEP) < false_alarm_reps:
        low, high = high, high * 2
    while high - low > 1:
        middle = (low + high) // 2
        enough = reps_to_alarm(good, good=good, bad=bad, line=middle * LINE_STEP) >= false_alarm_reps
        low, high = (low, middle) if enough else (middle, high)
    line = round(high * LINE_STEP, 2)
    return Watch(
        good=good,
        bad=bad,
        line=line,
        false_alarm_reps=reps_to_alarm(good, good=good, bad=bad, line=line),
        notice_reps=reps_to_alarm(bad, good=good, bad=bad, line=line),
    )


def reps_to_alarm(rate: float, *, good: float, bad: float, line: float) -> float:
    """Average number of reps to an alarm for a dog that really meets ``rate`` of its reps. [count]

    Args:
        rate: The dog's true share of reps met. [-]
        good: As in `relapse_watch`. [-]
        bad: As in `relapse_watch`. [-]
        line: Height at which the alarm goes. [natural logarithm]

    Raises:
        OutOfRange: If shares or line cannot be.

    Examples:
        >>> [round(reps_to_alarm(rate, good=0.9, bad=0.7, line=3), 1) for rate in (0.9, 0.8, 0.7)]
        [238.7, 37.6, 16.5]
    """
    if not (0 < bad < good < 1 and 0 <= rate <= 1 and line > 0):
        raise OutOfRange(
            f"good {good:g}, bad {bad:g}, a rate of {rate:g} and a line of {line:g} cannot be. "
            "Give shares between 0 and 1 with bad below good, and a line above 0."
        )
    up, down = log((1 - bad) / (1 - good)), log(good / bad)
    alive, reps, length, alarmed = {0: 1.0}, 0, 0.0, 0.0
    while (left := sum(alive.values())) > LEFT_OVER:
        length += left
        reps += 1
        after: dict[int, float] = {}
        for missed, chance in alive.items():
            for more, part in ((1, chance * (1 - rate)), (0, chance * rate)):
                height = (missed + more) * up - (reps - missed - more) * down
                if height >= line - TOUCH:
                    alarmed += part
                elif height > TOUCH:
                    after[missed + more] = after.get(missed + more, 0.0) + part
        alive = after
    return length / alarmed if alarmed * LONGEST_RUN > length else LONGEST_RUN


def run_sum(met: Sequence[bool | int], watch: Watch) -> Sum:
    """Run the sum over reps until the first alarm.

    Args:
        met: One value a rep, oldest first. [bool]
        watch: The alarm.
    """
    up, down, line = watch.per_missed, watch.per_met, watch.line - TOUCH
    height, since = 0.0, 0
    for rep, value in enumerate(met, start=1):
        if value:
            height = height - down if height > down else 0.0
        else:
            since = since if height > 0 else rep
            height += up
            if height >= line:
                return Sum(height / watch.line, since, Alarm(since, rep))
    return Sum(height / watch.line, since if height > 0 else None, None)
