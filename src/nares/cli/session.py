"""``nares session``: keep and measure a session, confirm and correct its reps."""

from pathlib import Path
from typing import Any

import click

from nares.cli.options import RegionType, by_option, data_option
from nares.cli.progress import progress_bar


@click.group()
def session() -> None:
    """Keep and measure a session, confirm and correct its reps."""


@session.command("run")
@click.argument("recording", type=click.Path(path_type=Path))
@click.option("--dog", required=True)
@click.option("--step", default=None, help="Default: the dog's current step.")
@click.option("--started-at", default=None, help="ISO 8601 with a zone. Default: the time of the file.")
@click.option("--front", type=RegionType(), default=None)
@click.option("--side", type=RegionType(), default=None)
@click.option("--marker", type=click.Choice(["click", "whistle", "word"]), default="click", show_default=True)
@click.option(
    "--clicker",
    type=click.Path(path_type=Path),
    default=None,
    help="A short recording of this clicker or whistle; for a word, of the word said five times.",
)
@click.option(
    "--ask", "asks_s", type=float, multiple=True, help="Ask of each rep in seconds; the last goes on."
)
@click.option(
    "--then",
    type=click.Path(path_type=Path),
    multiple=True,
    help="The recording that follows; again for a third.",
)
@click.option(
    "--beside", type=click.Path(path_type=Path), default=None, help="Another phone's recording of it."
)
@click.option("--cue", "cues", multiple=True, help="What else was there in every rep; repeatable.")
@click.option("--note", default="")
@click.option("--marked-by", default="", help="Who held the clicker. Default: who enters the session.")
@by_option
@data_option
def run(recording: Path, data: Path, by: str | None, **asked: Any) -> None:
    """Keep a recording, measure it, and propose its reps."""
    from nares.app import jobs
    from nares.app.deeds import RunSession
    from nares.app.desk import open_desk

    with open_desk(data, person=by, found=False) as desk, progress_bar("Measuring") as progress:
        request = RunSession(recording=recording, by=desk.person, **asked)
        click.echo(jobs.run_session(desk, request, progress).said)


@session.command("confirm")
@click.argument("session_name", metavar="SESSION")
@by_option
@data_option
def confirm(session_name: str, by: str | None, data: Path) -> None:
    """Stand by every rep of a session that is still only measured."""
    from nares.app import jobs
    from nares.app.deeds import ConfirmReps
    from nares.app.desk import open_desk

    with open_desk(data, person=by, found=False) as desk:
        click.echo(jobs.confirm_reps(desk, ConfirmReps(session_name, desk.person)).said)


@session.command("correct")
@click.argument("session_name", metavar="SESSION")
@click.argument("rep", type=int)
@click.argument("changes", nargs=-1, metavar="FIELD=VALUE...", required=True)
@click.option("--why", required=True, help="The reason; it stays beside both values.")
@by_option
@data_option
def correct(
    session_name: str, rep: int, changes: tuple[str, ...], why: str, by: str | None, data: Path
) -> None:
    """Correct values of one rep, for example: nares session correct bracken-07 3 hold_s=2.4 met=1."""
    from nares.app import jobs
    from nares.app.deeds import CorrectRep
    from nares.app.desk import open_desk

    wanted = _named(changes)
    with open_desk(data, person=by, found=False) as desk:
        click.echo(jobs.correct_rep(desk, CorrectRep(session_name, rep, wanted, why, desk.person)).said)


def _named(changes: tuple[str, ...]) -> dict[str, str]:
    """The values by name; a word without "=" must not blank a value, nor a second one win in silence."""
    wanted: dict[str, str] = {}
    for change in changes:
        name, equals, value = change.partition("=")
        if not equals or name in wanted:
            found = "is given twice" if equals else "says no value"
            raise click.UsageError(f"{change!r} {found}. Write each once as FIELD=VALUE, like hold_s=2.4.")
        wanted[name] = value
    return wanted


@session.command("set-aside")
@click.argument("session_name", metavar="SESSION")
@click.argument("rep", type=int)
@click.option("--why", required=True)
@by_option
@data_option
def set_aside(session_name: str, rep: int, why: str, by: str | None, data: Path) -> None:
    """Say that a measured rep was none, or cannot be used."""
    from nares.app import jobs
    from nares.app.deeds import SetAside
    from nares.app.desk import open_desk

    with open_desk(data, person=by, found=False) as desk:
        click.echo(jobs.set_aside(desk, SetAside(session_name, rep, desk.person, why)).said)
