"""``nares cues``: what predicts pay for one dog, what it cannot tell apart, which reps would show it."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import click

from nares.cli.options import by_option, data_option, give, json_option


@click.command()
@click.argument("table", type=click.Path(path_type=Path), metavar="[REPS.csv]", required=False)
@click.option("--dog", required=True)
@click.option("--reps", type=int, default=None, help="How many reps to plan. Default: 8.")
@click.option(
    "--ban", "bans", multiple=True, metavar='"CUE CUE"', help="A combination not to be planned; repeatable."
)
@click.option("--about", "about", multiple=True, metavar="CUE", help="A cue to tell apart; repeatable.")
@click.option("--salience", type=float, default=None, help="Salience of every cue. Default: 0.1.")
@click.option("--place", type=float, default=None, help="Salience of the place itself. Default: 0.05.")
@click.option("--rate-unpaid", type=float, default=None, help="Rate on unpaid reps. Default: 1.")
@click.option(
    "--salience-of", "saliences", multiple=True, metavar="CUE=NUMBER", help="Salience of one cue; repeatable."
)
@data_option
@json_option
def cues(
    table: Path | None, dog: str, data: Path, json_to: str | None, saliences: tuple[str, ...], **said: Any
) -> None:
    """Say what predicts pay: of a rep table, or without one of the record."""
    from nares.app import jobs
    from nares.app.cues.cues_page import cues_answer, cues_table
    from nares.app.cues.values import AskCues
    from nares.app.desk import open_desk

    asked = AskCues(dog, saliences=_saliences(saliences), **said)
    if table is not None:
        page = cues_table(table, asked)
    else:
        with open_desk(data, found=False) as desk:
            page = jobs.cues_page(desk, asked)
    give(cues_answer(page), "\n".join(in_words(page)), json_to)


def _saliences(texts: tuple[str, ...]) -> dict[str, float]:
    said = {}
    for text in texts:
        cue, _, number = text.partition("=")
        try:
            said[cue] = float(number)
        except ValueError:
            raise click.UsageError(f"--salience-of {text!r} is not CUE=NUMBER, like hand=0.3.") from None
    return said


def in_words(page: Any) -> Iterator[str]:
    """Say the page in lines: the verdict, a line a cue, the next reps."""
    if page.verdict is None:
        yield f"{page.dog} has no confirmed rep yet."
        return
    reps = f"{page.reps} rep" if page.reps == 1 else f"{page.reps} reps"
    sessions = f"{page.sessions} session" if page.sessions == 1 else f"{page.sessions} sessions"
    yield f"{page.dog}, {reps} in {sessions}."
    yield from (f"  {said}" for said in page.verdict.says)
    yield "Pay with the cue, without it, the difference, strength by the rule (and its range):"
    for one in page.cues:
        overall = one.overall
        difference = "never tested" if overall.delta_p is None else f"{overall.delta_p:+.2f}"
        yield (
            f"  {one.cue}: {_share(overall.with_it)}, {_share(overall.without_it)}, {difference}, "
            f"{one.strength:.2f} ({one.strength_low:.2f} to {one.strength_high:.2f})"
        )
    yield from (f"  {note}" for note in page.notes)
    if page.next_reps is not None:
        yield f"Next reps, to tell {', '.join(page.next_reps.in_question)} apart:"
        for number, rep in enumerate(page.next_reps.reps, start=1):
            there = " ".join(rep.cues) or "none of them"
            yield f"  {number}. {there}: {'paid' if rep.paid else 'not paid'}"
    if page.next_fault:
        yield page.next_fault


def _share(paid: Any) -> str:
    return "never tested" if paid.rate is None else f"{paid.paid} of {paid.reps}"


@click.command("cue")
@click.argument("cue")
@click.option("--about", default="", help="What it is, in a sentence.")
@by_option
@data_option
def name_cue(cue: str, about: str, by: str | None, data: Path) -> None:
    """Give a cue of your own a name, to be ticked when a session is added."""
    from nares.app import jobs
    from nares.app.cues.values import NameCue
    from nares.app.desk import open_desk

    with open_desk(data, found=False) as desk:
        click.echo(jobs.name_cue(desk, NameCue(cue, about, by or "")).said)
