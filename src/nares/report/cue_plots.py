"""How the strength of each cue moved over the sessions, by the rule of Rescorla and Wagner, drawn.

At most `MOST_DRAWN` cues, the target and the strongest others, told apart by line and by a name at the end of
each line; the table on the page holds all of them.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from nares.report.plots import bare_figure
from nares.report.svg import FAINT, INK, LINE, SECOND, figure_svg

MOST_DRAWN = 5
NAMES_APART = 0.075
"""Names at the ends of lines are kept this far from each other. [strength]"""

_WAYS: tuple[tuple[str, str | tuple[int, tuple[float, ...]]], ...] = (
    (LINE, "solid"),
    (SECOND, "solid"),
    (INK, (0, (5, 2))),
    (SECOND, (0, (1, 1.5))),
    (LINE, (0, (5, 1, 1, 1))),
)


@dataclass(frozen=True, slots=True)
class CueLine:
    """The strength of one cue after each session; ``first`` and ``apart``: counted from 1, None: never."""

    name: str
    after: Sequence[float]
    first: int
    apart: int | None


def strengths_svg(lines: Sequence[CueLine], sessions: Sequence[str]) -> str:
    """Plot strengths over sessions.

    Args:
        lines: The target first; those beyond `MOST_DRAWN` are left to the table.
        sessions: Names in order; at least one.
    """
    from matplotlib.ticker import MaxNLocator

    figure, axes = bare_figure()
    at = range(1, len(sessions) + 1)
    axes.axhline(0, color=FAINT, linewidth=1)
    drawn = lines[:MOST_DRAWN]
    heights = _spread([line.after[-1] for line in drawn])
    for line, height, (color, way) in zip(drawn, heights, _WAYS, strict=False):
        axes.plot(at, line.after, color=color, linestyle=way, linewidth=2, marker=".", markersize=3)
        axes.plot([line.first], [line.after[line.first - 1]], "o", color=color, markersize=6, clip_on=False)
        if line.apart is not None:
            height_there = line.after[line.apart - 1]
            axes.plot([line.apart], [height_there], "^", color=color, markersize=9, clip_on=False)
        beside = axes.get_yaxis_transform()
        axes.text(1.01, height, line.name, transform=beside, color=color, fontsize=9, va="center")
    low = min(-0.05, *(min(line.after) for line in drawn))
    axes.set(
        ylim=(low - 0.03, max(1.05, *(max(line.after) for line in drawn))),
        xlim=(0.6, max(len(sessions), 2) + 0.4),
        xlabel="session",
        ylabel="strength",
    )
    axes.xaxis.set_major_locator(MaxNLocator(integer=True))
    return figure_svg(figure, title="Strength of each cue", description=_said(lines, len(sessions)))


def _spread(heights: Sequence[float]) -> list[float]:
    """Heights for the names at the ends of the lines, moved up where they would lie on each other."""
    moved, last = dict[int, float](), float("-inf")
    for place in sorted(range(len(heights)), key=lambda one: heights[one]):
        last = max(heights[place], last + NAMES_APART)
        moved[place] = last
    return [moved[place] for place in range(len(heights))]


def _said(lines: Sequence[CueLine], sessions: int) -> str:
    told = [f"After {sessions} {'session' if sessions == 1 else 'sessions'}, by the rule:"]
    for line in lines[:MOST_DRAWN]:
        apart = "never tested apart" if line.apart is None else f"first tested apart in session {line.apart}"
        told.append(f"{line.name} {line.after[-1]:.2f} ({apart}).")
    return " ".join(told)
