"""``nares agreement``: two readings of one recording set side by side."""

from pathlib import Path
from typing import Any

import click

from nares.cli.options import give, json_option


@click.command()
@click.argument("first", type=click.Path(path_type=Path), metavar="A.json")
@click.argument("second", type=click.Path(path_type=Path), metavar="B.json")
@json_option
def agreement(first: Path, second: Path, json_to: str | None) -> None:
    """Say how far two measure/1 files of one recording agree. Neither counts as the truth."""
    from nares.app.comparing import agreement_answer, compare_files

    found = compare_files(first, second)
    give(agreement_answer(found), in_words(found), json_to)


def in_words(found: Any) -> str:
    """Say an agreement in a short table; differences are second minus first."""
    lines = [
        f"{found.second} against {found.first}, {found.duration_s:.1f} s. Differences: second minus first.",
        "",
        " event      first second  both   F1 20 ms   F1 50 ms   mean difference and limits",
    ]
    for event in found.events:
        within = "   ".join(f"{one.f1:8.2f}" for one in event.within)
        said = f" {event.event:<10} {event.first:5d} {event.second:6d} {event.paired:5d}   {within}"
        lines.append(f"{said}   {_limits(event.timing)}")
    for value in found.values:
        if value.timing is not None:
            icc = value.correlation.value if value.correlation else None
            said = "cannot be said" if icc is None else f"{icc:.2f}"
            lines.append(f" {value.value}: {value.reps} reps, {_limits(value.timing)}, ICC(2,1) {said}")
    for frame in found.frames:
        kappa = "cannot be said" if frame.kappa.value is None else f"{frame.kappa.value:.2f}"
        lines.append(
            f" {frame.lane}, frame by frame: {100 * frame.kappa.agreement:.0f} % alike, kappa {kappa}, "
            f"adjusted {frame.kappa.adjusted:.2f}"
        )
    lines += [_lone(found, by) for by in (1, 2)]
    lines += [f"Note: {note}" for note in found.missing]
    return "\n".join(lines)


def _limits(of: Any) -> str:
    if of is None:
        return "under two pairs"
    return f"{_ms(of.bias.value)} ({_ms(of.lower.value)} to {_ms(of.upper.value)} ms)"


def _ms(value_s: float) -> str:
    return f"{round(1000 * value_s)}"


def _lone(found: Any, by: int) -> str:
    name = found.first if by == 1 else found.second
    alone = [f"{one.event} {one.at_s:.2f}" for one in found.alone if one.by == by]
    more = f" and {len(alone) - 12} more" if len(alone) > 12 else ""
    return f"Only {name}: {', '.join(alone[:12]) or 'nothing'}{more}"
