"""A person decides otherwise than the call, and takes it back; both stay on the record."""

from collections.abc import Iterator
from typing import get_args

from nares.app.deciding import decide_for, programme_of, step_name
from nares.app.deeds import OverruleCall, Receipt, WithdrawOverruling
from nares.app.desk import Desk
from nares.app.leading import implied_step
from nares.app.sessions import changed_meanwhile
from nares.app.standing_signs import signs_of
from nares.base.errors import Refused, Unknown
from nares.base.vocab import Call
from nares.decide import Programme
from nares.decide.isolation.easing import step_of
from nares.decide.isolation.heeding import EASE_AT, Instead
from nares.decide.isolation.offering import one_at_a_time
from nares.record.found import CallMade
from nares.record.store import Proposed


def overrule_call(desk: Desk, asked: OverruleCall) -> Receipt:
    """Decide otherwise than the newest call, with the reason; the plan follows the person.

    Raises:
        Unknown: If there is no such dog, call or step, or nothing has been called yet.
        Refused: If no reason is given, it is what was called anyway, signs of stress stand, or the call was
            made anew or overruled by somebody else meanwhile.
    """
    made = _newest(desk, asked.dog)
    _require_not_newer(desk, made, asked.seen)
    _require_no_signs(desk, made.dog)
    instead = _instead(desk, made, asked)
    if made.overruled is None and (instead.call, instead.next_step) == (made.call, made.next_step):
        raise Refused(f"That is what was called for {made.dog} already. There is nothing to overrule.")
    if not asked.why.strip():
        raise Refused("A reason is missing. Say why you decide otherwise, in a few words.")
    reps = [row.rep for row in desk.store.reps(dog=made.dog)]
    decided = decide_for(desk, made.dog, reps, instead)
    payload = {
        "dog": made.dog,
        "step": made.step,
        "call": instead.call,
        "why": asked.why.strip(),
        "next_step": instead.next_step,
        "asks_s": list(decided.asks_s),
        "overrules": made.entry,
    }
    programme = programme_of(desk, desk.store.dog(made.dog).programme)
    name = step_name(programme, instead.next_step)
    said = f"{made.dog}: {instead.call} instead of {made.call}, next {name}. The call stays on the record."
    said += "".join(f" {text}" for text in _raised_at_once(programme, made.step, instead.next_step))
    return _write(desk, made, "call_overruled", payload, asked.by, said, asked.seen)


def withdraw_overruling(desk: Desk, asked: WithdrawOverruling) -> Receipt:
    """Take the overruling of the newest call back in the open; the call counts again.

    Raises:
        Unknown: If there is no such dog, or nothing has been called yet.
        Refused: If no overruling stands, no reason is given, or somebody was quicker.
    """
    made = _newest(desk, asked.dog)
    _require_not_newer(desk, made, asked.seen)
    if made.overruled is None:
        raise Refused(f"Nobody overruled the newest call for {made.dog}. There is nothing to take back.")
    payload = {"dog": made.dog, "overruling": made.overruled.entry, "why": asked.why.strip()}
    said = f"{made.dog}: the call counts again, {made.call}."
    return _write(desk, made, "overruling_withdrawn", payload, asked.by, said, asked.seen)


def _newest(desk: Desk, dog: str) -> CallMade:
    made = desk.store.latest_call(desk.store.dog(dog).dog)
    if made is None:
        raise Unknown(f"Nothing has been called for {dog!r} yet, so there is no call to overrule.")
    return made


def _instead(desk: Desk, made: CallMade, asked: OverruleCall) -> Instead:
    """What the person decided, with the step it leads to."""
    calls = get_args(Call)
    if asked.call not in calls:
        raise Unknown(f"There is no call {asked.call!r}. Decide one of: {', '.join(calls)}.")
    programme = programme_of(desk, desk.store.dog(made.dog).programme)
    key = asked.next_step or implied_step(programme, made.step, asked.call, advised=made.next_step)
    if asked.next_step and step_of(programme, key) is None:
        programme.step(key)
    return Instead(asked.call, key)  # type: ignore[arg-type]


def _raised_at_once(programme: Programme, before: str, after: str) -> list[str]:
    """A sentence where the step gone to raises several criteria at once."""
    here, there = step_of(programme, before), step_of(programme, after)
    return [found.text for found in one_at_a_time(here, there)] if here and there else []


def _require_no_signs(desk: Desk, dog: str) -> None:
    if signs_of(desk, dog).level >= EASE_AT:
        raise Refused(
            f"Signs of stress of {dog} stand. Look into them first and say what was found; "
            "numbers and opinions come after."
        )


def _require_not_newer(desk: Desk, made: CallMade, seen: int | None) -> None:
    """Refuse to overrule what was called or overruled after the person looked."""
    newest = max(made.entry, made.overruled.entry if made.overruled else 0)
    if seen is not None and newest > seen:
        raise Refused(changed_meanwhile(desk, f"The call for {made.dog}", newest))


def _write(
    desk: Desk,
    made: CallMade,
    kind: str,
    payload: dict[str, object],
    by: str,
    said: str,
    seen: int | None,
) -> Receipt:
    now = desk.now()

    def proposed() -> Iterator[Proposed]:
        _require_not_newer(desk, _newest(desk, made.dog), seen)
        yield Proposed(kind, payload, now, desk.by(by))

    entry = desk.store.append_all(proposed())[0]
    return Receipt(entry.number, entry.digest, f"{said} Entry {entry.number}.")
