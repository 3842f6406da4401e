"""Two published rules for spreading what is asked: a variable-duration progression and a percentile.

Conventions
-----------
Times are seconds. Nothing here draws: order and chance belong to `nares.decide.hold.asks`.
"""

from math import ceil, log

from nares.base.errors import OutOfRange


def fleshler_hoffman(count: int, *, mean_s: float) -> list[float]:
    """Lay out durations, shortest first, under which the end is about equally likely at every moment.

    A dog cannot learn from the time already spent when the mark is due. The longest value is
    ``mean_s * (1 + ln count)``.

    Args:
        count: Number of durations. [count]
        mean_s: Their mean. [s]

    Raises:
        OutOfRange: If the count or the mean cannot be.

    Sources:
        fleshler-hoffman-1962: the progression.

    Examples:
        >>> [round(t, 2) for t in fleshler_hoffman(10, mean_s=5)]
        [0.26, 0.82, 1.44, 2.16, 3.0, 4.0, 5.27, 6.97, 9.58, 16.51]
    """
    if count < 1 or not 0 < mean_s < float("inf"):
        raise OutOfRange(
            f"{count} durations around {mean_s:g} s cannot be laid out. "
            "Give a count from 1 and a mean above 0 s."
        )
    whole = 1 + log(count)
    return [mean_s * (whole + _x_log_x(count - n) - _x_log_x(count - n + 1)) for n in range(1, count + 1)]


def percentile_rank(window: int, *, paid: float) -> float:
    """The rank k that the next response must exceed so that a share ``paid`` of responses earns pay.

    k counts from the smallest of the last ``window`` responses: k = (window + 1)(1 - paid). It need not be
    whole; `whole_percentile_rank` gives the rank to use and the share it really pays.

    Raises:
        OutOfRange: If the window or the share cannot be, or the window is too short for the share.

    Sources:
        galbicka-1994: the percentile schedule (after Platt 1973).

    Examples:
        >>> round(percentile_rank(5, paid=0.7), 6), round(percentile_rank(9, paid=0.8), 6)
        (1.8, 2.0)
    """
    if window < 1 or not 0 < paid < 1:
        raise OutOfRange(
            f"A window of {window} with {paid:g} paid cannot be. "
            "Give at least one response and a share like 0.8."
        )
    return (window + 1) * (1 - paid)


def whole_percentile_rank(window: int, *, paid: float) -> tuple[int, float]:
    """The whole rank next above `percentile_rank`, and the share of responses it pays.

    Examples:
        >>> whole_percentile_rank(5, paid=0.7)
        (2, 0.666...)
    """
    rank = min(window, max(1, ceil(percentile_rank(window, paid=paid) - 1e-9)))
    return rank, 1 - rank / (window + 1)


def _x_log_x(x: int) -> float:
    return x * log(x) if x else 0.0
