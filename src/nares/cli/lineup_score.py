"""``nares lineup score``: what the calls of a line-up come to, by its key."""

from pathlib import Path

import click

from nares.cli.options import give, json_option


@click.command()
@click.argument("key", type=click.Path(path_type=Path), metavar="KEY.json")
@click.argument("calls", type=click.Path(path_type=Path), metavar="CALLS.csv")
@json_option
def score(key: Path, calls: Path, json_to: str | None) -> None:
    """Score calls against a key. CALLS: run, position (empty: clear), called_by, called_at."""
    from nares.app.lineups.scoring import score_answer, score_files, score_text

    found = score_files(key, calls)
    give(score_answer(found), score_text(found), json_to)
