"""``nares lineup check``: whether a key gives the commitment that was given out before."""

from pathlib import Path

import click

from nares.cli.options import give, json_option


@click.command()
@click.argument("key", type=click.Path(path_type=Path), metavar="KEY.json")
@click.argument("commitment")
@click.option("--run", type=int, default=None, help="Check one run against its own commitment.")
@json_option
@click.pass_context
def check(ctx: click.Context, key: Path, commitment: str, run: int | None, json_to: str | None) -> None:
    """Check a key against its commitment: exit 0 if it is the key that was sealed, 1 if not."""
    from nares.app.lineups.files import check_file, checked_answer

    checked = check_file(key, commitment, run=run)
    what = "The key" if run is None else f"Run {run}"
    if checked.holds:
        said = f"{what} is the one that was sealed."
    else:
        said = f"{what} is not the one that was sealed: it gives {checked.commitment}."
    for finding in checked.findings:
        click.echo(finding, err=True)
    if checked.follows:
        click.echo("It is what its seed gives: no place in it was chosen by hand.", err=True)
    give(checked_answer(checked), said, json_to)
    ctx.exit(0 if checked.holds else 1)
