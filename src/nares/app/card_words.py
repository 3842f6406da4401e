"""A planned rep in words, the same on the page and on paper; and the signs that come before every rep."""

from nares.base.vocab import PlannedRep
from nares.care.signs import SIGNS, TO_DO, Sign
from nares.decide import Step
from nares.decide.stopping import StopRule

HANDS = {
    "inside": "inside the box",
    "side": "at the side opening",
    "front": "in front, as a temptation",
    "away": "away",
}
PAY = {"inside": "inside the box", "outside": "outside the box", "away": "away from the box"}
DISTURBANCE = ("none", "slight", "clear", "strong")
AREAS = {"room": "training room", "building": "rooms of a building", "vehicles": "vehicles", "open": "open"}


def conditions_of(step: Step) -> tuple[tuple[str, str], ...]:
    """What is the same in every rep of a session at a step: name and words."""
    said = [
        ("Hand", HANDS[step.hand]),
        ("Pay", PAY[step.pay_place]),
        ("Handler", "at the box" if step.distance_m == 0 else f"{step.distance_m:g} m away"),
        ("Disturbance", DISTURBANCE[step.disturbance]),
    ]
    if step.boxes > 1:
        said.append(("Boxes", str(step.boxes)))
    if step.food_in_front:
        said.append(("Food in front", "yes, in plain sight"))
    if step.area != "room":
        said.append(("Area", AREAS[step.area]))
    return tuple(said)


def where_of(rep: PlannedRep) -> str:
    """Where the target is, or that there is none.

    >>> where_of(PlannedRep(1, 1.0, True, "away", "inside", 0.0, 0, "target", 4, 2, (1, 3)))
    'Target in box 2'
    """
    if rep.source == "target":
        return "Target" if rep.boxes == 1 else f"Target in box {rep.target_box}"
    return "No target"


def others_of(rep: PlannedRep) -> str:
    """Which boxes hold distractors; empty where none does.

    >>> others_of(PlannedRep(1, None, False, "away", "away", 0.0, 0, "distractor", 4, None, (1, 3)))
    'Distractors in 1 and 3'
    """
    if not rep.distractor_boxes:
        return ""
    if rep.boxes == 1:
        return "A distractor in the box"
    *first, last = map(str, rep.distractor_boxes)
    return f"Distractors in {', '.join(first)} and {last}" if first else f"Distractor in {last}"


def deed_of(rep: PlannedRep) -> str:
    """What to do in this rep.

    >>> deed_of(PlannedRep(1, 1.4, False, "away", "inside", 0.0, 0, "target"))
    'Hold 1.4 s, mark, pay inside the box'
    """
    if rep.ask_s is None:
        return "Going on is right: pay that, away from the box. An alert is not marked and not paid"
    return f"Hold {rep.ask_s:g} s, mark, pay {PAY[rep.pay_place]}"


EARLY, STOP, EMERGENCY = 2, 3, 4
"""Levels of signs: two good reps and the end; no further rep; the vet."""


def signs_of_level(level: int) -> tuple[Sign, ...]:
    """The signs a person looks for, of one level."""
    return tuple(sign for sign in SIGNS if sign.level == level)


def sign_rules() -> tuple[StopRule, ...]:
    """What signs end a session, the gravest first: no count and no number comes before them."""
    bloat = "retches with nothing coming up, has a swelling belly"
    return (
        StopRule(
            "vet",
            "To the vet at once",
            f"Stuck: open the box. {_listed(EMERGENCY)}, {bloat}. {TO_DO[EMERGENCY]}",
        ),
        StopRule("signs", "Signs of stress", f"No further rep. {_listed(STOP)}. {TO_DO[STOP]}"),
        StopRule("early", "Early signs", f"{_listed(EARLY)}. {TO_DO[EARLY]}"),
    )


def _listed(level: int) -> str:
    first, *others = [_with_exception(sign) for sign in signs_of_level(level)]
    return ", ".join([first, *(name[0].lower() + name[1:] for name in others)])


def _with_exception(sign: Sign) -> str:
    return f"{sign.name} ({sign.unless})" if sign.unless else sign.name
