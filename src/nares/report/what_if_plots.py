"""Plots of other levels: how often a dog would be raised and how many reps that takes, by its true rate."""

from collections.abc import Sequence
from typing import Protocol

from nares.report.plots import bare_figure, mark_rates
from nares.report.svg import LINE, SECOND, figure_svg


class At(Protocol):
    """One true rate: what these levels do there, and what the programme's own do."""

    @property
    def rate(self) -> float:
        """True share of reps met."""

    @property
    def to_raise(self) -> float:
        """Chance to be raised."""

    @property
    def own_to_raise(self) -> float:
        """The same by the programme's own levels."""

    @property
    def reps(self) -> float:
        """Expected reps."""

    @property
    def own_reps(self) -> float:
        """The same by the programme's own levels."""


class Between(Protocol):
    """The two rates between which a step is judged."""

    @property
    def ready(self) -> float:
        """Share met by a dog that should be raised."""

    @property
    def not_ready(self) -> float:
        """Share met by a dog that must not be raised."""


def chances_svg(points: Sequence[At], levels: Between) -> str:
    """Plot the chance to be raised over the true rate: these levels as a line, the programme's own dashed."""
    then = [100 * at.to_raise for at in points]
    own = [100 * at.own_to_raise for at in points]
    said = _at(points, levels.not_ready, then), _at(points, levels.ready, then)
    return _drawn(
        points,
        levels,
        then,
        own,
        label="raised, %",
        top=103.0,
        title="How often a dog would be raised",
        description=f"Line: these levels. Dashed: the programme's own. At {levels.not_ready:.0%} met "
        f"{said[0]:.0f} in 100 are raised, at {levels.ready:.0%} {said[1]:.0f} in 100.",
    )


def reps_svg(points: Sequence[At], levels: Between) -> str:
    """Plot the reps needed over the true rate: these levels as a line, the programme's own dashed."""
    then = [at.reps for at in points]
    own = [at.own_reps for at in points]
    return _drawn(
        points,
        levels,
        then,
        own,
        label="reps until told",
        top=1.08 * max(*then, *own),
        title="How many reps it takes to tell",
        description=f"Line: these levels. Dashed: the programme's own. At {levels.not_ready:.0%} met "
        f"{_at(points, levels.not_ready, then):.1f} reps, at {levels.ready:.0%} "
        f"{_at(points, levels.ready, then):.1f}.",
    )


def _at(points: Sequence[At], rate: float, values: Sequence[float]) -> float:
    """The value at the point nearest to a rate."""
    return min(zip(points, values, strict=True), key=lambda one: abs(one[0].rate - rate))[1]


def _drawn(
    points: Sequence[At],
    levels: Between,
    then: Sequence[float],
    own: Sequence[float],
    *,
    label: str,
    top: float,
    title: str,
    description: str,
) -> str:
    figure, axes = bare_figure()
    rates = [100 * at.rate for at in points]
    mark_rates(axes, not_ready=levels.not_ready, ready=levels.ready)
    axes.plot(rates, own, color=SECOND, linewidth=1.6, linestyle=(0, (5, 3)))
    axes.plot(rates, then, color=LINE, linewidth=2.2)
    axes.set(ylim=(0, top), xlim=(rates[0], rates[-1]), xlabel="reps the dog really meets, %", ylabel=label)
    return figure_svg(figure, title=title, description=description)
