"""What a line-up is drawn from, and which wishes cannot be fulfilled together.

Conventions
-----------
A brief that cannot be drawn is refused before anything is drawn, and for a reason that lies in the brief
alone: whether a line-up is refused tells nothing about what chance would have made of it.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from nares.base.errors import OutOfRange
from nares.base.findings import Finding, refuse_if_any
from nares.base.lineups import Area, Blinding, Control, Smell
from nares.design.lineups.plans import plan_findings, same_name

MOST_RUNS = 500
LONGEST_SET_MIN = 100_000


@dataclass(frozen=True, slots=True)
class Brief:
    """What is asked of a line-up.

    ``blank_runs``: chance that a run holds no target; None: every count from low to high is equally likely.
    ``blinding``: what is aimed at; ``known`` is drawn constrained by ``rules`` (None: the usual ones), all
    else run by run. ``warm``: positions that held a target in the last 48 h and were not tested since.
    ``along``: how many distractors and controls go along in one run; None: all of them. ``fresh``: a new
    container for every target, instead of one an aid that comes back. ``set_time_min``: from placing to
    search.
    """

    area: Area
    runs: int
    targets_low: int
    targets_high: int
    blank_runs: float | None
    aids: tuple[str, ...] = ("target",)
    distractors: tuple[Smell, ...] = ()
    controls: tuple[Control, ...] = ()
    blinding: Blinding = "double"
    rules: tuple[str, ...] | None = None
    warm: tuple[int, ...] = ()
    along: int | None = None
    fresh: bool = False
    set_time_min: float | None = None

    @property
    def positions(self) -> int:
        """How many positions the plan has."""
        return len(self.area.spots)

    @property
    def companions(self) -> int:
        """Distractors and controls together."""
        return len(self.distractors) + len(self.controls)

    @property
    def together(self) -> int:
        """Distractors and controls in one run."""
        return self.companions if self.along is None else self.along


def refuse_impossible(brief: Brief) -> None:
    """Refuse a brief that no draw could fulfil.

    Raises:
        Unusable: If the plan or the names are at fault, every fault named.
        OutOfRange: If the wishes do not go together, saying which and what to change.
    """
    refuse_if_any(plan_findings(brief.area), what="The plan")
    refuse_if_any(_names(brief), what="The line-up")
    if not 1 <= brief.runs <= MOST_RUNS:
        raise OutOfRange(f"A line-up of {brief.runs} runs cannot be drawn. Ask for 1 to {MOST_RUNS}.")
    if brief.along is not None and not 0 <= brief.along <= brief.companions:
        raise OutOfRange(
            f"{brief.along} distractors and controls cannot go along in a run: there are {brief.companions}. "
            "Ask for no more than there are."
        )
    if brief.blank_runs is not None and not (brief.blank_runs == 0 or 0.0001 <= brief.blank_runs <= 1):
        raise OutOfRange(f"A chance of {brief.blank_runs} for a blank run cannot be. Write 25 % as 0.25.")
    if brief.set_time_min and not 0.01 <= brief.set_time_min <= LONGEST_SET_MIN:
        raise OutOfRange(
            f"A set time of {brief.set_time_min} minutes cannot be. Give minutes from 0 to {LONGEST_SET_MIN}."
        )
    _refuse_too_much(brief)


def most_runs_that_keep_odour(brief: Brief) -> int:
    """Runs after which, at the worst, a place that keeps odour has no blank position left. 0: none at all."""
    room = brief.positions - len(brief.warm) - brief.together - brief.targets_high - 1
    if room < 0:
        return 0
    return MOST_RUNS if brief.targets_high == 0 else 1 + room // brief.targets_high


def _refuse_too_much(brief: Brief) -> None:
    free = brief.positions - len(brief.warm)
    most = brief.targets_high + brief.together
    if most > free:
        warm = f", {len(brief.warm)} of them warm" if brief.warm else ""
        raise OutOfRange(
            f"{brief.targets_high} target{'' if brief.targets_high == 1 else 's'} and {brief.together} "
            f"distractors and controls do not fit into {brief.positions} positions{warm}. "
            f"Add positions, or leave out {most - free} of them."
        )
    can = most_runs_that_keep_odour(brief)
    if brief.area.keeps_odour and brief.runs > can:
        asked = (
            f"Draw {can} run{'s' if can != 1 else ''} at most, or add positions."
            if can
            else "Add positions, test those that are warm, or leave out distractors and controls."
        )
        raise OutOfRange(
            f"This place keeps odour: in {brief.runs} runs so many of its {brief.positions} positions could "
            f"hold a target that no blank one would be left. {asked}"
        )


def _names(brief: Brief) -> Iterator[Finding]:
    if not brief.aids and brief.targets_high > 0:
        yield Finding("no-aid", "aids", "There is no aid to be the target. Name one.")
    seen: dict[str, str] = {}
    named = [("aids", aid) for aid in brief.aids] + [("distractors", one.smell) for one in brief.distractors]
    for where, name in named:
        key = same_name(name)
        if not key:
            yield Finding("no-name", where, "One of them has no name. Name it as it stands on its label.")
        elif key in seen:
            text = f"{name!r} is there twice, under {seen[key]} and {where}. Name each thing once."
            yield Finding("same-name", where, text)
        seen.setdefault(key, where)
    if len(set(brief.controls)) != len(brief.controls):
        yield Finding("same-name", "controls", "A control is there twice. Name each once.")
    for position in sorted(set(brief.warm) - set(range(1, brief.positions + 1))):
        text = f"Position {position} is said to be warm and is not on the plan. Name positions of the plan."
        yield Finding("no-position", "warm", text)
    if len(set(brief.warm)) != len(brief.warm):
        yield Finding("no-position", "warm", "A position is there twice. Name each once.")
