"""Plots of scored line-ups: shares with intervals, choices by position against chance, d' with its interval.

Rates are 0 to 1 on the way in and per cent on the axis. No title is drawn: the page has the heading.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from nares.report.plots import bare_figure
from nares.report.svg import BAND, FAINT, INK, LINE, figure_svg

if TYPE_CHECKING:
    from matplotlib.axes import Axes

NAMED = 12
"""More points than this are not named along the bottom one by one. [count]"""


@dataclass(frozen=True, slots=True)
class ShareBar:
    """One share with its interval: at one position, or in one line-up. Rates from 0 to 1."""

    name: str
    k: int
    n: int
    rate: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class FallBar:
    """How often one position was chosen, and how often chance expects it. [count]"""

    name: str
    chosen: int
    expected: float


def shares_svg(bars: Sequence[ShareBar], *, title: str, along: str, up: str) -> str:
    """Plot shares with their intervals side by side.

    Args:
        bars: At least one.
        title: What the plot is, for who does not see it.
        along: What the bottom is.
        up: What the height is, without its unit.
    """
    figure, axes = bare_figure()
    at = list(range(len(bars)))
    rates = [100 * bar.rate for bar in bars]
    below = [100 * max(0.0, bar.rate - bar.low) for bar in bars]
    above = [100 * max(0.0, bar.high - bar.rate) for bar in bars]
    axes.errorbar(
        at, rates, yerr=[below, above], fmt="o", color=LINE, ecolor=BAND, elinewidth=6, markersize=7
    )
    axes.set(ylim=(-3, 103), xlim=(-0.6, len(bars) - 0.4), xlabel=along, ylabel=f"{up}, %")
    _name(axes, [bar.name for bar in bars])
    said = "; ".join(
        f"{bar.name}: {bar.k} of {bar.n}, {bar.rate:.0%} ({bar.low:.0%} to {bar.high:.0%})" for bar in bars
    )
    return figure_svg(figure, title=title, description=f"Intervals 95 %. {said}.")


def falls_svg(bars: Sequence[FallBar], *, title: str, up: str) -> str:
    """Plot how often each position was chosen as bars, and what chance expects as a line across each."""
    from matplotlib.ticker import MaxNLocator

    figure, axes = bare_figure()
    at = list(range(len(bars)))
    axes.bar(at, [bar.chosen for bar in bars], width=0.62, color=LINE)
    for place, bar in enumerate(bars):
        axes.plot([place - 0.42, place + 0.42], [bar.expected] * 2, color=INK, linewidth=2)
    most = max([bar.chosen for bar in bars] + [bar.expected for bar in bars])
    axes.set(ylim=(0, max(1.0, 1.12 * most)), xlim=(-0.6, len(bars) - 0.4), xlabel="position", ylabel=up)
    axes.yaxis.set_major_locator(MaxNLocator(integer=True))
    _name(axes, [bar.name for bar in bars])
    said = "; ".join(f"position {bar.name}: {bar.chosen}, expected {bar.expected:.1f}" for bar in bars)
    return figure_svg(figure, title=title, description=f"Bars: seen. Lines across: by chance. {said}.")


def dprime_svg(name: str, d_prime: float | None, low: float | None, high: float | None) -> str:
    """Plot d' with its interval on a line from guessing to telling nearly always.

    Args:
        name: Whose answers.
        d_prime: None: no best value, only ends. [-]
        low: None: no lower bound. [-]
        high: None: no upper bound, drawn as an arrow. [-]
    """
    figure, axes = bare_figure()
    figure.set_figheight(1.5)
    ends = [one for one in (d_prime, low, high) if one is not None]
    left, right = min([-0.5, *ends]), max([4.5, *ends])
    axes.plot(
        [left if low is None else low, right if high is None else high], [0, 0], color=BAND, linewidth=10
    )
    if high is None:
        axes.plot([right], [0], marker=">", color=LINE, markersize=10, clip_on=False)
    if d_prime is not None:
        axes.plot([d_prime], [0], "o", color=LINE, markersize=10)
    axes.axvline(0, color=FAINT, linewidth=1, linestyle=(0, (4, 3)))
    axes.text(0, 0.62, "guessing", color=INK, fontsize=9, ha="center")
    axes.set(xlim=(left - 0.2, right + 0.2), ylim=(-0.6, 0.6), xlabel="d′")
    axes.yaxis.set_visible(False)
    axes.spines["left"].set_visible(False)
    middle = "no best value" if d_prime is None else f"{d_prime:.2f}"
    said = f"{middle}, {'no lower bound' if low is None else f'from {low:.2f}'}"
    said += ", no upper bound" if high is None else f" to {high:.2f}"
    return figure_svg(figure, title=f"Sensitivity d-prime by {name}", description=f"{said}. 0 is guessing.")


def _name(axes: "Axes", names: Sequence[str]) -> None:
    """Name points along the bottom; where they are many, only some."""
    step = -(-len(names) // NAMED)
    at = list(range(0, len(names), step))
    axes.set_xticks(at, [names[k] for k in at])
