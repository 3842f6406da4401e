"""The learning curve, drawn: band and middle, the level, sessions, changes, and where it was learned.

Rates are 0 to 1 on the way in and per cent on the axis.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from nares.report.plots import bare_figure
from nares.report.svg import BAND, FAINT, INK, LINE, SECOND, figure_svg

if TYPE_CHECKING:
    from matplotlib.axes import Axes

MOST_BORDERS = 60
"""More sessions than this are not marked one by one. [count]"""

TICKS_DRAWN = 120
"""Single reps are drawn as ticks up to so many. [count]"""


@dataclass(frozen=True, slots=True)
class CurveLine:
    """The curve over reps: ``at`` counts reps from 1, the middle of each point. Rates from 0 to 1."""

    at: Sequence[float]
    low: Sequence[float]
    middle: Sequence[float]
    high: Sequence[float]


def curve_svg(
    curve: CurveLine,
    *,
    met: Sequence[bool],
    level: float,
    ready: float,
    borders: Sequence[int],
    parts: Sequence[tuple[int, int, float]],
    learned: int | None,
    level_name: str = "not ready",
) -> str:
    """Plot a learning curve with its band.

    Args:
        curve: At least one point.
        met: One value a rep, for the ticks above and below; drawn while there are few.
        level: The share the dog has to be above. [-]
        ready: The rate that counts as ready to raise. [-]
        borders: First rep of each session.
        parts: First rep, last rep and share met of each stretch between two changes; one stretch is not
            drawn.
        learned: The rep from which on the dog has learned, or None.
        level_name: What the level is called beside the plot.
    """
    from matplotlib.ticker import MaxNLocator

    figure, axes = bare_figure()
    if 1 < len(borders) <= MOST_BORDERS:
        for rep in borders[1:]:
            axes.axvline(rep - 0.5, color=FAINT, linewidth=0.6)
    axes.fill_between(curve.at, _percent(curve.low), _percent(curve.high), color=BAND, lw=0)
    axes.plot(curve.at, _percent(curve.middle), color=LINE, linewidth=2)
    for rate, name in ((ready, "ready"), (level, level_name)):
        axes.axhline(100 * rate, color=FAINT, linewidth=1, linestyle=(0, (4, 3)))
        beside = axes.get_yaxis_transform()
        axes.text(1.01, 100 * rate, name, transform=beside, color=INK, fontsize=9, va="center")
    if len(parts) > 1:
        for first, last, share in parts:
            axes.plot(
                [first - 0.5, last + 0.5], [100 * share] * 2, color=SECOND, linewidth=2, linestyle=(0, (5, 2))
            )
    if len(met) <= TICKS_DRAWN:
        _ticks(axes, met)
    if learned is not None:
        axes.plot([learned], [0], marker="^", color=INK, markersize=9, clip_on=False, linestyle="none")
    axes.set(
        ylim=(-5, 105), xlim=(0.4, max(len(met), 2) + 0.6), xlabel="rep at this step", ylabel="reps met, %"
    )
    axes.xaxis.set_major_locator(MaxNLocator(integer=True))
    return figure_svg(
        figure,
        title="The learning curve",
        description=_said(curve, len(met), level, parts, learned, len(borders)),
    )


def _ticks(axes: "Axes", met: Sequence[bool]) -> None:
    """A tick a rep: above where it was met, below where it was missed."""
    for value, height in ((True, 103), (False, -3)):
        at = [rep for rep, one in enumerate(met, start=1) if one == value]
        axes.plot(at, [height] * len(at), "|", color=INK, markersize=5, linestyle="none", clip_on=False)


def _percent(rates: Sequence[float]) -> list[float]:
    return [100 * rate for rate in rates]


def _said(
    curve: CurveLine,
    reps: int,
    level: float,
    parts: Sequence[tuple[int, int, float]],
    learned: int | None,
    sessions: int,
) -> str:
    first, last = curve.middle[0], curve.middle[-1]
    said = [
        f"{reps} reps in {sessions} {'session' if sessions == 1 else 'sessions'}, looking back from all "
        "of them. "
        f"The curve goes from {first:.0%} to {last:.0%} "
        f"(90 % band at the end {curve.low[-1]:.0%} to {curve.high[-1]:.0%}).",
        f"Learned from rep {learned}, marked with a triangle."
        if learned
        else f"Not surely above {level:.0%} yet.",
    ]
    if len(parts) > 1:
        shares = ", then ".join(f"{share:.0%} from rep {begin}" for begin, _, share in parts)
        said.append(f"Broken line: share met between changes, {shares}.")
    return " ".join(said)
