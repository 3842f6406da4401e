"""What a dog's own reps say of each suspect: met with it as now, met with it eased and all else as now.

Conventions
-----------
Looked at are reps on target of the newest ``SESSIONS`` sessions. A rep's setting is its step's, with what the
rep itself carries (hand, pay place, disturbance, distance, ask) put over it. *As now*: at the failed step's
level or harder. *Eased*: that criterion at its probe's level or easier, **all other suspects as now**, so
that nothing else explains the difference. Where no such reps are, the two were never tried apart, and it is
said with what they always moved together (phi of plus or minus one).

These are counts of what happened, not a test: older reps come from a greener dog.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from nares.base.interval import wilson_interval
from nares.base.vocab import Rep
from nares.decide.isolation.easing import level_of, name_of, step_of
from nares.decide.steps.criteria import CRITERIA
from nares.decide.steps.programme import Programme, Step

SESSIONS = 12
"""So many of the newest sessions are looked at. [count]"""

CONFIDENCE = 0.95

_LEVEL = {criterion.key: criterion.level for criterion in CRITERIA}
_ON_THE_REP = ("hand", "pay_place", "disturbance", "distance_m")


@dataclass(frozen=True, slots=True)
class Share:
    """Reps met of some, with the interval; ``low`` and ``high`` None without any."""

    reps: int
    met: int
    low: float | None
    high: float | None


@dataclass(frozen=True, slots=True)
class Blame:
    """One suspect in the dog's own reps. ``together``: criteria it always moved with; empty if apart."""

    criterion: str
    name: str
    now: Share
    eased: Share
    together: tuple[str, ...]
    said: str

    @property
    def gain(self) -> float:
        """How much larger the share met was with it eased; 0 where it was never tried. [-]"""
        if not self.eased.reps or not self.now.reps:
            return 0.0
        return self.eased.met / self.eased.reps - self.now.met / self.now.reps


def blame_of(own: Sequence[Rep], failed: Step, probes: dict[str, Step], programme: Programme) -> list[Blame]:
    """Count, for each suspect, how the dog did with it as now and with it alone eased.

    Args:
        own: All reps of one dog, oldest first.
        failed: The step it failed at.
        probes: The probe of each suspect, by criterion.
        programme: Its programme.
    """
    recent = list(dict.fromkeys(rep.session for rep in reversed(own)))[:SESSIONS]
    reps = [rep for rep in own if rep.session in set(recent) and rep.source == "target"]
    settings = [(rep, levels) for rep in reps if (levels := _levels(rep, probes, programme))]
    hard = {key: [_is_now(levels, failed, key) for _, levels in settings] for key in probes}
    soft = {key: [levels[key] <= level_of(probes[key], key) for _, levels in settings] for key in probes}
    found = []
    for key in probes:
        rows = range(len(settings))
        rest = [all(hard[other][row] for other in probes if other != key) for row in rows]
        now = [settings[row][0] for row in rows if rest[row] and hard[key][row] and not soft[key][row]]
        ease = [settings[row][0] for row in rows if rest[row] and soft[key][row]]
        together = _together(key, hard)
        found.append(_blame(key, _share(now), _share(ease), together))
    return found


def _levels(rep: Rep, probes: dict[str, Step], programme: Programme) -> dict[str, float]:
    """The level of each suspect in one rep; empty where its step is not known."""
    step = step_of(programme, rep.step)
    if step is None:
        return {}
    return {key: _level(rep, step, key) for key in probes}


def _level(rep: Rep, step: Step, key: str) -> float:
    if key in _ON_THE_REP:
        return float(_LEVEL[key](getattr(rep, key)))
    if key == "ask_s":
        return rep.ask_s if rep.ask_s is not None else step.ask_s[1]
    return level_of(step, key)


def _is_now(levels: dict[str, float], failed: Step, key: str) -> bool:
    """Whether a criterion was as hard as at the failed step: for the hold, within its range."""
    return levels[key] >= (failed.ask_s[0] if key == "ask_s" else level_of(failed, key))


def _together(key: str, hard: dict[str, list[bool]]) -> tuple[str, ...]:
    """The other suspects that were hard exactly when this one was, or exactly when it was not."""
    mine = hard[key]
    if len(set(mine)) < 2:
        return ()
    return tuple(
        name_of(other)
        for other, theirs in hard.items()
        if other != key and (theirs == mine or [not one for one in theirs] == mine)
    )


def _share(reps: Sequence[Rep]) -> Share:
    met = sum(rep.met for rep in reps)
    if not reps:
        return Share(0, 0, None, None)
    low, high = wilson_interval(met / len(reps), len(reps), confidence=CONFIDENCE)
    return Share(len(reps), met, low, high)


def _blame(key: str, now: Share, ease: Share, together: tuple[str, ...]) -> Blame:
    name = name_of(key)
    if ease.reps:
        said = f"{name}: {_counted(now)} as now, {_counted(ease)} with it alone eased."
    elif together:
        said = f"{name}: never tried apart from {' and '.join(together)}."
    else:
        said = f"{name}: never eased alone."
    return Blame(key, name, now, ease, together, said[0].upper() + said[1:])


def _counted(share: Share) -> str:
    if share.low is None or share.high is None:
        return "no rep"
    return f"{share.met} of {share.reps} met ({share.low:.0%} to {share.high:.0%})"
