"""Which criterion next: the programme's order, and what else may be raised where that was too much before.

Conventions
-----------
The programme's order decides; nothing here changes the call. Where the step a raise leads to has failed this
dog before, that is said, and up to two ways are offered beside it: the same criterion half way, and the next
step of the programme that raises another criterion, and only that one, over the step the dog stands at.
Where a step the dog was raised from has been lost since (`nares.decide.progress`), going back to it is
offered first, whatever the call.

`one_at_a_time` is for what a person sets by hand.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from nares.base.findings import Finding
from nares.base.vocab import Rep
from nares.decide.evidence import Stretch, latest_stretch
from nares.decide.isolation.easing import (
    differing,
    easier_value,
    level_of,
    name_of,
    origin_of,
    raised_from,
    step_of,
    with_eased,
)
from nares.decide.isolation.isolating import failed_call
from nares.decide.isolation.probes import half_way
from nares.decide.progress.mastered import mastered_steps
from nares.decide.steps.programme import Programme, Step
from nares.decide.verdict import Verdict, call_on


@dataclass(frozen=True, slots=True)
class Offer:
    """A step that may be gone to instead, and why."""

    step: str
    step_name: str
    why: str


def harder_in(before: Step, after: Step) -> list[str]:
    """Names of the criteria that are harder in one step than in another."""
    return [name_of(key) for key in differing(before, after) if level_of(after, key) > level_of(before, key)]


def one_at_a_time(before: Step, after: Step) -> list[Finding]:
    """A finding where a step raises more than one criterion over another, else none."""
    names = harder_in(before, after)
    if len(names) < 2:
        return []
    text = (
        f"From {before.name} to {after.name} {', '.join(names[:-1])} and {names[-1]} are raised at once. "
        "Raise one and relax the others, or a fail will not say which was too much."
    )
    return [Finding("raises-several", after.name, text)]


def raised_at_once(own: Sequence[Rep], stretch: Stretch, step: Step, programme: Programme) -> list[str]:
    """A sentence where the dog came to its step with several criteria raised over the step before it."""
    first = next(iter(stretch.reps or stretch.aside), None)
    before = list(own[: own.index(first)]) if first in own else []
    came_from = step_of(programme, latest_stretch(before, programme).step) if before else None
    return [found.text for found in one_at_a_time(came_from, step)] if came_from else []


def offers_beside(
    verdict: Verdict, own: Sequence[Rep], step: Step, programme: Programme
) -> tuple[tuple[Offer, ...], tuple[str, ...]]:
    """What may be done instead of what is called, and the sentences that say so."""
    lost = _lost(own, step, programme)
    failed, said = _failed_before(verdict, own, step, programme)
    return (*(offer for offer, _ in lost), *failed), (*(text for _, text in lost), *said)


def _lost(own: Sequence[Rep], step: Step, programme: Programme) -> list[tuple[Offer, str]]:
    """Steps the dog was raised from and no longer meets, hardest first."""
    found = []
    for one in reversed(mastered_steps(own, programme, origin_of(step.key, programme))):
        if one.standing == "relapse":
            said = f"{one.since_met} of {one.since_reps} met since it went"
            offer = Offer(one.step, one.step_name, f"which was sure once: {said}")
            found.append(
                (offer, f"{one.step_name} was sure once and is no longer: {said}. Prove it again first.")
            )
    return found


def _failed_before(
    verdict: Verdict, own: Sequence[Rep], step: Step, programme: Programme
) -> tuple[tuple[Offer, ...], tuple[str, ...]]:
    """What may be raised instead where the step a raise leads to was too much before."""
    after = verdict.next_step
    past = _past(own, after) if verdict.call == "raise" and after.key != step.key else []
    stretch = latest_stretch(past, programme) if past else None
    if stretch is None or stretch.step != after.key or not failed_call(call_on(stretch, after)):
        return (), ()
    offers = tuple(offer for offer in (_half(after, programme), _other(step, after, programme)) if offer)
    met, reps = sum(rep.met for rep in stretch.counted), len(stretch.counted)
    ways = "; or ".join(f"{one.step_name}, {one.why}" for one in offers)
    said = f"{after.name} was too much before: {met} of {reps} met, last on {past[-1].started_at[:10]}."
    return offers, (f"{said} Offered beside it: {ways}." if ways else said,)


def _past(own: Sequence[Rep], after: Step) -> list[Rep]:
    last = max((index for index, rep in enumerate(own) if rep.step == after.key), default=-1)
    return list(own[: last + 1])


def _half(after: Step, programme: Programme) -> Offer | None:
    """The step the raise leads to, with what it raises only half way up."""
    for criterion in raised_from(after, programme):
        eased = easier_value(after, criterion, programme)
        half = None if eased is None else half_way(after, criterion, eased)
        if half is not None:
            there = with_eased(after, criterion, half)
            return Offer(there.key, there.name, f"{name_of(criterion)} raised half way")
    return None


def _other(step: Step, after: Step, programme: Programme) -> Offer | None:
    """The next step that raises one criterion over the dog's, another than the raise would."""
    place = programme.place_of(after.key)
    broke = set(harder_in(step, after))
    for later in () if place is None else programme.steps[place + 1 :]:
        harder = harder_in(step, later)
        if len(harder) == 1 and harder[0] not in broke:
            return Offer(later.key, later.name, f"which raises {harder[0]} instead")
    return None
