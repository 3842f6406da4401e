"""From reps to a call: with the programme a dog works through, from the record or from a table."""

from collections.abc import Sequence
from dataclasses import asdict
from functools import lru_cache
from pathlib import Path
from typing import Any

import msgspec

from nares.app.answers import answer
from nares.app.desk import Desk
from nares.app.files import read_text
from nares.app.kennel_holds import other_dogs
from nares.app.leading import next_step_of
from nares.app.pages import CallView, OverrulingView
from nares.app.planning import REPS_PLANNED, ahead
from nares.app.standing_signs import signs_of
from nares.base.errors import NotEnoughData
from nares.base.findings import Finding
from nares.base.vocab import Rep
from nares.decide import (
    Decision,
    Evidence,
    Programme,
    check_programme,
    decide,
    read_programme,
    read_rep_table,
    shipped_programme,
)
from nares.decide.evidence import latest_stretch, reps_of
from nares.decide.isolation.easing import step_of
from nares.decide.isolation.heeding import Instead
from nares.decide.isolation.isolating import Isolation
from nares.decide.isolation.offering import Offer
from nares.record.found import Overruling


def shipped_programme_text() -> str:
    """The programme that comes with nares, as the text a trainer copies and edits."""
    return shipped_programme()


def programme_faults(path: Path) -> list[Finding]:
    """Name every fault of a programme file."""
    return check_programme(read_text(path))


def programme_of(desk: Desk, name: str) -> Programme:
    """The programme of this name as it was last kept on the record, else the shipped one.

    Raises:
        Unknown: If it was never kept and none of that name is shipped.
    """
    kept = desk.store.programme(name)
    return _read(kept.text if kept else shipped_programme(name))


@lru_cache(maxsize=16)
def _read(text: str) -> Programme:
    """Read a programme once: pages ask for the same few texts again and again."""
    return read_programme(text)


def decide_for(desk: Desk, dog: str, reps: Sequence[Rep], instead: Instead | None = None) -> Decision:
    """Decide what to do next with a dog from these reps; asks are drawn now and kept with the call.

    Signs that stand come first. ``instead``: what a person decided, for asks that follow it.
    """
    programme = programme_of(desk, desk.store.dog(dog).programme)
    step = latest_stretch(reps_of(reps, dog), programme).step if reps else programme.steps[0].key
    return decide(
        reps,
        dog=dog,
        programme=programme,
        asks=REPS_PLANNED,
        draws=desk.draws(),
        signs=signs_of(desk, dog),
        instead=instead,
        others=other_dogs(desk, dog, reps, step),
    )


def decide_table(table: Path, *, dog: str, programme: Path | None) -> Decision:
    """Decide from a rep table alone.

    Raises:
        Unusable: If the table or the programme has a fault, naming every one.
        Unknown: If the table has no rep of this dog.
        NotEnoughData: If the table holds no reps.
    """
    import numpy as np

    text = shipped_programme() if programme is None else read_text(programme)
    read = read_rep_table(read_text(table))
    if not read.reps:
        raise NotEnoughData(f"The rep table {table.name} holds no reps. Add one row for each rep.")
    return decide(
        read.reps, dog=dog, programme=read_programme(text), asks=REPS_PLANNED, draws=np.random.default_rng()
    )


def decision_answer(decision: Decision) -> dict[str, Any]:
    """Lay a decision out as ``decide/1``."""
    return answer(
        "decide/1",
        {
            "dog": decision.dog,
            "step": decision.step,
            "call": decision.call,
            "evidence": asdict(decision.evidence),
            "next_step": decision.next_step,
            "asks_s": list(decision.asks_s),
            "because": list(decision.because),
            "risk": list(decision.risk),
            "isolating": None if decision.isolating is None else asdict(decision.isolating),
            "offers": [asdict(offer) for offer in decision.offers],
        },
    )


def step_called(decision: Decision, last_session: str | None) -> dict[str, Any]:
    """The payload of the entry that keeps a call with its reasons and the asks drawn for next time."""
    return {
        "dog": decision.dog,
        "step": decision.step,
        "call": decision.call,
        "next_step": decision.next_step,
        "evidence": asdict(decision.evidence),
        "because": [*decision.because],
        "risk": [*decision.risk],
        "asks_s": list(decision.asks_s),
        "last_session": last_session,
        "programme": decision.programme,
        "alone": None if decision.alone is None else asdict(decision.alone),
        "isolating": None if decision.isolating is None else asdict(decision.isolating),
        "offers": [asdict(offer) for offer in decision.offers],
    }


def call_view(desk: Desk, dog: str) -> CallView | None:
    """The newest call for a dog as the pages show it; None while nothing was decided."""
    made = desk.store.latest_call(dog)
    if made is None:
        return None
    programme = programme_of(desk, desk.store.dog(dog).programme)
    found, overruled = made.evidence, made.overruled
    leads_to = next_step_of(programme, made)
    plan = ahead(desk, dog, programme).plan
    kept = desk.store.entry(made.entry).payload
    return CallView(
        step=made.step,
        step_name=step_name(programme, made.step),
        call=made.call if overruled is None else overruled.call,  # type: ignore[arg-type]
        evidence=Evidence(**{name: found[name] for name in Evidence.__dataclass_fields__}),
        next_step=leads_to,
        next_step_name=step_name(programme, leads_to),
        because=made.because,
        risk=made.risk,
        asks_s=overruled.asks_s if overruled and overruled.asks_s else made.asks_s,
        next_session=plan.reps if plan else (),
        entry=max(made.entry, overruled.entry if overruled else 0),
        alone=made.alone,  # type: ignore[arg-type]
        isolating=_kept(kept.get("isolating"), Isolation),
        offers=_kept(kept.get("offers"), tuple[Offer, ...]) or (),
        overruling=None if overruled is None else _overruling_view(made.call, overruled),
    )


def _kept(said: Any, shape: Any) -> Any:
    """What a call kept of its grounds; None where it kept nothing, or in a shape of another release."""
    try:
        return None if said is None else msgspec.convert(said, shape)
    except msgspec.ValidationError:
        return None


def _overruling_view(advised: str, overruled: Overruling) -> OverrulingView:
    return OverrulingView(overruled.entry, advised, overruled.call, overruled.why, overruled.by)  # type: ignore[arg-type]


def step_name(programme: Programme, key: str) -> str:
    """The plain name of a step; its key where the programme does not have it."""
    step = step_of(programme, key)
    return key if step is None else step.name
