"""``nares decide``: the call for one dog, from a rep table alone."""

from pathlib import Path

import click

from nares.cli.options import give, json_option


@click.command()
@click.argument("table", type=click.Path(path_type=Path), metavar="REPS.csv")
@click.option("--dog", required=True)
@click.option("--programme", type=click.Path(path_type=Path), default=None, help="Default: the shipped one.")
@json_option
def decide(table: Path, dog: str, programme: Path | None, json_to: str | None) -> None:
    """Say whether to raise, stay, ease or stop, and what to ask for next, with the reasons."""
    from nares.app.deciding import decide_table, decision_answer

    decision = decide_table(table, dog=dog, programme=programme)
    answer = decision_answer(decision)
    asks = ", ".join(f"{ask:g}" for ask in answer["asks_s"])
    said = "\n".join(
        [
            f"{answer['dog']} at {answer['step']}: {answer['call']}.",
            *(f"  {because}" for because in answer["because"]),
            f"Next: {answer['next_step']}, asks {asks} s." if asks else f"Next: {answer['next_step']}.",
        ]
    )
    give(answer, said, json_to)
