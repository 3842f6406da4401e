"""``nares lineup new``: draw a line-up into a sealed key and print its sheets, without a record."""

from pathlib import Path
from typing import Any, get_args

import click

from nares.base.lineups import Blinding, Control, Shape, Smell
from nares.cli.options import json_option


class RangeType(click.ParamType[tuple[int, int]]):
    """A whole number, or two with a dash: 1, or 0-2."""

    name = "N|N-M"

    def convert(
        self, value: Any, param: click.Parameter | None, ctx: click.Context | None
    ) -> tuple[int, int]:
        """Read the fewest and the most."""
        if isinstance(value, tuple):
            return value
        low, dash, high = str(value).strip().partition("-")
        if not low.isdecimal() or (dash and not high.isdecimal()):
            self.fail(f"{value!r} is neither a number nor a range. Write 1, or 0-1.", param, ctx)
        return int(low), int(high if dash else low)


class NamesType(click.ParamType[tuple[str, ...]]):
    """Names with commas between them."""

    name = "A,B,…"

    def convert(
        self, value: Any, param: click.Parameter | None, ctx: click.Context | None
    ) -> tuple[str, ...]:
        """Split at commas; spaces around a name are nothing."""
        if isinstance(value, tuple):
            return value
        return tuple(name for name in (part.strip() for part in str(value).split(",")) if name)


A_FILE: Any = click.Path(dir_okay=False, path_type=Path)


@click.command()
@click.option("--positions", type=int, required=True, help="How many places.")
@click.option("--runs", type=int, required=True, help="How many runs.")
@click.option(
    "--targets-per-run", type=RangeType(), default="0-1", show_default=True, help="Fewest and most."
)
@click.option(
    "--blank-runs",
    type=float,
    default=None,
    help="Chance of a run without target. Default: each count alike.",
)
@click.option("--distractors", type=NamesType(), default=(), help="What else smells, along in every run.")
@click.option("--novel", type=NamesType(), default=(), help="Those of the distractors new to the dog.")
@click.option("--controls", type=NamesType(), default=(), help=f"Of {', '.join(get_args(Control))}.")
@click.option("--along", type=int, default=None, help="Distractors and controls in one run. Default: all.")
@click.option("--aids", type=NamesType(), default=("target",), help="Aids that take turns as the target.")
@click.option("--fresh-containers", is_flag=True, help="A new container for every target.")
@click.option("--blinding", type=click.Choice(get_args(Blinding)), default="double", show_default=True)
@click.option("--rules", type=NamesType(), default=None, help="With known: rules the order keeps.")
@click.option("--shape", type=click.Choice(get_args(Shape)), default="straight", show_default=True)
@click.option("--place", default="here", show_default=True, help="Where it stands.")
@click.option("--dog", default="", help="The dog, on the sheets.")
@click.option("--name", default=None, help="Of the line-up. Default: the dog's.")
@click.option("--set-time", type=float, default=None, metavar="MIN", help="From placing to search.")
@click.option("--out", type=A_FILE, required=True, help="The key; a file that is not there yet.")
@click.option("--sheet", type=A_FILE, default=None, help="Sheet for calls, PDF: nothing of the key.")
@click.option(
    "--placing-sheet", type=A_FILE, default=None, help="The placer's sheets, PDF: they hold the key."
)
@click.option("--paper", type=click.Choice(["a4", "letter"]), default="a4", show_default=True)
@click.option(
    "--seed", default=None, metavar="HEX", help="32 bytes in hex to draw from. Default: fresh chance."
)
@json_option
def new(
    positions: int,
    runs: int,
    targets_per_run: tuple[int, int],
    distractors: tuple[str, ...],
    novel: tuple[str, ...],
    controls: tuple[str, ...],
    shape: Shape,
    place: str,
    name: str | None,
    set_time: float | None,
    out: Path,
    sheet: Path | None,
    placing_sheet: Path | None,
    paper: str,
    fresh_containers: bool,
    json_to: str | None,
    **said: Any,
) -> None:
    """Draw a line-up, write its key to a file and print the key's commitment."""
    from nares.app.answers import json_text, write_answer
    from nares.app.desk import local_now
    from nares.app.lineups.asking import lineup_area
    from nares.app.lineups.files import draw_into_files, filed_answer
    from nares.app.lineups.requests import DrawLineup

    asked = DrawLineup(
        area=lineup_area(shape, positions, place),
        runs=runs,
        targets_low=targets_per_run[0],
        targets_high=targets_per_run[1],
        by="",
        distractors=_smells(distractors, novel),
        controls=_controls(controls),
        lineup=name,
        set_time_min=set_time,
        fresh=fresh_containers,
        **said,
    )
    filed = draw_into_files(
        asked,
        key_to=out,
        day=local_now().date(),
        sheet_to=sheet,
        placing_to=placing_sheet,
        paper=paper,
    )
    for line in (*filed.notes, *filed.findings):
        click.echo(line, err=True)
    if json_to == "-":
        click.echo(json_text(filed_answer(filed)), nl=False)
        return
    if json_to is not None:
        write_answer(filed_answer(filed), Path(json_to))
    click.echo(filed.commitment)


def _smells(distractors: tuple[str, ...], novel: tuple[str, ...]) -> tuple[Smell, ...]:
    unknown = [name for name in novel if name not in distractors]
    if unknown:
        raise click.UsageError(f"{unknown[0]!r} is not among the distractors. Name it there too.")
    return tuple(Smell(name, name in novel if novel else None) for name in distractors)


def _controls(names: tuple[str, ...]) -> tuple[Control, ...]:
    known: dict[str, Control] = {control: control for control in get_args(Control)}
    unknown = [name for name in names if name not in known]
    if unknown:
        raise click.UsageError(f"There is no control {unknown[0]!r}. Give any of: {', '.join(known)}.")
    return tuple(known[name] for name in names)
