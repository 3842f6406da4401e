"""Every overruling with what came of it, and each person's tally."""

from collections.abc import Sequence
from dataclasses import dataclass

from nares.app.deciding import call_view, programme_of, step_name
from nares.app.desk import Desk
from nares.app.leading import implied_step
from nares.app.pages import CallView
from nares.base.times import read_utc
from nares.base.vocab import Rep
from nares.decide import Programme
from nares.decide.isolation.easing import step_of
from nares.decide.isolation.outcomes import JUDGED_ON, Came, Outcome, Tally, came_of, error_of, tally_of
from nares.record.found import CallMade, OverrulingKept


@dataclass(frozen=True, slots=True)
class OverrulingLine:
    """One overruling: advice, decision, reason, and what came of it. ``taken_back``: why, empty if not."""

    entry: int
    dog: str
    at: str
    by: str
    step_name: str
    advised: str
    advised_step_name: str
    decided: str
    decided_step_name: str
    why: str
    outcome: Outcome
    came: str
    low: float | None
    high: float | None
    taken_back: str = ""


@dataclass(frozen=True, slots=True)
class OverrulingsPage:
    """Overrulings newest first, of one dog or of all. ``call``: the newest call of the one dog.

    ``wrong_unready``, ``wrong_ready``: how often the rule that judges outcomes is wrong for a dog that is not
    ready and for one that is, at the usual levels.
    """

    dog: str
    call: CallView | None
    steps: tuple[tuple[str, str], ...]
    lines: tuple[OverrulingLine, ...]
    tallies: tuple[Tally, ...]
    judged_on: int
    wrong_unready: float
    wrong_ready: float


def overrulings_page(desk: Desk, *, dog: str = "") -> OverrulingsPage:
    """Every overruling with its outcome, of one dog or of all.

    Raises:
        Unknown: If there is no such dog.
    """
    dogs = [desk.store.dog(dog)] if dog else desk.store.dogs()
    lines = [line for one in dogs for line in lines_of(desk, one.dog)]
    lines.sort(key=lambda line: -line.entry)
    people = sorted({line.by for line in lines})
    programme = programme_of(desk, dogs[0].programme if dogs else "box")
    wrong = error_of(programme.steps[0])
    call = call_view(desk, dog) if dog else None
    return OverrulingsPage(
        dog=dog,
        call=call,
        steps=_choices(call, programme) if dog else (),
        lines=tuple(lines),
        tallies=tuple(tally_of(name, [line.outcome for line in lines if line.by == name]) for name in people),
        judged_on=JUDGED_ON,
        wrong_unready=wrong[0],
        wrong_ready=wrong[1],
    )


def _choices(call: CallView | None, programme: Programme) -> tuple[tuple[str, str], ...]:
    """Where a person may go on: what is offered beside the call, probes, then every step."""
    offered = [] if call is None else [(offer.step, offer.step_name) for offer in call.offers]
    probes = call.isolating.probes if call and call.isolating else ()
    offered += [(probe.step, probe.step_name) for probe in probes]
    return tuple(dict([*offered, *((step.key, step.name) for step in programme.steps)]).items())


def lines_of(desk: Desk, dog: str) -> list[OverrulingLine]:
    """The overrulings of one dog, oldest first."""
    kept = desk.store.overrulings(dog)
    if not kept:
        return []
    reps = [row.rep for row in desk.store.reps(dog=dog)]
    calls = {call.entry: call for call in desk.store.calls(dog)}
    newest = {one.call_entry: one.entry for one in kept}
    return [
        _line(desk, one, calls[one.call_entry], reps, newest[one.call_entry] != one.entry) for one in kept
    ]


def _line(
    desk: Desk, one: OverrulingKept, call: CallMade, reps: Sequence[Rep], replaced: bool
) -> OverrulingLine:
    programme = programme_of(desk, desk.store.dog(one.dog).programme)
    key = one.next_step or implied_step(programme, call.step, one.call, advised=call.next_step)
    there = step_of(programme, key)
    decided = read_utc(one.at)
    after = [rep for rep in reps if read_utc(rep.started_at) >= decided]
    back = one.withdrawn or ("decided once more" if replaced else "")
    if back:
        came = Came("taken back", f"Taken back: {back}")
    elif there is None:
        came = Came("unknown", f"The programme has no step {key!r} any more.")
    else:
        came = came_of(call.call, one.call, after, there, same_step=key == call.step)  # type: ignore[arg-type]
    return OverrulingLine(
        entry=one.entry,
        dog=one.dog,
        at=one.at,
        by=one.by,
        step_name=step_name(programme, call.step),
        advised=call.call,
        advised_step_name=step_name(programme, call.next_step),
        decided=one.call,
        decided_step_name=step_name(programme, key),
        why=one.why,
        outcome=came.outcome,
        came=came.said,
        low=came.low,
        high=came.high,
        taken_back=back,
    )
