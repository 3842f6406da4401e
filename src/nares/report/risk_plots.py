"""The plot of what a rule of raising does to dogs of every true rate.

Rates and chances are 0 to 1 on the way in and per cent on the axes.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from nares.report.plots import bare_figure, mark_rates
from nares.report.svg import INK, LINE, SECOND, figure_svg

if TYPE_CHECKING:
    from matplotlib.axes import Axes


@dataclass(frozen=True, slots=True)
class RiskCurve:
    """The chance that a rule raises a dog, by the dog's true rate."""

    name: str
    rate: Sequence[float]
    to_raise: Sequence[float]

    def at(self, rate: float) -> float:
        """The chance at the rate nearest to this one. [-]"""
        return min(zip(self.rate, self.to_raise, strict=True), key=lambda point: abs(point[0] - rate))[1]


def chances_svg(ours: RiskCurve, other: RiskCurve, *, ready: float, not_ready: float) -> str:
    """Plot the chance to be raised by true rate, for the test and for a usual habit beside it.

    Args:
        ours: What the test does.
        other: What the habit does, drawn broken.
        ready: The rate of a dog that should be raised. [-]
        not_ready: The rate of a dog that must not be. [-]
    """
    figure, axes = bare_figure()
    mark_rates(axes, not_ready=not_ready, ready=ready)
    for curve, colour, dashes in ((other, SECOND, (0, (3, 2))), (ours, LINE, (0, ()))):
        axes.plot(
            [100 * rate for rate in curve.rate],
            [100 * chance for chance in curve.to_raise],
            color=colour,
            linewidth=2,
            linestyle=dashes,
        )
    _name(axes, other, not_ready - 0.10)
    _name(axes, ours, (ready + not_ready) / 2)
    axes.set(
        ylim=(-2, 102),
        xlim=(100 * min(ours.rate), 100 * max(ours.rate)),
        xlabel="reps the dog really meets, %",
        ylabel="raised, %",
    )
    return figure_svg(
        figure,
        title="Chance of a raise by what the dog really does",
        description=f"{ours.name}: {100 * ours.at(not_ready):.0f} % at {100 * not_ready:.0f} %, "
        f"{100 * ours.at(ready):.0f} % at {100 * ready:.0f} %. "
        f"{other.name}: {100 * other.at(not_ready):.0f} % and {100 * other.at(ready):.0f} %.",
    )


def _name(axes: "Axes", curve: RiskCurve, rate: float) -> None:
    """Write a curve's name right of it at a rate."""
    axes.annotate(
        curve.name,
        (100 * rate, 100 * curve.at(rate)),
        color=INK,
        fontsize=9,
        xytext=(9, -9),
        textcoords="offset points",
    )
