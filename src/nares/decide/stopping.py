"""When to stop a session, in words: what a person reads before the first rep and at the box.

Conventions
-----------
Signs of stress come before every rule here and need no count: they are `nares.care.signs`, and the desk puts
them first. Every rule here ends the session with one easy rep that is met and paid; after a sign there is no
such rep. Numbers marked *ours* are choices of this program without a published source.
"""

from dataclasses import dataclass

from nares.base.vocab import Call
from nares.decide.verdict import STOP_REFUSALS, STOP_WINDOW

SET_MINUTES = 5
"""A set lasts at most so long, and the rest after it at least (ours; no trial has fixed it). [min]"""

MISSES_RUNNING = 2
"""So many misses running at a step just raised make the next rep an easy one (ours)."""


@dataclass(frozen=True, slots=True)
class StopRule:
    """One rule: its key, what it is about in a word or two, and the rule itself."""

    key: str
    about: str
    says: str


_REFUSED = StopRule(
    "refused",
    "Refusals",
    f"{STOP_REFUSALS} refusals (nose in and out at once, or not in at all) in {STOP_WINDOW} reps: stop.",
)
_HEAT = StopRule(
    "heat",
    "Heat",
    "Open panting or warm, damp air: stop, shade, water, moving air. A panting dog does not sniff. Limits by "
    "law and your veterinarian's word come before this card.",
)
_END = StopRule(
    "end",
    "End on success",
    "However else it ends, the last rep is an easy one that is met and paid. Then water and rest.",
)


def stop_rules(call: Call, *, left: int | None) -> tuple[StopRule, ...]:
    """The rules of one session that follow from reps, food, time and heat, the most pressing first.

    Args:
        call: What was called: a step just raised has a rule of its own.
        left: Reps that today's ration still pays for; None: not known.
    """
    misses = (_misses(),) if call == "raise" else ()
    return (_REFUSED, *misses, _ration(left), _time(), _HEAT, _END)


def _misses() -> StopRule:
    return StopRule(
        "misses",
        "Misses",
        f"This step is new. {MISSES_RUNNING} misses running: make the next rep an easy one. Missed too: "
        "end with the step before.",
    )


def _ration(left: int | None) -> StopRule:
    if left is None:
        said = "The day's ration is not known here: stop while the dog is still keen, and count what you pay."
    else:
        said = f"After {left} paid rep{'' if left == 1 else 's'} today's ration is used up: stop."
    return StopRule("ration", "Ration", f"{said} What was not earned is fed all the same.")


def _time() -> StopRule:
    return StopRule(
        "time", "Time", f"A set lasts at most {SET_MINUTES} minutes; then water, and as long a rest."
    )
