"""From what the machine read to the rows a person is asked to stand by.

A proposal never invents: where the reading could not tell how a rep ended, there is no proposal and the
person fills the row in. `met` is proposed when the hold reached its ask; the measuring error of a hold
(about 0.05 s with a phone on a stand) is given to the dog.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from nares.base.vocab import Hand, MeasuredRep, PayPlace, Rep, Source

HOLD_ERROR_S = 0.05
"""How far a measured hold may fall short of its ask and still count. [s]"""

LOW_CERTAINTY = 0.8
"""A rep the machine is less sure of than this is flagged for the person. [-]"""


@dataclass(frozen=True, slots=True)
class Setting:
    """What was the same for every rep of a session: who, where, and what was asked."""

    dog: str
    session: str
    started_at: str
    step: str
    asks_s: tuple[float, ...]
    hand: Hand
    pay_place: PayPlace
    distance_m: float
    disturbance: int
    source: Source
    cues: tuple[str, ...]


def ask_of(asks_s: Sequence[float], rep: int) -> float | None:
    """Give the ask of a rep, counted from 1; the last ask goes for all reps that follow. [s]"""
    if not asks_s:
        return None
    return asks_s[min(rep, len(asks_s)) - 1]


def is_met(measured: MeasuredRep, ask_s: float | None) -> bool:
    """Say whether a rep did what was asked, as far as the recording shows."""
    if measured.nose_in_s is None or measured.hold_s is None:
        return False
    if ask_s is None:
        return measured.mark_s is not None
    return measured.hold_s >= ask_s - HOLD_ERROR_S


def propose(measured: MeasuredRep, setting: Setting) -> Rep | None:
    """Make the row that a bare confirmation of a measured rep writes; None when it takes a person."""
    if measured.ended_by == "unknown":
        return None
    ask_s = ask_of(setting.asks_s, measured.rep)
    return replace(
        blank(measured.rep, setting),
        hold_s=measured.hold_s if measured.nose_in_s is not None else None,
        ended_by=measured.ended_by,
        met=is_met(measured, ask_s),
        pay_place=measured.pay_place or setting.pay_place,
        paid=measured.mark_s is not None,
    )


def blank(rep: int, setting: Setting) -> Rep:
    """Make the row a person fills in for a rep whose end was not seen: what the session says."""
    return Rep(
        dog=setting.dog,
        session=setting.session,
        started_at=setting.started_at,
        step=setting.step,
        rep=rep,
        ask_s=ask_of(setting.asks_s, rep),
        hold_s=None,
        ended_by="dog",
        met=False,
        hand=setting.hand,
        pay_place=setting.pay_place,
        distance_m=setting.distance_m,
        disturbance=setting.disturbance,
        source=setting.source,
        cues=setting.cues,
        paid=False,
    )


def needs_a_person(measured: MeasuredRep) -> bool:
    """Say whether the machine is too unsure of a rep for it to pass without a look."""
    return measured.sure < LOW_CERTAINTY or measured.ended_by == "unknown" or measured.hold_s is None
