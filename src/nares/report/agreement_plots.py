"""The plot of agreement: each difference against the mean of the two, with mean difference and limits."""

from collections.abc import Sequence
from dataclasses import dataclass

from nares.report.plots import bare_figure
from nares.report.svg import BAND, FAINT, INK, LINE, figure_svg


@dataclass(frozen=True, slots=True)
class Difference:
    """One thing both observers timed: the mean of the two and second minus first. [s]"""

    mean_s: float
    difference_s: float


def difference_svg(
    pairs: Sequence[Difference],
    *,
    what: str,
    observers: tuple[str, str],
    bias_s: float,
    lower_s: float,
    upper_s: float,
    along: str,
) -> str:
    """Plot differences against means, in milliseconds up and seconds along.

    Args:
        pairs: At least two.
        what: What was timed, in a word or two.
        observers: First and second; the difference is second minus first.
        bias_s: Mean difference. [s]
        lower_s: Lower limit of agreement. [s]
        upper_s: Upper limit of agreement. [s]
        along: What the time along the bottom is.
    """
    figure, axes = bare_figure()
    axes.axhspan(1000 * lower_s, 1000 * upper_s, color=BAND, lw=0)
    axes.axhline(0, color=FAINT, linewidth=1, linestyle=(0, (4, 3)))
    axes.axhline(1000 * bias_s, color=LINE, linewidth=2)
    at, off = [pair.mean_s for pair in pairs], [1000 * pair.difference_s for pair in pairs]
    axes.plot(at, off, "o", color=INK, markersize=4.5, linestyle="none")
    beside = axes.get_yaxis_transform()
    for level_s, name in _apart(((upper_s, "limit"), (bias_s, "mean"), (lower_s, "limit"))):
        axes.text(1.01, 1000 * level_s, name, transform=beside, color=INK, fontsize=9, va="center")
    # At least 10 ms either side: observers who agree to the millisecond must not look far apart.
    low, high = min([*off, 1000 * lower_s, -10.0]), max([*off, 1000 * upper_s, 10.0])
    room = 0.08 * (high - low)
    axes.set(ylim=(low - room, high + room), xlabel=f"{what}, s {along}", ylabel="difference, ms")
    return figure_svg(
        figure,
        title=f"Differences in {what}, {observers[1]} minus {observers[0]}",
        description=f"{len(pairs)} pairs. Mean difference {1000 * bias_s:.0f} ms, limits of agreement "
        f"{1000 * lower_s:.0f} to {1000 * upper_s:.0f} ms.",
    )


def _apart(levels: Sequence[tuple[float, str]]) -> list[tuple[float, str]]:
    """Levels too near each other to be written apart are written once."""
    span = levels[0][0] - levels[-1][0]
    return list(levels) if span > 1e-6 else [levels[1]]
