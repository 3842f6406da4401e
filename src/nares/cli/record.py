"""``nares record``: verify, read, amend, export and rebuild the record."""

import json
from pathlib import Path

import click

from nares.cli.options import by_option, data_option, give, json_option


@click.group()
def record() -> None:
    """Verify, amend, export and rebuild the record."""


@record.command("verify")
@click.argument("path", type=click.Path(path_type=Path), required=False, metavar="[PATH|EXPORT]")
@click.option(
    "--head", default=None, metavar="DIGEST", help="The head digest from paper; shows a cut-off end."
)
@data_option
@json_option
@click.pass_context
def verify(ctx: click.Context, path: Path | None, head: str | None, data: Path, json_to: str | None) -> None:
    """Recompute every digest and link; exit 1 and name the first bad entry when one does not hold."""
    from dataclasses import asdict

    from nares.app.answers import answer
    from nares.app.verifying import verify_at

    found = verify_at(path or data, head=head)
    said = [f"{found.entries} entries hold. Head {found.head}"] if found.holds else list(found.findings)
    give(answer("verify/1", asdict(found)), "\n".join([*said, *found.notes]), json_to)
    ctx.exit(0 if found.holds else 1)


@record.command("head")
@data_option
def head(data: Path) -> None:
    """Print the newest digest: write it down, it shows later that nothing was cut off."""
    from nares.app.desk import open_desk
    from nares.app.entries import head_of

    with open_desk(data, found=False) as desk:
        click.echo(head_of(desk))


@record.command("show")
@click.argument("entry", type=int)
@data_option
def show(entry: int, data: Path) -> None:
    """Print one whole entry as it was written."""
    from nares.app.desk import open_desk
    from nares.app.entries import entry_text

    with open_desk(data, found=False) as desk:
        click.echo(entry_text(desk, entry))


@record.command("clock-back")
@click.option("--why", required=True, help="Why the clock was ahead; it stays on the record.")
@by_option
@data_option
def clock_back(why: str, by: str | None, data: Path) -> None:
    """Say that this computer's clock had been ahead, so that writing goes on from the present time."""
    from nares.app import jobs
    from nares.app.deeds import SetClockBack
    from nares.app.desk import open_desk

    with open_desk(data, person=by, found=False) as desk:
        click.echo(jobs.set_clock_back(desk, SetClockBack(why, desk.person)).said)


@record.command("rebuild")
@data_option
def rebuild(data: Path) -> None:
    """Drop every table that follows from the entries and make it again."""
    from nares.app.desk import open_desk
    from nares.app.entries import rebuild as rebuild_record

    with open_desk(data, found=False) as desk:
        click.echo(rebuild_record(desk))


@record.command("export")
@click.argument("to", type=click.Path(path_type=Path), metavar="OUT.zip")
@click.option(
    "--leave-out-missing", is_flag=True, help="Export although files of recordings are gone; names them."
)
@data_option
def export(to: Path, leave_out_missing: bool, data: Path) -> None:
    """Write entries, recordings, the head digest and a verifier that needs only Python, as one bag."""
    from nares.app.desk import open_desk
    from nares.app.entries import export as export_record

    with open_desk(data, found=False) as desk:
        click.echo(export_record(desk, to, leave_out_missing=leave_out_missing))


@record.command("amend")
@click.argument("entry", type=int)
@click.argument("field", metavar="POINTER")
@click.argument("value")
@click.option("--why", required=True)
@by_option
@data_option
def amend(entry: int, field: str, value: str, why: str, by: str | None, data: Path) -> None:
    """Correct one value of an entry, for example: nares record amend 12 /reps/0/hold_s 2.4 --why "…".

    VALUE is JSON; what is not JSON is taken as text.
    """
    from nares.app import jobs
    from nares.app.deeds import Amend
    from nares.app.desk import open_desk

    try:
        new = json.loads(value)
    except json.JSONDecodeError:
        new = value
    with open_desk(data, person=by, found=False) as desk:
        click.echo(jobs.amend(desk, Amend(entry, field, new, why, desk.person)).said)
