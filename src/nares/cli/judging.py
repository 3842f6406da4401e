"""Decisions against a call, and signs of stress: commands of ``nares dog``."""

from pathlib import Path

import click

from nares.cli.options import by_option, data_option, give, json_option


@click.command("overrule")
@click.argument("name")
@click.argument("call", type=click.Choice(["raise", "stay", "ease", "stop"]))
@click.option("--why", required=True, help="The reason; it stays beside the call.")
@click.option("--step", "next_step", default="", help="Where to go on. Default: where the call leads.")
@by_option
@data_option
def overrule(name: str, call: str, why: str, next_step: str, by: str | None, data: Path) -> None:
    """Decide otherwise than the newest call for a dog; the call stays on the record."""
    from nares.app import jobs
    from nares.app.deeds import OverruleCall
    from nares.app.desk import open_desk

    with open_desk(data, person=by, found=False) as desk:
        asked = OverruleCall(name, call, why, desk.person, next_step)
        click.echo(jobs.overrule_call(desk, asked).said)


@click.command("withdraw-overruling")
@click.argument("name")
@click.option("--why", required=True)
@by_option
@data_option
def withdraw(name: str, why: str, by: str | None, data: Path) -> None:
    """Take an overruling back in the open; the call counts again."""
    from nares.app import jobs
    from nares.app.deeds import WithdrawOverruling
    from nares.app.desk import open_desk

    with open_desk(data, person=by, found=False) as desk:
        click.echo(jobs.withdraw_overruling(desk, WithdrawOverruling(name, why, desk.person)).said)


@click.command("overrulings")
@click.argument("name", required=False, default="")
@json_option
@data_option
def overrulings(name: str, json_to: str | None, data: Path) -> None:
    """List decisions against a call and what came of them, of one dog or of all."""
    from dataclasses import asdict

    from nares.app import jobs
    from nares.app.answers import answer
    from nares.app.desk import open_desk

    with open_desk(data, found=False) as desk:
        page = jobs.overrulings_page(desk, dog=name)
    lines = [
        f"{line.at[:10]} {line.dog} at {line.step_name}: {line.decided} instead of {line.advised} "
        f"({line.by}: {line.why}). {line.outcome}. {line.came}"
        for line in page.lines
    ]
    lines += [f"{tally.person}: {tally.said}" for tally in page.tallies]
    give(
        answer("overrulings/1", asdict(page)), "\n".join(lines) or "Nobody has overruled a call yet.", json_to
    )


@click.command("signs")
@click.argument("name")
@click.option("--sign", "signs", multiple=True, help="What was seen, by key; again for a second one.")
@click.option("--session", default="", help="The session it was seen in.")
@click.option("--rep", type=int, default=None)
@click.option("--latency", default="", help="How long the dog took to go in, in words.")
@click.option("--note", default="")
@by_option
@data_option
def signs(
    name: str,
    signs: tuple[str, ...],
    session: str,
    rep: int | None,
    latency: str,
    note: str,
    by: str | None,
    data: Path,
) -> None:
    """Write down signs of stress; without --sign, say what stands and list every sign."""
    from nares.app import jobs
    from nares.app.deeds import NoteSigns
    from nares.app.desk import open_desk

    with open_desk(data, person=by, found=False) as desk:
        if signs:
            asked = NoteSigns(name, signs, desk.person, session, rep, latency, note)
            click.echo(jobs.note_signs(desk, asked).said)
            return
        page = jobs.signs_page(desk, name)
    stands = page.standing.because or (f"No signs of {page.dog} stand.",)
    listed = [f"  {sign.key:<14} level {sign.level}  {sign.name}" for sign in page.choices]
    click.echo("\n".join([*stands, "Signs that can be written down with --sign:", *listed]))


@click.command("signs-cleared")
@click.argument("name")
@click.option("--why", required=True, help="What was looked at, and what was found.")
@click.option("--vet", is_flag=True, help="A vet saw the dog.")
@by_option
@data_option
def signs_cleared(name: str, why: str, vet: bool, by: str | None, data: Path) -> None:
    """Say that the signs that stand were looked into."""
    from nares.app import jobs
    from nares.app.deeds import ClearSigns
    from nares.app.desk import open_desk

    with open_desk(data, person=by, found=False) as desk:
        click.echo(jobs.clear_signs(desk, ClearSigns(name, why, desk.person, vet)).said)
