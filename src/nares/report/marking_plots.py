"""How a person marks, drawn: delays in order with what a reaction allows, and marks round the sniff.

Phases run from 0 to 1 once round, from the beginning of an intake at the top, clockwise.
"""

from collections.abc import Sequence
from math import cos, pi, sin

from nares.report.plots import bare_figure
from nares.report.svg import BAND, FAINT, INK, LINE, SECOND, figure_svg

BINS = 12
"""Parts the sniff is divided into for counting. [count]"""
INNER = 0.55
"""Where the counts begin, as a part of the circle's radius. [-]"""


def delays_svg(delays_s: Sequence[float], *, what: str, bands_s: Sequence[float], median_s: float) -> str:
    """Plot the share of marks that came within each time, every mark a step.

    Args:
        delays_s: At least one delay; negative before what they are counted from. [s]
        what: From when, in words, such as "after nose-in".
        bands_s: Ends of what a reaction allows: noticing, a simple reaction, an ordinary one; or none. [s]
        median_s: The median. [s]
    """
    figure, axes = bare_figure()
    ordered = sorted(delays_s)
    low, high = min(ordered[0], 0.0), max(ordered[-1], *bands_s, 0.1)
    room = 0.05 * (high - low)
    if bands_s:
        axes.axvspan(low - room, bands_s[0], color=BAND, lw=0)
    for edge_s in bands_s:
        axes.axvline(edge_s, color=FAINT, linewidth=1, linestyle=(0, (4, 3)))
    axes.axvline(0, color=INK, linewidth=1)
    shares = [100 * (place + 1) / len(ordered) for place in range(len(ordered))]
    axes.step([low - room, *ordered, high + room], [0, *shares, 100], where="post", color=LINE, linewidth=2)
    axes.plot([median_s], [50], marker="D", color=INK, markersize=7)
    axes.set(
        ylim=(0, 103), xlim=(low - room, high + room), xlabel=f"mark {what}, s", ylabel="marks so far, %"
    )
    early = sum(at < bands_s[0] for at in ordered) if bands_s else 0
    said = f" {early} came too soon to be a reaction." if bands_s else ""
    return figure_svg(
        figure,
        title=f"How soon marks fall {what}",
        description=f"{len(ordered)} marks, median {median_s:.2f} s, from {ordered[0]:.2f} to "
        f"{ordered[-1]:.2f} s.{said}",
    )


def phases_svg(
    phases: Sequence[float], *, mean: float | None, length: float, low: float | None, high: float | None
) -> str:
    """Plot where in the sniff marks fall: a dot a mark, a bar a twelfth, the mean a hand with its interval.

    Args:
        phases: From 0 to 1 once round; at least one.
        mean: Mean phase, None without one.
        length: Resultant length, 0 to 1: how long the hand is.
        low: Where the interval of the mean begins; None without one.
        high: Where it ends.
    """
    figure, axes = bare_figure()
    axes.set_axis_off()
    axes.set_aspect("equal")
    counts = [sum(int(phase * BINS) % BINS == place for phase in phases) for place in range(BINS)]
    for place, count in enumerate(counts):
        if count:
            out = INNER + (1 - INNER) * count / max(counts)
            axes.fill(*_wedge(place / BINS, (place + 1) / BINS, INNER, out), color=BAND, lw=0)
    for radius in (INNER, 1.0):
        axes.plot(*_arc(0.0, 1.0, radius), color=FAINT, linewidth=1)
    dots = [_at(phase, 1.06) for phase in phases]
    axes.plot([x for x, _ in dots], [y for _, y in dots], "o", color=INK, markersize=3, linestyle="none")
    if mean is not None:
        x, y = _at(mean, INNER * length)
        axes.plot([0, x], [0, y], color=LINE, linewidth=3)
        axes.plot([x], [y], "o", color=LINE, markersize=6)
    if low is not None and high is not None:
        axes.plot(*_arc(low, high if high > low else high + 1, INNER), color=SECOND, linewidth=4)
    for phase, name, side in ((0.0, "intake begins", "center"), (0.5, "half a sniff on", "center")):
        x, y = _at(phase, 1.22)
        axes.text(x, y, name, ha=side, va="center", color=INK, fontsize=10)
    axes.set(xlim=(-1.7, 1.7), ylim=(-1.32, 1.32))
    where = "No mean." if mean is None else f"Mean at {mean:.2f} of the sniff, length {length:.2f}."
    return figure_svg(
        figure,
        title="Where in the sniff marks fall",
        description=f"{len(phases)} marks, once round from the beginning of an intake. {where}",
    )


def _at(phase: float, radius: float) -> tuple[float, float]:
    return radius * sin(2 * pi * phase), radius * cos(2 * pi * phase)


def _arc(start: float, end: float, radius: float) -> tuple[list[float], list[float]]:
    points = [_at(start + (end - start) * k / 60, radius) for k in range(61)]
    return [x for x, _ in points], [y for _, y in points]


def _wedge(start: float, end: float, inner: float, outer: float) -> tuple[list[float], list[float]]:
    out, back = _arc(start, end, outer), _arc(end, start, inner)
    return [*out[0], *back[0]], [*out[1], *back[1]]
