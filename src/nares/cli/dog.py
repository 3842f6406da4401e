"""``nares dog``: dogs on the record."""

from pathlib import Path

import click

from nares.cli.options import by_option, data_option


@click.group()
def dog() -> None:
    """Put dogs on the record and list them."""


@dog.command("add")
@click.argument("name")
@click.option("--breed", required=True)
@click.option("--born", default=None, metavar="YYYY-MM-DD")
@click.option("--sex", type=click.Choice(["male", "female"]), default=None)
@click.option("--programme", default="box", show_default=True)
@click.option("--note", default="")
@by_option
@data_option
def add(
    name: str,
    breed: str,
    born: str | None,
    sex: str | None,
    programme: str,
    note: str,
    by: str | None,
    data: Path,
) -> None:
    """Put a dog on the record."""
    from nares.app import jobs
    from nares.app.deeds import AddDog
    from nares.app.desk import open_desk

    with open_desk(data, person=by) as desk:
        click.echo(jobs.add_dog(desk, AddDog(name, breed, born, sex, programme, note, by=desk.person)).said)


@dog.command("list")
@data_option
def list_dogs(data: Path) -> None:
    """List the dogs with their step and call."""
    from nares.app import jobs
    from nares.app.desk import has_record, open_desk

    if not has_record(data):  # a misspelt folder must not become a new record
        click.echo(f"There is no record in {data} yet. Begin one: nares dog add NAME --breed BREED")
        return
    with open_desk(data) as desk:
        cards = jobs.today_page(desk).dogs
        if not cards:
            click.echo("No dogs yet. Put one on the record: nares dog add NAME --breed BREED")
        for card in cards:
            call = "no call yet" if card.call is None else f"{card.call.call} at {card.call.step_name}"
            click.echo(f"{card.name} ({card.breed}): step {card.step_number} of {card.steps}, {call}")
