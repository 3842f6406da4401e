"""How many rewards and reps today's ration still allows.

Conventions
-----------
Masses are grams. Numbers written by a person are taken as the decimals they are: 0.6 g over 0.2 g is three.
A ration is known by mass (``ration_g`` and ``reward_g``), by a count of rewards set apart, or by both; then
the smaller holds. ``bowl_g`` is what of the day's ration goes into the bowl, given already or kept for it.
"""

from dataclasses import dataclass
from fractions import Fraction
from math import isfinite

from nares.base.errors import OutOfRange
from nares.base.vocab import Allowance

SESSION_SHARE = Fraction(1, 3)
"""Most of the day's ration paid out in one session, by mass. A choice of this program, on the side of a dog
that is prone to bloat; no trial has fixed it."""

CAUTIONS = (
    "Small portions: no more than a third of the day's food in one session. A bowl meal an hour or more "
    "after work and two hours before hard work is a customary precaution.",
    "Retching with nothing coming up, a swelling belly, restlessness, drooling, pale gums, collapse: signs "
    "of a twisted stomach. To the veterinarian at once.",
    "Water between sets, always; it is never held back to make a dog keener.",
    "For a pup, a thin, ill or overheated dog the veterinarian's figure holds, and nothing is taken off it.",
)
"""What is said wherever a ration is set. Words, never an amount."""

MOST_G = 20_000.0
"""More food than any dog is given in a day. [g]"""

MOST_REWARDS = 10_000


@dataclass(frozen=True, slots=True)
class Ration:
    """What one dog is fed on one day, as a person says it.

    Raises:
        OutOfRange: If a mass or count cannot be, or neither mass nor count is given.
    """

    ration_g: float | None = None
    reward_g: float | None = None
    bowl_g: float = 0.0
    rewards: int | None = None
    rewards_per_rep: int = 1

    def __post_init__(self) -> None:
        _require_mass(self.ration_g, "The day's ration")
        _require_mass(self.reward_g, "A reward")
        if not 0 <= self.bowl_g <= MOST_G:
            raise OutOfRange(f"{self.bowl_g:g} g from the bowl cannot be. Give grams from 0 up.")
        if self.rewards is not None and not 0 <= self.rewards <= MOST_REWARDS:
            raise OutOfRange(f"{self.rewards} rewards cannot be. Give a count from 0 to {MOST_REWARDS}.")
        if not 1 <= self.rewards_per_rep <= 100:
            raise OutOfRange(f"{self.rewards_per_rep} rewards a rep cannot be. Give a count from 1 to 100.")
        self._require_known()

    def _require_known(self) -> None:
        if self.rewards is None and (self.ration_g is None or self.reward_g is None):
            raise OutOfRange(
                "How much a reward takes of the day is not known. Give the day's ration and one reward in "
                "grams, or the number of rewards set apart."
            )
        if self.ration_g is not None and exact(self.bowl_g) > exact(self.ration_g):
            raise OutOfRange(
                f"{self.bowl_g:g} g from the bowl are more than the day's {self.ration_g:g} g. Correct one."
            )


def allowance(ration: Ration, *, paid_reps: int) -> Allowance:
    """Say how many reps the ration still pays for after so many paid ones.

    Args:
        ration: The day's food.
        paid_reps: Reps paid today already. [count]

    Raises:
        OutOfRange: If the count is negative.

    Examples:
        Ninety grams for rewards of 0.3 g are three hundred, less the twelve paid; a third of the day's
        466.8 g would be 518:

        >>> allowance(Ration(ration_g=466.8, reward_g=0.3, bowl_g=376.8), paid_reps=12)
        Allowance(left=288, session=518)
    """
    if paid_reps < 0:
        raise OutOfRange(f"{paid_reps} paid reps cannot be. Give a count from 0 up.")
    spent = paid_reps * ration.rewards_per_rep
    left = max(0, rewards_of_day(ration) - spent) // ration.rewards_per_rep
    return Allowance(left, _of_session(ration))


def rewards_of_day(ration: Ration) -> int:
    """Rewards in the day's ration after what goes into the bowl. [count]

    Examples:
        >>> rewards_of_day(Ration(ration_g=0.6, reward_g=0.2))
        3
    """
    counts = [] if ration.rewards is None else [ration.rewards]
    if ration.ration_g is not None and ration.reward_g is not None:
        counts.append((exact(ration.ration_g) - exact(ration.bowl_g)) // exact(ration.reward_g))
    return min(counts)


def _of_session(ration: Ration) -> int | None:
    """Reps one session may pay out; None where rewards are counted and not weighed."""
    if ration.ration_g is None or ration.reward_g is None:
        return None
    return SESSION_SHARE * exact(ration.ration_g) // (exact(ration.reward_g) * ration.rewards_per_rep)


def exact(mass_g: float) -> Fraction:
    """A number as the decimal it is written as. [g]"""
    return Fraction(repr(float(mass_g)))


def _require_mass(mass_g: float | None, what: str) -> None:
    if mass_g is not None and not (isfinite(mass_g) and 0 < mass_g <= MOST_G):
        raise OutOfRange(f"{what} of {mass_g:g} g cannot be. Give grams above 0, up to {MOST_G:g}.")
