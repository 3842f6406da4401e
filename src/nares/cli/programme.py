"""``nares programme``: show and check a training programme."""

from pathlib import Path

import click


@click.group()
def programme() -> None:
    """Show and check a training programme."""


@programme.command("show")
def show() -> None:
    """Write the shipped programme out: copy it to a file and edit it."""
    from nares.app.deciding import shipped_programme_text

    click.echo(shipped_programme_text(), nl=False)


@programme.command("check")
@click.argument("file", type=click.Path(path_type=Path))
@click.pass_context
def check(ctx: click.Context, file: Path) -> None:
    """Name every fault: a step that raises two criteria at once, a missing field, a name used twice."""
    from nares.app.deciding import programme_faults

    faults = programme_faults(file)
    for fault in faults:
        click.echo(str(fault))
    if not faults:
        click.echo("No faults: each step raises one criterion.")
    ctx.exit(1 if faults else 0)
