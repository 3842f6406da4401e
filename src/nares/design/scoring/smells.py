"""False alerts distractor by distractor and control by control, and by how well the dog knew the smell.

Conventions
-----------
A trial is one place that held it and was offered to the dog; answered there: a
false alert. Whether a smell was new to the dog is not part of what lay there and is given beside it; not
given: neither new nor used.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from nares.design.scoring.answers import Answer
from nares.design.scoring.rates import Rate, rate_of
from nares.design.scoring.two_rates import Compared, compare


@dataclass(frozen=True, slots=True)
class SmellLine:
    """One distractor or control. ``novel`` None: not known, not the same in all line-ups, or a control."""

    smell: str
    holds: str
    novel: bool | None
    rate: Rate


@dataclass(frozen=True, slots=True)
class Smells:
    """Each smell by itself, against blanks, and new against used; None where neither kind was set out."""

    lines: tuple[SmellLine, ...]
    distractors_against_blanks: Compared | None
    new_against_used: Compared | None


@dataclass(frozen=True, slots=True)
class _Trial:
    """One place that held something without the target, in one run."""

    lineup: str
    holds: str
    smell: str
    novel: bool | None
    answered: bool


def smells_of(
    answers: Sequence[Answer], novel: Mapping[tuple[str, str], bool | None], *, confidence: float
) -> Smells:
    """Count false alerts at each distractor and control.

    Args:
        answers: What one side answered.
        novel: By line-up and smell, whether it was new to the dog; None or missing: not known.
        confidence: Two-sided coverage. [-]
    """
    trials = [
        _Trial(one.lineup, spot.holds, spot.item, novel.get((one.lineup, spot.item)), spot.position in one.at)
        for one in answers
        if not one.at_warm
        for spot in one.placed
        if spot.holds in ("blank", "distractor", "control") and one.offered((spot.position,))
    ]

    def rate(what: str, chosen: Sequence[_Trial]) -> Rate:
        return rate_of(what, [t.answered for t in chosen], [t.lineup for t in chosen], confidence=confidence)

    distractors = [t for t in trials if t.holds == "distractor"]
    every = rate("distractors answered, of places with one", distractors)
    blanks = rate("blanks answered, of blanks", [t for t in trials if t.holds == "blank"])
    new = rate("new smells answered, of places with one", [t for t in distractors if t.novel is True])
    used = rate("used smells answered, of places with one", [t for t in distractors if t.novel is False])
    named = sorted(
        {(t.holds, t.smell) for t in trials if t.holds != "blank"}, key=lambda one: (one[0] == "control", one)
    )
    lines = []
    for holds, smell in named:
        there = [t for t in trials if (t.holds, t.smell) == (holds, smell)]
        known = {t.novel for t in there}
        lines.append(
            SmellLine(
                smell,
                holds,
                known.pop() if len(known) == 1 and holds == "distractor" else None,
                rate(f"{smell} answered, of places with it", there),
            )
        )
    return Smells(
        tuple(lines),
        compare(every, blanks, confidence=confidence) if every.n and blanks.n else None,
        compare(new, used, confidence=confidence) if new.n and used.n else None,
    )
