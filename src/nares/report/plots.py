"""The two plots of a dog: success by session, and how long it holds. Each with its intervals.

Rates are 0 to 1 on the way in and per cent on the axis. No title is drawn: the page has the heading.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from nares.report.svg import BAND, FAINT, INK, LINE, SECOND, figure_svg

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

WIDTH_IN, HEIGHT_IN = 5.4, 3.2
"""Drawn for a phone: at 360 px the smallest text is still about 10 px high."""


@dataclass(frozen=True, slots=True)
class RatePoint:
    """One session's success at one step, with its interval. Rates from 0 to 1."""

    session: str
    step: str
    reps: int
    met: int
    rate: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Curve:
    """A chance of holding at least ``t_s``, with an interval, at increasing times."""

    t_s: Sequence[float]
    chance: Sequence[float]
    low: Sequence[float]
    high: Sequence[float]


def success_svg(points: Sequence[RatePoint], *, ready: float, not_ready: float) -> str:
    """Plot the share of reps met in each session, oldest first, with its interval.

    Args:
        points: At least one session.
        ready: The rate that counts as ready to raise, drawn as a line. [-]
        not_ready: The rate that counts as not ready, drawn as a line. [-]
    """
    from matplotlib.ticker import MaxNLocator

    figure, axes = bare_figure()
    at = list(range(1, len(points) + 1))
    for level, name in ((ready, "ready"), (not_ready, "not ready")):
        axes.axhline(100 * level, color=FAINT, linewidth=1, linestyle=(0, (4, 3)))
        beside = axes.get_yaxis_transform()
        axes.text(1.01, 100 * level, name, transform=beside, color=INK, fontsize=9, va="center")
    _mark_steps(axes, [point.step for point in points])
    rates = [100 * point.rate for point in points]
    below = [100 * (point.rate - point.low) for point in points]
    above = [100 * (point.high - point.rate) for point in points]
    axes.errorbar(
        at, rates, yerr=[below, above], fmt="o", color=LINE, ecolor=BAND, elinewidth=4, markersize=6
    )
    axes.set(ylim=(-3, 103), xlim=(0.4, len(points) + 0.6), xlabel="session", ylabel="reps met, %")
    axes.xaxis.set_major_locator(MaxNLocator(integer=True))
    last = points[-1]
    return figure_svg(
        figure,
        title="Reps met in each session",
        description=f"{len(points)} sessions. The latest, at step {last.step}: "
        f"{last.met} of {last.reps} met, "
        f"{100 * last.rate:.0f} % (interval {100 * last.low:.0f} to {100 * last.high:.0f} %).",
    )


def hold_svg(observed: Curve, fitted: Curve, *, longest_asked_s: float, ask_s: float | None) -> str:
    """Plot how many reps hold at least so long: as observed (steps) and as fitted (line with band)."""
    figure, axes = bare_figure()
    axes.fill_between(
        fitted.t_s, [100 * v for v in fitted.low], [100 * v for v in fitted.high], color=BAND, lw=0
    )
    axes.plot(fitted.t_s, [100 * v for v in fitted.chance], color=LINE, linewidth=2)
    axes.step(observed.t_s, [100 * v for v in observed.chance], where="post", color=SECOND, linewidth=1.6)
    axes.axvline(longest_asked_s, color=FAINT, linewidth=1, linestyle=(0, (4, 3)))
    past_middle = longest_asked_s > max(fitted.t_s) / 2
    axes.annotate(
        "longest seen",
        (longest_asked_s, 0),
        color=INK,
        fontsize=9,
        xytext=(-3 if past_middle else 3, 4),
        textcoords="offset points",
        ha="right" if past_middle else "left",
    )
    if ask_s is not None:
        axes.plot([ask_s], [0], marker="^", color=INK, markersize=9, clip_on=False)
    axes.set(ylim=(0, 103), xlim=(0, max(fitted.t_s)), xlabel="hold, s", ylabel="reps that hold as long, %")
    said = "" if ask_s is None else f" The next ask is about {ask_s:.1f} s."
    return figure_svg(
        figure,
        title="How long the dog holds",
        description="Steps: as observed. Line with band: as fitted. "
        f"Held or asked up to {longest_asked_s:.1f} s.{said}",
    )


def bare_figure() -> "tuple[Figure, Axes]":
    """An empty plot in the house's look: drawn for a phone, no box, text in ink."""
    from matplotlib.figure import Figure

    figure = Figure(figsize=(WIDTH_IN, HEIGHT_IN), layout="constrained")
    axes = figure.add_subplot()
    axes.tick_params(colors=INK, labelsize=10)
    for side in ("top", "right"):
        axes.spines[side].set_visible(False)
    for side in ("left", "bottom"):
        axes.spines[side].set_color(FAINT)
    for axis in (axes.xaxis, axes.yaxis):
        axis.label.set_color(INK)
        axis.label.set_fontsize(11)
    return figure, axes


def _mark_steps(axes: "Axes", steps: Sequence[str]) -> None:
    """Draw a thin line where the step changed."""
    for index in range(1, len(steps)):
        if steps[index] != steps[index - 1]:
            axes.axvline(index + 0.5, color=FAINT, linewidth=1)
