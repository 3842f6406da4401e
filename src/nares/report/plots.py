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
    """Plot how many reps hold at least so long: as observed (steps) and as fitted (line with band).

    Beyond the longest hold seen the line is broken and its band empty: nothing was seen there.
    """
    figure, axes = bare_figure()
    seen, beyond = _parted(fitted, longest_asked_s)
    axes.fill_between(seen.t_s, _percent(seen.low), _percent(seen.high), color=BAND, lw=0)
    axes.plot(seen.t_s, _percent(seen.chance), color=LINE, linewidth=2)
    axes.step(observed.t_s, _percent(observed.chance), where="post", color=SECOND, linewidth=1.6)
    axes.axvline(longest_asked_s, color=FAINT, linewidth=1, linestyle=(0, (4, 3)))
    if beyond.t_s:
        axes.plot(beyond.t_s, _percent(beyond.chance), color=LINE, linewidth=2, linestyle=(0, (3, 2)))
        for edge in (beyond.low, beyond.high):
            axes.plot(beyond.t_s, _percent(edge), color=LINE, linewidth=0.8, linestyle=(0, (1, 2)))
    _say_where(axes, longest_asked_s, max(fitted.t_s), beyond=bool(beyond.t_s))
    if ask_s is not None:
        axes.plot([ask_s], [0], marker="^", color=INK, markersize=9, clip_on=False)
    axes.set(ylim=(0, 103), xlim=(0, max(fitted.t_s)), xlabel="hold, s", ylabel="reps that hold as long, %")
    said = "" if ask_s is None else f" The next ask is about {ask_s:.1f} s."
    return figure_svg(
        figure,
        title="How long the dog holds",
        description="Steps: as observed. Line with band: as fitted. "
        f"Held or asked up to {longest_asked_s:.1f} s; beyond, broken lines: not seen, worked out from the "
        f"shape.{said}",
    )


def _parted(curve: Curve, at_s: float) -> tuple[Curve, Curve]:
    """A curve up to a time and from it on; the point at that time, worked out, is in both."""
    last = max(curve.t_s)
    if at_s >= last:
        return curve, Curve([], [], [], [])
    before = [n for n, t_s in enumerate(curve.t_s) if t_s < at_s]
    after = [n for n, t_s in enumerate(curve.t_s) if t_s > at_s]
    at = [_between(curve.t_s, values, at_s) for values in (curve.chance, curve.low, curve.high)]
    columns = (curve.t_s, curve.chance, curve.low, curve.high)
    joint = (at_s, *at)
    return (
        Curve(*([*(values[n] for n in before), one] for values, one in zip(columns, joint, strict=True))),
        Curve(*([one, *(values[n] for n in after)] for values, one in zip(columns, joint, strict=True))),
    )


def _between(times_s: Sequence[float], values: Sequence[float], at_s: float) -> float:
    """The value at a time on straight lines between points; at an end, the end's."""
    for left in range(len(times_s) - 1):
        if times_s[left] <= at_s <= times_s[left + 1]:
            part = (at_s - times_s[left]) / ((times_s[left + 1] - times_s[left]) or 1.0)
            return values[left] + part * (values[left + 1] - values[left])
    return values[0] if at_s < times_s[0] else values[-1]


def _percent(shares: Sequence[float]) -> list[float]:
    return [100 * share for share in shares]


def _say_where(axes: "Axes", longest_s: float, last_s: float, *, beyond: bool) -> None:
    """Name the line of the longest hold, and what lies beyond it where there is room for words."""
    past_middle = longest_s > last_s / 2
    _beside(axes, "longest seen", longest_s, 4, left_of=past_middle)
    if beyond and (past_middle or longest_s < 0.4 * last_s):
        _beside(axes, "not seen", longest_s, 20 if not past_middle else 4, left_of=False)


def _beside(axes: "Axes", text: str, at_s: float, up: int, *, left_of: bool) -> None:
    axes.annotate(
        text,
        (at_s, 0),
        color=INK,
        fontsize=9,
        xytext=(-3 if left_of else 3, up),
        textcoords="offset points",
        ha="right" if left_of else "left",
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


def mark_rates(axes: "Axes", *, not_ready: float, ready: float) -> None:
    """Draw the two rates a step is judged between upright, on an axis of true rates in per cent."""
    for level, name in ((not_ready, "not ready"), (ready, "ready")):
        axes.axvline(100 * level, color=FAINT, linewidth=1, linestyle=(0, (4, 3)))
        above = axes.get_xaxis_transform()
        axes.text(100 * level, 1.02, name, transform=above, color=INK, fontsize=9, ha="center")


def _mark_steps(axes: "Axes", steps: Sequence[str]) -> None:
    """Draw a thin line where the step changed."""
    for index in range(1, len(steps)):
        if steps[index] != steps[index - 1]:
            axes.axvline(index + 0.5, color=FAINT, linewidth=1)
