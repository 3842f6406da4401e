"""Options that several commands share, and how an answer leaves a command."""

import os
from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeVar

import click

from nares.base.errors import NaresError
from nares.base.vocab import Region

Command = TypeVar("Command", bound=Callable[..., Any])


class RegionType(click.ParamType[Region]):
    """Four fractions of the picture's width and height: x,y,width,height."""

    name = "X,Y,W,H"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Region:
        """Read the four numbers; say which option held what could not be read."""
        if isinstance(value, Region):
            return value
        try:
            x, y, w, h = (float(number) for number in str(value).split(","))
        except ValueError:
            self.fail(
                f"{value!r} is not four numbers. Write x,y,width,height, for example 0.42,0.42,0.05,0.15."
            )
        try:
            return Region(x, y, w, h)
        except NaresError as error:
            self.fail(str(error))


def data_option(command: Command) -> Command:
    """Give a command the folder of the record."""
    return click.option(
        "--data",
        type=click.Path(file_okay=False, path_type=Path),
        default=lambda: Path(os.environ.get("NARES_DATA") or "nares-data"),
        show_default="NARES_DATA, else ./nares-data",
        help="Folder of the record and the recordings.",
    )(command)


def by_option(command: Command) -> Command:
    """Give a command the name of the person who answers for what it writes."""
    return click.option("--by", default=None, help="Who does this. Default: the user of this computer.")(
        command
    )


def json_option(command: Command) -> Command:
    """Let a command write its answer as JSON to a file, or to standard output with ``-``."""
    return click.option(
        "--json", "json_to", default=None, metavar="FILE|-", help="Write the answer as JSON."
    )(command)


def give(value: dict[str, Any], said: str, json_to: str | None) -> None:
    """Say an answer in words, or write it as JSON where asked."""
    from nares.app.answers import json_text, write_answer

    if json_to == "-":
        click.echo(json_text(value), nl=False)
        return
    if json_to is not None:
        write_answer(value, Path(json_to))
        click.echo(f"Written to {json_to}.", err=True)
    click.echo(said)
