"""``nares progress``: how a dog comes on, from the record or from a rep table alone."""

from pathlib import Path
from typing import Any

import click

from nares.cli.options import data_option, give, json_option


@click.command()
@click.argument("dog")
@click.option(
    "--step", default="", metavar="KEY", help="The step to look at. Default: the one the dog is at."
)
@click.option(
    "--reps",
    "table",
    type=click.Path(path_type=Path),
    default=None,
    metavar="REPS.csv",
    help="Read a rep table instead of the record.",
)
@click.option(
    "--programme",
    type=click.Path(path_type=Path),
    default=None,
    help="With --reps. Default: the shipped one.",
)
@click.option(
    "--start",
    type=click.Choice(["open", "at_level", "half_way", "at_first"]),
    default="open",
    show_default=True,
    help="Where the learning curve begins.",
)
@data_option
@json_option
def progress(
    dog: str,
    step: str,
    table: Path | None,
    programme: Path | None,
    start: Any,
    data: Path,
    json_to: str | None,
) -> None:
    """Say how a dog comes on: learning curve, changes, cold reps, and the steps it had mastered."""
    from nares.app import jobs
    from nares.app.desk import open_desk
    from nares.app.progress_page import progress_answer, progress_table

    if programme is not None and table is None:
        raise click.UsageError("--programme goes with --reps: on the record every dog has its programme.")
    if table is not None:
        page = progress_table(table, dog=dog, programme=programme, step=step, start=start)
    else:
        with open_desk(data, found=False) as desk:
            page = jobs.progress_page(desk, dog, step=step, start=start)
    give(progress_answer(page), in_words(page), json_to)


def in_words(page: Any) -> str:
    """Say the progress part by part."""
    said = page.said
    parts = (
        (f"{page.dog} at {page.found.step_name}", said.rate),
        ("Learning curve", said.curve),
        ("Changes", said.changes),
        ("Cold reps", said.cold),
        ("Sessions", said.alike),
    )
    lines = [line for head, told in parts for line in (f"{head}:", *(f"  {one}" for one in told))]
    if page.mastered:
        lines.append("Mastered steps:")
    for line in page.mastered:
        lines += [
            f"  {line.found.step_name} ({line.found.standing}): {line.said[0]}",
            *(f"    {one}" for one in line.said[1:]),
        ]
    lines += [f"  {one}" for one in dict.fromkeys(line.alarm for line in page.mastered)]
    return "\n".join(lines)
