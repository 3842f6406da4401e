"""How well what was found agrees with what was there.

Conventions
-----------
Times in seconds. An event found counts as right when it is paired one to one with a true event no further
away than the window; the pairing is the largest possible, among the largest the one with the least total
distance, among those the one that does not cross, and then the earlier. Frames are the middles of equal
steps. Nothing found where nothing was is full agreement.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from nares.base.errors import OutOfRange


@dataclass(frozen=True, slots=True)
class EventScores:
    """Agreement on events. ``bias_s``: median of found minus true over the pairs, None without pairs."""

    true: int
    found: int
    paired: int
    precision: float
    recall: float
    f1: float
    bias_s: float | None


@dataclass(frozen=True, slots=True)
class FrameScores:
    """Agreement on equal frames of time."""

    frames: int
    precision: float
    recall: float
    f1: float


def pair_events(true_s: ArrayLike, found_s: ArrayLike, window_s: float) -> list[tuple[int, int]]:
    """Pair true with found events one to one within a window, as many as possible.

    Args:
        true_s: Times of the true events, shape (n,). [s]
        found_s: Times of the found events, shape (m,). [s]
        window_s: Largest distance of a pair, from 0. [s]

    Returns:
        Pairs (index in ``true_s``, index in ``found_s``) by rising first index.

    Raises:
        OutOfRange: If the window is negative.
    """
    if window_s < 0:
        raise OutOfRange(f"A window of {window_s:g} s cannot be. Give 0 or more, for example 0.025.")
    true, found = _times(true_s), _times(found_s)
    if not (true.size and found.size):
        return []
    from scipy.optimize import linear_sum_assignment

    distance = np.abs(true[:, None] - found[None, :])
    # The slack forgives the last binary digit of 1.025 - 1.000; a pair outweighs any sum of distances.
    near = distance <= window_s + 1e-9
    far = distance / max(window_s, 1e-9)
    # Ties go to pairs that do not cross, then to earlier ones, so that swapping the two changes nothing.
    when = true[:, None] + found[None, :]
    late = (when - when.min()) / max(float(np.ptp(when)), 1e-9)
    cost = np.where(near, (far + 1e-5 * far**2 + 1e-7 * late) / (4.0 * min(distance.shape) + 4.0) - 1.0, 0.0)
    rows, columns = linear_sum_assignment(cost)
    return [(int(i), int(j)) for i, j in zip(rows, columns, strict=True) if near[i, j]]


def event_scores(true_s: ArrayLike, found_s: ArrayLike, window_s: float) -> EventScores:
    """Score found events against true ones by one-to-one pairing within a window.

    Args:
        true_s: Times of the true events, shape (n,). [s]
        found_s: Times of the found events, shape (m,). [s]
        window_s: Largest distance of a pair. [s]

    Examples:
        >>> event_scores([1.0, 2.0], [1.01, 1.02, 2.01], 0.025).f1
        0.8
    """
    true, found = _times(true_s), _times(found_s)
    pairs = pair_events(true, found, window_s)
    errors = [float(found[j] - true[i]) for i, j in pairs]
    precision, recall, f1 = _rates(len(pairs), true.size, found.size)
    bias = float(np.median(errors)) if errors else None
    return EventScores(true.size, found.size, len(pairs), precision, recall, f1, bias)


def frame_scores(
    true: Sequence[tuple[float, float]],
    found: Sequence[tuple[float, float]],
    duration_s: float,
    frame_s: float,
) -> FrameScores:
    """Score spans by whether the middle of each frame lies in one.

    Args:
        true: Spans (start, end) that were there. [s]
        found: Spans (start, end) that were found. [s]
        duration_s: Length judged, from 0. [s]
        frame_s: Length of a frame. [s]

    Raises:
        OutOfRange: If there is no whole frame to judge.

    Examples:
        >>> frame_scores([(0.0, 1.0)], [(0.5, 1.0)], 2.0, 0.02).recall
        0.5
    """
    if frame_s <= 0 or duration_s < frame_s:
        raise OutOfRange(
            f"{duration_s:g} s hold no frame of {frame_s:g} s. Give a longer stretch or a shorter frame."
        )
    middles = (np.arange(int(duration_s / frame_s + 1e-6), dtype=np.float64) + 0.5) * np.float64(frame_s)
    was, is_found = covered(middles, true), covered(middles, found)
    both = int(np.count_nonzero(was & is_found))
    rates = _rates(both, int(np.count_nonzero(was)), int(np.count_nonzero(is_found)))
    return FrameScores(middles.size, *rates)


def covered(middles_s: NDArray[np.float64], spans: Sequence[tuple[float, float]]) -> NDArray[np.bool_]:
    """Say of each frame whether its middle lies in a span; middles rising, spans in any order."""
    inside = np.zeros(middles_s.size, dtype=bool)
    for start, end in spans:
        inside[np.searchsorted(middles_s, start) : np.searchsorted(middles_s, end)] = True
    return inside


def _times(times_s: ArrayLike) -> NDArray[np.float64]:
    return np.asarray(times_s, dtype=np.float64).reshape(-1)


def _rates(both: int, true: int, found: int) -> tuple[float, float, float]:
    if true == 0 and found == 0:
        return 1.0, 1.0, 1.0
    precision = both / found if found else 0.0
    recall = both / true if true else 0.0
    return precision, recall, 2 * both / (true + found)
