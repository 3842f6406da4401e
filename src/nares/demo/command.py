"""``nares demo``: the demo kennel, built, measured, decided and shown."""

import webbrowser
from datetime import UTC, datetime
from pathlib import Path
from threading import Timer

import click

from nares.app.pages import DogCard


@click.command()
@click.option("--port", type=click.IntRange(1, 65535), default=8431, show_default=True)
@click.option("--no-browser", is_flag=True, help="Do not open a browser.")
@click.option("--once", is_flag=True, help="Do everything but stay up.")
@click.option(
    "--data",
    type=click.Path(file_okay=False, path_type=Path),
    default=Path("nares-data"),
    envvar="NARES_DATA",
    show_default=True,
)
@click.pass_context
def demo(ctx: click.Context, port: int, no_browser: bool, once: bool, data: Path) -> None:
    """Build the demo kennel, measure its recording, decide, and show the pages."""
    from nares.app import jobs
    from nares.app.desk import open_desk
    from nares.demo.build import build
    from nares.demo.scenario import TRAINER

    with ctx.obj("Building the demo kennel") as progress:
        built = build(data, now=datetime.now(UTC), progress=progress)
    added = built.entries - built.entries_before
    click.echo(f"{built.kennel}: {built.entries} entries in {data}, {added} of them new.")
    with open_desk(data, person=TRAINER) as desk:
        page = jobs.session_page(desk, built.filmed)
        if page.reading is not None:
            marks, reps = len(page.reading.marks), len(page.reading.reps)
            waiting = page.line.to_confirm
            click.echo(
                f"Measured {page.line.session}: {marks} marks, {reps} reps, {waiting} wait for a person."
            )
        for card in jobs.today_page(desk).dogs:
            click.echo(in_a_line(card))
        click.echo(f"Head {jobs.today_page(desk).head}")
    if once:
        return
    if not no_browser:
        Timer(1.0, webbrowser.open, [f"http://127.0.0.1:{port}/"]).start()
    commands = ctx.find_root().command
    serve = commands.get_command(ctx, "serve") if isinstance(commands, click.Group) else None
    if serve is not None:
        ctx.invoke(serve, port=port, data=data, by=TRAINER)


def in_a_line(card: DogCard) -> str:
    """Say a dog's step and call in one line."""
    if card.call is None:
        return f"{card.name}: no call yet."
    found = card.call.evidence
    return (
        f"{card.name}, step {card.step_number} of {card.steps} ({card.call.step_name}): {card.call.call}. "
        f"{found.met} of {found.reps} met."
    )
