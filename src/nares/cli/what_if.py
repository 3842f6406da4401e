"""``nares what-if``: reps needed, risks, today's call and the ask by other levels; nothing is kept."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import click

from nares.cli.options import data_option, give, json_option


@click.command("what-if")
@click.option("--dog", required=True)
@click.option("--ready", type=float, default=None, help="Share met by a dog that should be raised, 0 to 1.")
@click.option("--not-ready", type=float, default=None, help="Share met by a dog that must not be.")
@click.option("--false-raise", type=float, default=None, help="Accepted chance to raise that one.")
@click.option("--missed-raise", type=float, default=None, help="Accepted chance not to raise the other.")
@click.option("--cap", type=int, default=None, help="Reps after which a run ends undecided.")
@click.option("--chance", type=float, default=None, help="Chance of success the ask aims at.")
@data_option
@json_option
def what_if(dog: str, data: Path, json_to: str | None, **levels: Any) -> None:
    """Say what other levels would mean for a dog at its step. Default: the programme's own."""
    from nares.app import jobs
    from nares.app.deeds import WhatIf
    from nares.app.desk import open_desk
    from nares.app.what_if import what_if_answer

    with open_desk(data, found=False) as desk:
        page = jobs.what_if_page(desk, WhatIf(dog, **levels))
    give(what_if_answer(page), "\n".join(in_words(page)), json_to)


def in_words(page: Any) -> Iterator[str]:
    """Say the page in a few lines."""
    levels, ladder = page.levels, page.ladder
    yield (
        f"{page.dog} at {page.step_name}: ready {levels.ready:.0%}, not ready {levels.not_ready:.0%}, false "
        f"raise {levels.false_raise:.0%}, missed raise {levels.missed_raise:.0%}, cap {levels.cap} reps."
    )
    yield from page.said
    if ladder.raises:
        yield (
            f"Over the {ladder.raises} raises of the programme {ladder.over:.0%} of dogs never ready are "
            f"raised too soon at least once; {ladder.each:.1%} a raise would keep it to {ladder.kept_to:.0%}."
        )
    yield f"Raised at {_counts(page.raise_at)}. Eased at {_counts(page.ease_at[:8])}."
    own = f" (by the programme: {page.own_call.call})" if page.changed else ""
    yield f"Today, on {page.counted_met} of {page.counted} met: {page.then.call}{own}."
    if page.ask is not None:
        most = "no upper limit" if page.ask.high_s is None else f"{page.ask.high_s:.1f}"
        yield (
            f"Ask at a chance of {levels.chance:.0%}: {page.ask.ask_s:.1f} s "
            f"({page.ask.low_s:.1f} to {most}), longest hold {page.ask.longest_s:.1f} s."
        )
    yield "Nothing was kept."


def _counts(counts: Any) -> str:
    return ", ".join(f"{met} of {reps}" for met, reps in counts) or "no count within the cap"
