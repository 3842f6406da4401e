"""``nares lineup``: draw line-ups, check keys, run and score them. Each command has a module of its own."""

import click

from nares.cli.lineup_check import check
from nares.cli.lineup_kept import listed, opened, show
from nares.cli.lineup_new import new
from nares.cli.lineup_score import score
from nares.cli.lineup_type_calls import type_calls


@click.group()
def lineup() -> None:
    """Draw line-ups with sealed keys, check keys, score calls."""


lineup.add_command(new)
lineup.add_command(check)
lineup.add_command(score)
lineup.add_command(listed)
lineup.add_command(show)
lineup.add_command(opened)
lineup.add_command(type_calls)
