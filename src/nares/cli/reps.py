"""``nares reps``: rep tables in and out."""

from pathlib import Path

import click

from nares.cli.options import by_option, data_option
from nares.cli.sheet import import_sheet


@click.group()
def reps() -> None:
    """Bring rep tables in and write them out."""


reps.add_command(import_sheet)


@reps.command("import")
@click.argument("table", type=click.Path(path_type=Path), metavar="REPS.csv")
@click.option("--add-dogs", is_flag=True, help="Put dogs on the record that are not there yet.")
@by_option
@data_option
def import_table(table: Path, add_dogs: bool, by: str | None, data: Path) -> None:
    """Bring a rep table into the record: all of it, or nothing with every fault named."""
    from nares.app import jobs
    from nares.app.deeds import ImportReps
    from nares.app.desk import open_desk

    with open_desk(data, person=by) as desk:
        click.echo(jobs.import_reps(desk, ImportReps(table, desk.person, add_dogs)).said)


@reps.command("export")
@click.argument("to", type=click.Path(path_type=Path, allow_dash=True), default="-", metavar="[FILE|-]")
@click.option("--dog", default=None, help="Only this dog.")
@data_option
def export(to: Path, dog: str | None, data: Path) -> None:
    """Write the confirmed reps as a rep table, oldest first."""
    from nares.app import jobs
    from nares.app.desk import open_desk
    from nares.app.files import write_text

    with open_desk(data, found=False) as desk:
        text = jobs.reps_table(desk, dog)
    if str(to) == "-":
        click.echo(text, nl=False)
    else:
        write_text(to, text)
        click.echo(f"{text.count(chr(10)) - 1} reps written to {to}.")
