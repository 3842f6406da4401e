"""``nares lineup list``, ``show`` and ``open``: line-ups on the record, without ever a sealed key."""

from pathlib import Path
from typing import TYPE_CHECKING

import click

from nares.cli.options import by_option, data_option, give, json_option

if TYPE_CHECKING:
    from nares.app.lineups.values import LineupLine, LineupPage, RunView


@click.command("list")
@json_option
@data_option
def listed(json_to: str | None, data: Path) -> None:
    """List the line-ups on the record, newest first, and how far each is."""
    from dataclasses import asdict

    from nares.app import jobs
    from nares.app.answers import answer
    from nares.app.desk import open_desk

    with open_desk(data, found=False) as desk:
        page = jobs.lineups_page(desk)
    text = "\n".join(map(_line, page.lines)) or "No line-up is on the record yet."
    give(answer("lineups/1", asdict(page)), text, json_to)


@click.command("show")
@click.argument("name")
@json_option
@data_option
def show(name: str, json_to: str | None, data: Path) -> None:
    """Show one line-up: how it was asked for, how far each run is; its key only once it is closed."""
    from dataclasses import asdict

    from nares.app import jobs
    from nares.app.answers import answer
    from nares.app.desk import open_desk

    with open_desk(data, found=False) as desk:
        page = jobs.lineup_page(desk, name)
    give(answer("lineup/1", asdict(page)), _whole(page), json_to)


@click.command("open")
@click.argument("name")
@click.option("--why", default="", help="Why it is closed early: runs that were not worked are void for it.")
@by_option
@data_option
def opened(name: str, why: str, by: str | None, data: Path) -> None:
    """Close a line-up: its whole key is opened and checked, and goes on the record."""
    from nares.app import jobs
    from nares.app.desk import open_desk
    from nares.app.lineups.requests import CloseLineup

    with open_desk(data, person=by, found=False) as desk:
        click.echo(jobs.close_lineup(desk, CloseLineup(name, desk.person, why=why)).said)


def _line(line: "LineupLine") -> str:
    state = "closed" if line.closed else "not closed"
    return (
        f"{line.lineup}: {line.dog}, {line.positions} positions at {line.place}, {line.opened} of "
        f"{line.runs} runs open, {line.void} void, {state}; sealed {line.sealed_at[:10]}"
    )


def _whole(page: "LineupPage") -> str:
    seats = [
        f"  {seat.role}: {seat.person}{'' if seat.taken_at else ', not there yet'}" for seat in page.seats
    ]
    closed = f"Closed {page.closed_at}." if page.closed_at else "Not closed: its key is sealed."
    holds = {True: "The key is the one that was sealed.", False: "The key is NOT the one that was sealed."}
    return "\n".join(
        [
            f"{page.lineup}: {page.dog} at {page.area.place}, sealed {page.sealed_at} by {page.sealed_by}.",
            f"Commitment {page.commitment}",
            *seats,
            *map(_run, page.runs),
            *(f"  {finding}" for finding in page.findings),
            closed,
            *([holds[page.holds]] if page.holds is not None else []),
        ]
    )


def _run(run: "RunView") -> str:
    said = [f"Run {run.run}: {run.state}"]
    if run.called is not None:
        said.append(
            "clear called" if run.called.position is None else f"position {run.called.position} called"
        )
    if run.placed:
        targets = [str(one.position) for one in run.placed if one.holds == "target"]
        said.append(f"target at {', '.join(targets)}" if targets else "no target")
    if run.right is not None:
        said.append("right" if run.right else "not right")
    if run.blinding is not None:
        said.append({"known": "known", "single": "single-blind", "double": "double-blind"}[run.blinding])
    elif run.called is not None:
        said.append("how blind cannot be said")
    if run.void:
        said.append(f"void: {run.void}")
    return ", ".join(said)
