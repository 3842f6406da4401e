"""What an opposing expert would raise about a design, before it is run: one rule, one function.

Everything here follows from what was asked, never from what was drawn: it may be shown to anybody.
"""

from collections.abc import Callable, Iterator
from fractions import Fraction

from nares.base.findings import Finding
from nares.base.lineups import Control
from nares.design.lineups.brief import Brief

FEW_POSITIONS = 5
FEW_BLANK_RUNS = 3

_CONTROLS: dict[Control, tuple[str, str, str]] = {
    "packaging": ("no-packaging-control", "the packaging of the aid", "the packaging alone"),
    "gloves": (
        "no-gloves-control",
        "the gloves that handled the aid",
        "something touched with such gloves",
    ),
    "placer": (
        "no-placer-control",
        "the person who placed it",
        "something clean, handled by the same person,",
    ),
}


def design_findings(brief: Brief) -> tuple[Finding, ...]:
    """Weak points of a design, most telling first; empty: none that is known here."""
    return tuple(finding for rule in _RULES for finding in rule(brief))


def _blank_runs(brief: Brief) -> Iterator[Finding]:
    chance = _chance_blank(brief)
    if chance == 0:
        text = (
            "No run is blank, so the dog is never shown to be able to say that there is nothing. Let some be."
        )
        yield Finding("no-blank-run", "design", text)
    elif float(chance) * brief.runs < FEW_BLANK_RUNS:
        text = (
            f"About {float(chance) * brief.runs:.1f} blank runs are to be expected, and there may be none. "
            f"Draw more runs, or raise the chance of a blank run."
        )
        yield Finding("few-blank-runs", "design", text)


def _keeps_odour(brief: Brief) -> Iterator[Finding]:
    if brief.area.keeps_odour and brief.runs > 1:
        text = (
            "The place keeps odour: after the first target no run is wholly blank, and an alert at a warm "
            "position is not plainly false. Run blanks elsewhere, or test the positions in between."
        )
        yield Finding("place-keeps-odour", "design", text)
    if brief.warm:
        listed = ", ".join(map(str, sorted(brief.warm)))
        text = f"Warm from earlier at {listed}: no blank for 48 h unless tested. Test them, or wait."
        yield Finding("warm-from-earlier", "design", text)


def _distractors(brief: Brief) -> Iterator[Finding]:
    if not brief.distractors:
        text = "Nothing else smells, so the dog may alert at whatever smells at all. Set out distractors."
        yield Finding("no-distractor", "design", text)
    elif not any(one.novel for one in brief.distractors):
        text = (
            "No distractor is said to be new to the dog; it may know which ones never pay. Add a novel one."
        )
        yield Finding("no-novel-distractor", "design", text)


def _controls(brief: Brief) -> Iterator[Finding]:
    for control, (rule, what, without) in _CONTROLS.items():
        if control not in brief.controls:
            text = f"The dog may find {what} instead of the odour. Set out {without} as a control."
            yield Finding(rule, "design", text)


def _same_number(brief: Brief) -> Iterator[Finding]:
    if brief.targets_high > 0 and _chance_blank(brief) == 0 and _low(brief) == brief.targets_high:
        text = (
            f"Every run holds {brief.targets_high} target{'' if brief.targets_high == 1 else 's'}: who knows "
            "that knows when to stop, and that a run is never clear. Let the number vary."
        )
        yield Finding("same-number-of-targets", "design", text)


def _aids(brief: Brief) -> Iterator[Finding]:
    if len(brief.aids) == 1:
        text = "The same aid is the target throughout, so the dog may know this one piece. Use several."
        yield Finding("same-aid", "design", text)
    if brief.targets_high > len(brief.aids) > 0:
        text = (
            f"Up to {brief.targets_high} targets in a run and {len(brief.aids)} named: some name will be out "
            "twice at once. Bring several pieces of it, or name more aids."
        )
        yield Finding("aid-in-several-places", "design", text)


def _containers(brief: Brief) -> Iterator[Finding]:
    if not (brief.area.keeps_odour or brief.fresh or brief.targets_high == 0):
        text = (
            "A container that held a target comes back as target: its own look and smell go along with pay. "
            "Hide its number and use ones that are alike, or a fresh one for every target."
        )
        yield Finding("container-comes-back", "design", text)


def _set_time(brief: Brief) -> Iterator[Finding]:
    if brief.set_time_min is None:
        text = "How long the odour stands before the search is not said. Fix one set time for the line-up."
        yield Finding("set-time-unsaid", "design", text)


def _positions(brief: Brief) -> Iterator[Finding]:
    if brief.positions < FEW_POSITIONS:
        text = f"With {brief.positions} positions a guess is right too often. Use {FEW_POSITIONS} at least."
        yield Finding("few-positions", "design", text)
    if brief.positions - len(brief.warm) == brief.targets_high + brief.together:
        text = "A run with most targets has no blank position at all. Add positions or leave something out."
        yield Finding("no-blank-position", "design", text)


def _known(brief: Brief) -> Iterator[Finding]:
    if brief.blinding == "known":
        text = "Where everybody knows, nothing is proven: the dog may read the people. Keep it for training."
        yield Finding("known", "design", text)


_RULES: tuple[Callable[[Brief], Iterator[Finding]], ...] = (
    _known,
    _blank_runs,
    _keeps_odour,
    _distractors,
    _controls,
    _same_number,
    _aids,
    _containers,
    _set_time,
    _positions,
)


def _low(brief: Brief) -> int:
    return (
        brief.targets_low if brief.blank_runs is None else max(brief.targets_low, min(1, brief.targets_high))
    )


def _chance_blank(brief: Brief) -> Fraction:
    if brief.targets_high == 0:
        return Fraction(1)
    if brief.blank_runs is not None:
        return Fraction(brief.blank_runs)
    return Fraction(0) if brief.targets_low else Fraction(1, brief.targets_high + 1)
