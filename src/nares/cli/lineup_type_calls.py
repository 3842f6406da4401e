"""``nares lineup type-calls``: calls written on paper go on the record, with the times of the paper."""

from pathlib import Path

import click

from nares.cli.options import by_option, data_option


@click.command("type-calls")
@click.argument("name")
@click.argument("calls", type=click.Path(path_type=Path), metavar="CALLS.csv")
@click.option("--why", default="", help="Why they were on paper.")
@by_option
@data_option
def type_calls(name: str, calls: Path, why: str, by: str | None, data: Path) -> None:
    """Type in calls from paper. CALLS: run, position (empty: clear), called_by, called_at."""
    from nares.app import jobs
    from nares.app.desk import open_desk
    from nares.app.lineups.requests import TypeCalls
    from nares.app.lineups.typing_calls import calls_in

    with open_desk(data, person=by, found=False) as desk:
        asked = TypeCalls(name, desk.person, calls_in(desk, name, calls), why)
        click.echo(jobs.type_calls(desk, asked).said)
