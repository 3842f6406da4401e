"""Signs of aversion or stress: the list a person chooses from, and the level of each.

Conventions
-----------
The terms are those of published ethograms, read in Vieira de Castro and others (2020), Table 2, and on a page
of a veterinary school on reading behaviour. The **levels 0 to 4 and what to do at each are design values of
this program, not published ones**; so are the terms for box work (``term`` says which is which). Level 0 is a
dog without signs and needs no entry.

A sign says what was seen, never what the dog has: nothing here is a diagnosis, and no dose stands anywhere.
Keys are written into the record and stay for ever; new ones are added.

Sources:
    vieira-de-castro-2020: Table 2, the terms marked as published.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from nares.base.errors import OutOfRange, Unknown

Term = Literal["published", "ours"]

PAIN = "pain"
REFUSES_FOOD = "refuses_food"
PAIRED = 2
"""So many signs of level 1 within ``PAIRED_REPS`` reps come to level 2. [count]"""
PAIRED_REPS = 3


@dataclass(frozen=True, slots=True)
class Sign:
    """One sign. ``term``: whether the word is a published one; its level is always ours.

    ``unless``: what else shows the same and is then no sign; empty where nothing does.
    """

    key: str
    name: str
    level: int
    term: Term
    unless: str = ""


SIGNS = (
    Sign("yawn", "Yawns", 1, "published"),
    Sign("body_shake", "Shakes itself off", 1, "published"),
    Sign("paw_lift", "Lifts a paw", 1, "published"),
    Sign("lip_lick", "Licks its lips", 1, "published", "within 5 s of pay it is only food"),
    Sign("scratch", "Scratches itself", 1, "published"),
    Sign("low_posture", "Low or tense posture", 1, "published"),
    Sign("sniffs_away", "Sniffs about, away from the box", 1, "ours"),
    Sign("slow_in", "Takes 1.5 to 2 times as long as usual to go in", 1, "ours"),
    Sign("body_turn", "Turns its body away", 2, "published"),
    Sign("move_away", "Moves away", 2, "published"),
    Sign("ears_tail", "Ears back and tail down", 2, "published"),
    Sign("pant", "Pants", 2, "published", "in heat or after running it is only warmth: shade, water, rest"),
    Sign("withdraws", "Pulls the muzzle out before the mark, twice", 2, "ours"),
    Sign("crouch", "Crouches", 3, "published"),
    Sign("lies_down", "Lies on its side or back", 3, "published"),
    Sign("whine", "Whines", 3, "published"),
    Sign("yelp", "Yelps", 3, "published"),
    Sign("salivating", "Drools", 3, "published"),
    Sign("trembling", "Trembles", 3, "ours"),
    Sign("elimination", "Urinates or defecates from fear", 3, "published"),
    Sign("refuses_nose", "Will not put the nose in for 10 s, twice running", 3, "ours"),
    Sign("avoids_box", "Avoids the box or the hand", 3, "ours"),
    Sign("snap", "Snaps", 3, "ours"),
    Sign("paws_to_escape", "Paws to get away", 3, "ours"),
    Sign(REFUSES_FOOD, "Refuses food it normally eats", 3, "ours"),
    Sign(PAIN, "Any sign of pain", 3, "ours"),
    Sign("panic", "Panics in the opening", 4, "ours"),
    Sign("stuck", "Is stuck in the opening", 4, "ours"),
    Sign("collapse", "Collapses", 4, "ours"),
    Sign("injury", "Is injured", 4, "ours"),
    Sign("exposure", "May have taken in something harmful", 4, "ours"),
)
"""Every sign, mildest first; the order in which the page offers them."""

BY_KEY = {sign.key: sign for sign in SIGNS}

TO_DO = {
    1: "Finish the rep and make the next one easier.",
    2: "Step back one criterion, end the set within two good reps, then rest at least 5 minutes.",
    3: "Stop the session. Check how the box fits, its edges, the heat, and whether anything hurts. "
    "The next session is two criteria easier.",
    4: "Stop. This is an emergency: follow your vet's protocol and call them now.",
}
"""What to do at each level. Design values, like the levels themselves."""


def sign_of(key: str) -> Sign:
    """The sign of this key.

    Raises:
        Unknown: If there is none, listing them.
    """
    if key not in BY_KEY:
        raise Unknown(f"There is no sign {key!r}. The signs are: {', '.join(BY_KEY)}.")
    return BY_KEY[key]


def level_of(keys: Iterable[str]) -> int:
    """The level that signs seen together come to: the highest; two of level 1 together come to 2.

    Raises:
        Unknown: If one is not a sign.
        OutOfRange: If none is given.

    Examples:
        >>> level_of(["yawn"]), level_of(["yawn", "paw_lift"]), level_of(["crouch", "yawn"])
        (1, 2, 3)
    """
    levels = [sign_of(key).level for key in dict.fromkeys(keys)]
    if not levels:
        raise OutOfRange("No sign was given. Give at least one.")
    highest = max(levels)
    return PAIRED if highest == 1 and len(levels) >= PAIRED else highest
