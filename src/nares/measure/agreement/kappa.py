"""Cohen's kappa: agreement on kinds, such as frames in and out, beyond what chance would give.

Conventions
-----------
Two observers put each item (a frame of time) into one of two or more kinds. ``clusters`` name stretches of
time whose frames hang together: the error of kappa then counts stretches. With every frame its own cluster
the error is the large-sample one of Fleiss, Cohen and Everitt, and far too small for frames, which follow
each other in long runs.

With clusters the interval goes by way of the agreement (Wilson's) and the number of independent items that
its error is worth: a dozen stretches that all agree do not make kappa certain.

Kappa depends on how common the kinds are: where nearly every frame is empty it can be low although nearly
every frame agrees. So agreement, the shares each observer gave and the prevalence-adjusted value are always
given beside it.
"""

from collections.abc import Hashable, Sequence
from dataclasses import dataclass
from math import sqrt
from statistics import NormalDist

import numpy as np
from numpy.typing import ArrayLike, NDArray

from nares.base.errors import NotEnoughData, OutOfRange
from nares.base.interval import wilson_interval


@dataclass(frozen=True, slots=True)
class Kappa:
    """Cohen's kappa with what it depends on.

    ``value``, ``se``, ``low``, ``high``: None where kappa cannot be said (both observers used one and the
    same kind). ``agreement``: share of items put into the same kind. ``adjusted``: kappa if all kinds were
    equally common (with two
    kinds: the prevalence-adjusted, bias-adjusted kappa). ``first`` and ``second``: the share each put into
        each kind.
    """

    items: int
    clusters: int
    value: float | None
    se: float | None
    low: float | None
    high: float | None
    agreement: float
    adjusted: float
    first: tuple[float, ...]
    second: tuple[float, ...]
    notes: tuple[str, ...]


def cohens_kappa(
    first: ArrayLike,
    second: ArrayLike,
    *,
    kinds: int,
    confidence: float,
    clusters: Sequence[Hashable] | None = None,
) -> Kappa:
    """Say how far two observers agree on kinds beyond chance.

    Args:
        first: The kind of each item by the first observer, 0 to ``kinds`` - 1, shape (n,). Truth values
            count.
        second: The same by the second observer.
        kinds: How many kinds there are, at least 2. [count]
        confidence: Two-sided coverage of the interval. [-]
        clusters: The stretch each item belongs to; None when items are independent.

    Raises:
        OutOfRange: If lengths, kinds or confidence do not fit.
        NotEnoughData: If there is nothing to judge.

    Sources:
        cohen-1960: kappa.
        fleiss-cohen-everitt-1969: its error, here summed over clusters.

    Examples:
        >>> cohens_kappa([1, 1, 0, 0], [1, 0, 0, 0], kinds=2, confidence=0.95).value
        0.5
    """
    one, other = _kinds(first, kinds), _kinds(second, kinds)
    if one.shape != other.shape:
        raise OutOfRange(f"{one.size} and {other.size} items are no pairs. Judge the same frames twice.")
    if not one.size:
        raise NotEnoughData("There is nothing both observers judged. Compare a stretch both have looked at.")
    if not 0 < confidence < 1:
        raise OutOfRange(f"A confidence of {confidence:g} is not between 0 and 1. Give it like 0.95.")
    shares = np.bincount(one, minlength=kinds) / one.size, np.bincount(other, minlength=kinds) / one.size
    agreement = float(np.mean(one == other))
    by_chance = float(shares[0] @ shares[1])
    groups = list(range(one.size)) if clusters is None else list(clusters)
    value = se = low = high = None
    if by_chance < 1:
        value = (agreement - by_chance) / (1 - by_chance)
        se = _error(one, other, shares, value, by_chance, groups)
    if value is not None and se is not None and clusters is None:
        half = NormalDist().inv_cdf((1 + confidence) / 2) * se
        low, high = max(value - half, -1.0), min(value + half, 1.0)
    elif value is not None and se is not None:
        low, high = _few_clusters(agreement, by_chance, se, len(set(groups)), confidence)
    return Kappa(
        items=one.size,
        clusters=len(set(groups)),
        value=value,
        se=se,
        low=low,
        high=high,
        agreement=agreement,
        adjusted=(kinds * agreement - 1) / (kinds - 1),
        first=tuple(map(float, shares[0])),
        second=tuple(map(float, shares[1])),
        notes=_notes(value, shares),
    )


def _kinds(said: ArrayLike, kinds: int) -> NDArray[np.intp]:
    kind = np.asarray(said).astype(np.intp).reshape(-1)
    if kinds < 2 or (kind.size and not (0 <= kind.min() and kind.max() < kinds)):
        raise OutOfRange(f"Kinds must run from 0 to {kinds - 1}, and there must be two at least.")
    return kind


def _error(
    one: NDArray[np.intp],
    other: NDArray[np.intp],
    shares: tuple[NDArray[np.float64], NDArray[np.float64]],
    value: float,
    by_chance: float,
    groups: list[Hashable] | list[int],
) -> float | None:
    """Standard error by what each item adds to kappa, summed in clusters; None with one cluster."""
    # The derivative of kappa by one item's weight: what it agrees, less what its kinds add to chance
    # agreement.
    expected = shares[1][one] + shares[0][other]
    adds = ((one == other) - (1 - value) * expected) / (1 - by_chance)
    adds = adds - adds.mean()
    _, place = np.unique(np.asarray(_numbered(groups)), return_inverse=True)
    sums = np.bincount(place, weights=adds)
    if sums.size < 2:
        return None
    few = sums.size / (sums.size - 1) if sums.size < one.size else 1.0
    return sqrt(float(np.sum(sums**2)) * few) / one.size


def _few_clusters(
    agreement: float, by_chance: float, se: float, clusters: int, confidence: float
) -> tuple[float, float]:
    """An interval by way of the agreement and as many independent items as its error is worth.

    It stays honest where every stretch agreed and the error itself is nothing: then each stretch counts once.
    """
    from scipy.stats import t

    of_agreement = se * (1 - by_chance)
    worth = agreement * (1 - agreement) / of_agreement**2 if of_agreement > 0 else float(clusters)
    share = (1 + confidence) / 2
    # The error is known from so many stretches only.
    worth *= (NormalDist().inv_cdf(share) / float(t.ppf(share, clusters - 1))) ** 2
    ends = wilson_interval(agreement, max(worth, 1.0), confidence=confidence)
    low, high = ((end - by_chance) / (1 - by_chance) for end in ends)
    return max(low, -1.0), min(high, 1.0)


def _numbered(groups: Sequence[Hashable]) -> list[int]:
    numbers: dict[Hashable, int] = {}
    return [numbers.setdefault(group, len(numbers)) for group in groups]


def _notes(value: float | None, shares: tuple[NDArray[np.float64], NDArray[np.float64]]) -> tuple[str, ...]:
    if value is None:
        return ("Both put everything into one kind: kappa cannot be said, agreement is complete.",)
    commonest = float(np.max((shares[0] + shares[1]) / 2))
    if commonest > 0.9:
        return (
            f"One kind makes up {100 * commonest:.0f} % of the time: kappa is then low for small "
            f"differences. "
            "Read the agreement and the adjusted value beside it.",
        )
    return ()
