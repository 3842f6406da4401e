"""The values of a line-up's pages as rows of words."""

from dataclasses import dataclass

from nares.app.lineups.values import Guess, LineupPage, RunView
from nares.base.chances import one_in
from nares.base.lineups import Smell
from nares.web.lineups.drawing import Mark, Plan, plan_of
from nares.web.lineups.words import BLINDINGS, CONTROLS, ROLES, SHAPES, STATES, called_words


@dataclass(frozen=True, slots=True)
class RunRow:
    """One run with its state in words; ``plan`` only once it is open."""

    run: RunView
    state: str
    call: str
    seen: str
    verdict: str
    blinding: str
    plan: Plan | None = None

    @property
    def held(self) -> tuple[Mark, ...]:
        """The positions of an open run that held something."""
        return () if self.plan is None else tuple(mark for mark in self.plan.marks if mark.holds != "blank")


def rows_of(page: LineupPage) -> tuple[RunRow, ...]:
    """Every run as it may be shown."""
    return tuple(_row(page, run) for run in page.runs)


def _row(page: LineupPage, run: RunView) -> RunRow:
    shown = bool(run.placed) and run.opened_at is not None
    return RunRow(
        run,
        STATES.get(run.state, run.state),
        called_words(run.called.position) if run.called else "",
        seen_words(run),
        "" if run.right is None else "right" if run.right else "wrong",
        BLINDINGS[run.blinding][0] if run.blinding else "",
        plan_of(page.area, run.placed, run.called, run.observed) if shown else None,
    )


def seen_words(run: RunView) -> str:
    """What the evaluator saw, in one line."""
    seen = run.observed
    if seen is None:
        return ""
    parts = ["no alert" if seen.alerted_at is None else f"alert at {seen.alerted_at}"]
    if seen.latency_s is not None:
        parts.append(f"after {seen.latency_s:.1f}\u00a0s")
    passed = sorted({visit.position for visit in seen.visits if not visit.alerted} - {seen.alerted_at})
    if passed:
        parts.append(f"passed {', '.join(str(position) for position in passed)}")
    if seen.handler_error:
        parts.append(f"handler: {seen.handler_error}")
    return "; ".join(parts)


def targets_words(page: LineupPage) -> str:
    """How many targets a run holds, and how often none.

    The share is what was asked for, never what was drawn.
    """
    low, high = page.targets_low, page.targets_high
    if page.blank_runs is not None:
        low = min(max(low, 1), high)
    count = f"{low}" if low == high else f"{low} to {high}"
    if page.blank_runs is None:
        return f"{count}, every number as likely" if low != high else count
    return f"{count}, but for blank runs, each blank with a chance of {100 * page.blank_runs:.0f}\u00a0%"


def smell_words(smell: Smell) -> str:
    """A distractor and whether the dog has met it.

    >>> smell_words(Smell("rope", True)), smell_words(Smell("tape"))
    ('rope (novel)', 'tape (not known whether novel)')
    """
    met = {True: "novel", False: "used before", None: "not known whether novel"}[smell.novel]
    return f"{smell.smell} ({met})"


def facts_of(page: LineupPage) -> tuple[tuple[str, str], ...]:
    """What was asked for, name by name."""
    name, _ = BLINDINGS[page.aim]
    drawn = {"independent": "every run by itself", "constrained": "all runs together under rules"}
    return (
        ("Dog", page.dog),
        ("Place", page.area.place),
        ("Shape", f"{SHAPES[page.area.shape]}, {len(page.area.spots)} positions"),
        ("Runs", str(len(page.runs))),
        ("Targets in a run", targets_words(page)),
        ("Aids", ", ".join(page.aids) or "none"),
        ("Distractors", ", ".join(smell_words(smell) for smell in page.distractors) or "none"),
        ("Controls", ", ".join(CONTROLS[one][0].lower() for one in page.controls) or "none"),
        ("Aimed at", f"{name.lower()}; drawn {drawn[page.drawing]}"),
        ("Set time", "none kept to" if page.set_time_min is None else f"{page.set_time_min:g}\u00a0min"),
    )


def guess_words(guess: Guess) -> str:
    """How often a way of guessing is right, beside chance.

    >>> guess_words(Guess("first", 0.25, 0.2, ""))
    '1 time in 4; chance 1 time in 5'
    """
    return f"{one_in(guess.rate)}; chance {one_in(guess.chance)}"


def seats_of(page: LineupPage) -> tuple[tuple[str, str, str | None], ...]:
    """Role, person, and when the seat was taken."""
    return tuple((ROLES[seat.role][0], seat.person, seat.taken_at) for seat in page.seats)


def left_of(page: LineupPage) -> int:
    """How many runs are neither open nor void."""
    return sum(run.state not in ("open", "void") for run in page.runs)
