"""``nares dog``: dogs on the record."""

from pathlib import Path

import click

from nares.cli import judging
from nares.cli.options import by_option, data_option


@click.group()
def dog() -> None:
    """Put dogs on the record and list them."""


for command in (
    judging.overrule,
    judging.withdraw,
    judging.overrulings,
    judging.signs,
    judging.signs_cleared,
):
    dog.add_command(command)


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


@dog.command("ration")
@click.argument("name")
@click.option("--grams", "ration_g", type=float, default=None, help="All food of the day, in grams.")
@click.option("--reward", "reward_g", type=float, default=None, help="One reward, in grams.")
@click.option("--bowl", "bowl_g", type=float, default=0.0, show_default=True, help="Of it, from the bowl.")
@click.option("--rewards", type=int, default=None, help="Rewards set apart, where they are counted.")
@click.option("--per-rep", "rewards_per_rep", type=int, default=1, show_default=True)
@click.option("--day", default=None, metavar="YYYY-MM-DD", help="Default: today.")
@click.option("--note", default="")
@by_option
@data_option
def ration(
    name: str,
    ration_g: float | None,
    reward_g: float | None,
    bowl_g: float,
    rewards: int | None,
    rewards_per_rep: int,
    day: str | None,
    note: str,
    by: str | None,
    data: Path,
) -> None:
    """Say what a dog is fed on a day, so that its sessions stay within it."""
    from nares.app import jobs
    from nares.app.deeds import SetRation
    from nares.app.desk import open_desk
    from nares.app.rationing import CAUTIONS

    with open_desk(data, person=by, found=False) as desk:
        asked = SetRation(name, desk.person, ration_g, reward_g, bowl_g, rewards, rewards_per_rep, day, note)
        click.echo(jobs.set_ration(desk, asked).said)
    for caution in CAUTIONS:
        click.echo(f"  {caution}")
