"""``nares card``: the next session of one dog, to read, to print, to take along."""

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from nares.cli.options import by_option, data_option, give, json_option

if TYPE_CHECKING:
    from nares.app.card_values import HandlerCard, SessionCard


@click.command()
@click.argument("dog", required=False)
@click.option("--dog", "named", default=None, help="The dog, where a rep table is given.")
@click.option(
    "--reps", type=click.Path(path_type=Path), default=None, help="From a rep table alone, without a record."
)
@click.option("--programme", type=click.Path(path_type=Path), default=None, help="With --reps.")
@click.option("--pdf", type=click.Path(path_type=Path), default=None, metavar="FILE", help="Print to a PDF.")
@click.option("--paper", type=click.Choice(["a4", "letter"]), default="a4", show_default=True)
@click.option("--take", is_flag=True, help="Put the card on the record before the session.")
@click.option("--handler", is_flag=True, help="What the handler may know: no places, no blanks.")
@json_option
@by_option
@data_option
def card(
    dog: str | None,
    named: str | None,
    reps: Path | None,
    programme: Path | None,
    pdf: Path | None,
    paper: str,
    take: bool,
    handler: bool,
    json_to: str | None,
    by: str | None,
    data: Path,
) -> None:
    """Say the next session of a dog rep by rep: what to ask, where, and when to stop."""
    dog = dog or named
    if dog is None:
        raise click.UsageError("Name the dog: nares card DOG, or nares card --reps FILE --dog NAME.")
    if reps is not None and (take or handler):
        raise click.UsageError("A card from a rep table is not on a record. Leave out --take and --handler.")
    if handler and (take or pdf):
        raise click.UsageError("The handler's card is not taken and not printed. Leave out --take and --pdf.")
    if reps is not None:
        _from_table(reps, dog, programme, pdf, paper, json_to)
    else:
        _from_record(dog, data, by, pdf, paper, json_to, take=take, handler=handler)


def _from_table(
    reps: Path, dog: str, programme: Path | None, pdf: Path | None, paper: str, json_to: str | None
) -> None:
    from nares.app import carding
    from nares.app.desk import local_now

    _give(carding.card_of_table(reps, dog=dog, programme=programme, now=local_now()), pdf, paper, json_to)


def _from_record(
    dog: str,
    data: Path,
    by: str | None,
    pdf: Path | None,
    paper: str,
    json_to: str | None,
    *,
    take: bool,
    handler: bool,
) -> None:
    from nares.app import carding, jobs
    from nares.app.deeds import TakeCard
    from nares.app.desk import open_desk

    with open_desk(data, person=by, found=False) as desk:
        if handler:
            page = jobs.handler_page(desk, dog)
            give(carding.handler_answer(page), _handler_said(page), json_to)
            return
        if take:
            click.echo(jobs.take_card(desk, TakeCard(dog, desk.person)).said, err=True)
        _give(jobs.card_page(desk, dog), pdf, paper, json_to)


def _give(page: "SessionCard", pdf: Path | None, paper: str, json_to: str | None) -> None:
    from nares.app import carding
    from nares.app.files import write_bytes

    if pdf is not None:
        write_bytes(pdf, carding.card_as_pdf(page, paper=paper))
        click.echo(f"Printed to {pdf}.", err=True)
    give(carding.card_answer(page), _said(page), json_to)


def _said(page: "SessionCard") -> str:
    taken = f"Taken by {page.taken.by}, entry {page.taken.entry}." if page.taken else "Not taken yet."
    return "\n".join(
        [
            f"{page.dog} at {page.step_name}, {page.day}. {taken}",
            f"  {_conditions(page)}",
            *(f"  {note}" for note in (*page.warnings, *page.notes)),
            *([f"  {page.missing}"] if page.missing else ()),
            *(_rep_said(rep) for rep in page.reps),
            "When to stop:",
            *(f"  {rule.about}. {rule.says}" for rule in page.stops),
        ]
    )


def _rep_said(rep: Any) -> str:
    ask = "   —" if rep.ask_s is None else f"{rep.ask_s:4.1f}"
    words = ", ".join(part for part in (rep.where, "easy" if rep.easy else "", rep.others) if part)
    return f"{rep.rep:3d}  {ask} s  {words}. {rep.deed}." + ("  Rest." if rep.rest_after else "")


def _conditions(page: "SessionCard | HandlerCard") -> str:
    return ", ".join(f"{name.lower()} {words}" for name, words in page.conditions)


def _handler_said(page: "HandlerCard") -> str:
    return "\n".join(
        [
            f"{page.dog} at {page.step_name}, {page.day}. For the handler.",
            f"  {_conditions(page)}",
            *(f"  {said}" for said in page.says),
            "When to stop:",
            *(f"  {rule.about}. {rule.says}" for rule in page.stops),
        ]
    )
