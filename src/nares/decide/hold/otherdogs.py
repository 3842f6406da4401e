"""What the kennel's other dogs teach about how long a new dog will hold.

Conventions
-----------
Each other dog's holds at the same step are fitted alone; the place and the spread of dogs then vary
around a kennel mean. What is handed on is what to expect of one more dog: the mean, and a standard
deviation that holds the spread between dogs and how little a few dogs say of it. One other dog moves the
expectation and leaves it wide.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import log, sqrt

import numpy as np

from nares.decide.hold.holds import declines_of
from nares.decide.hold.likelihood import Prior, largest
from nares.decide.hold.shapes import RIVALS, seen_of
from nares.decide.hold.survival import Floats, Holds, checked_holds

Dog = tuple[Sequence[float], Sequence[bool]]
"""One dog's holds at a step and whether the dog ended each."""

USUAL_PLACE, PLACE_SD = log(3.0), 1.5
"""Without other dogs: the middle of all dogs near 3 s, two thirds of them within a factor of 4.5."""

USUAL_SPREAD, SPREAD_SD = log(0.7), 0.5
"""Without other dogs: breaks most often at a rising rate, and room for an even and a falling one."""

BETWEEN_PLACE_SD, BETWEEN_SPREAD_SD, WORTH_DOGS = 0.5, 0.25, 2
"""How far dogs are expected to differ before any two were compared; counts as much as two dogs."""

BREAKS_TO_TEACH = 3
"""A dog that broke fewer holds than this says too little of where it breaks."""


@dataclass(frozen=True, slots=True)
class OtherDogs:
    """What to expect of one more dog: mean and standard deviation of place and ln spread for each form.

    ``dogs`` and ``holds`` count what it rests on.
    """

    dogs: int
    holds: int
    expected: dict[float, tuple[tuple[float, float], tuple[float, float]]]

    def of(self, form: float) -> tuple[tuple[float, float], tuple[float, float]]:
        """Mean and standard deviation of the place, and of ln spread, under this form."""
        return self.expected[form]


NO_OTHERS = OtherDogs(0, 0, dict.fromkeys(RIVALS, ((USUAL_PLACE, PLACE_SD), (USUAL_SPREAD, SPREAD_SD))))
"""What is expected where no other dog has taught anything: little."""


def learn_other_dogs(dogs: Sequence[Dog]) -> OtherDogs | None:
    """Learn what to expect of a new dog from other dogs' holds at its step; None if they say too little.

    Raises:
        OutOfRange: If a hold or an ending cannot be.

    """
    holds = [_without_declines(hold_s, broke) for hold_s, broke in dogs if len(hold_s)]
    telling = [own for own in holds if own.breaks >= BREAKS_TO_TEACH]
    if not telling:
        return None
    expected = {form: _expected(form, telling) for form in RIVALS}
    return OtherDogs(len(telling), sum(len(own.hold_s) for own in telling), expected)


def _without_declines(hold_s: Sequence[float], broke: Sequence[bool]) -> Holds:
    holds = checked_holds(hold_s, broke, None)
    inside = ~declines_of(holds)
    return Holds(holds.hold_s[inside], holds.broke[inside], holds.weights[inside])


def _expected(form: float, dogs: Sequence[Holds]) -> tuple[tuple[float, float], tuple[float, float]]:
    vague = Prior(np.asarray([USUAL_PLACE, USUAL_SPREAD]), np.asarray([PLACE_SD**-2, SPREAD_SD**-2]))
    fits = [largest(form, seen_of(own), vague) for own in dogs]
    places, spreads = (np.asarray([fit.at[n] for fit in fits]) for n in (0, 1))
    errors = [np.asarray([fit.covariance[n, n] for fit in fits]) for n in (0, 1)]
    return (
        _one_more(places, errors[0], BETWEEN_PLACE_SD),
        _one_more(spreads, errors[1], BETWEEN_SPREAD_SD),
    )


def _one_more(values: Floats, variances: Floats, usual_sd: float) -> tuple[float, float]:
    """Mean and standard deviation for one more dog, from estimates and their variances."""
    between = usual_sd**2
    if len(values) > 1:
        weights = 1 / np.maximum(variances, 1e-6)
        mean = float(weights @ values / weights.sum())
        excess = float(weights @ (values - mean) ** 2) - (len(values) - 1)
        room = float(weights.sum() - (weights**2).sum() / weights.sum())
        degrees = len(values) - 1
        between = (degrees * max(0.0, excess / room) + WORTH_DOGS * between) / (degrees + WORTH_DOGS)
    weights = 1 / (variances + between)
    mean = float(weights @ values / weights.sum())
    return mean, sqrt(between + 1 / float(weights.sum()))
