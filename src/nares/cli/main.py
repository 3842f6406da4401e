"""The command ``nares``: names every command, loads only the one asked for, words every error.

A command's module is imported when the command runs, so that asking for help stays quick. Answers go to
standard output, progress and notes to standard error.
"""

import os
import sys
from importlib import import_module

import click

from nares import __version__
from nares.base.errors import NaresError, Unusable
from nares.cli.progress import progress_bar

COMMANDS = {
    "measure": ("nares.cli.measure:measure", "Measure a recording: marks, inhalations, nose, hand, reps."),
    "agreement": ("nares.cli.agreement:agreement", "How far two readings of one recording agree."),
    "decide": ("nares.cli.decide:decide", "Raise, stay, ease or stop, from a rep table."),
    "card": ("nares.cli.card:card", "The next session rep by rep: to read, print and take along."),
    "dog": ("nares.cli.dog:dog", "Put dogs on the record and list them."),
    "session": ("nares.cli.session:session", "Keep and measure a session, confirm and correct its reps."),
    "what-if": ("nares.cli.what_if:what_if", "Other levels: reps needed, risks, today's call, the ask."),
    "progress": ("nares.cli.progress_of:progress", "How a dog comes on: curve, changes, mastered steps."),
    "cues": ("nares.cli.cues:cues", "What predicts pay, what is not told apart, which reps would show it."),
    "cue": ("nares.cli.cues:name_cue", "Give a cue of your own a name."),
    "marks": ("nares.cli.marks:marks", "How people mark: delays, on what, what to practise."),
    "reps": ("nares.cli.reps:reps", "Bring rep tables in and write them out."),
    "lineup": ("nares.cli.lineup:lineup", "Draw line-ups with sealed keys, check keys, score calls."),
    "record": ("nares.cli.record:record", "Verify, amend, export and rebuild the record."),
    "programme": ("nares.cli.programme:programme", "Show and check a training programme."),
    "serve": ("nares.web.command:serve", "Serve the pages on this machine."),
    "demo": ("nares.demo.command:demo", "Build the demo kennel, measure its recording, show it."),
}


class Commands(click.Group):
    """The group of all commands, each imported when it is asked for."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """Names in the order of the trainer's work."""
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """Import the command, if there is one of that name."""
        if cmd_name not in COMMANDS:
            return None
        module, name = COMMANDS[cmd_name][0].split(":")
        command = getattr(import_module(module), name)
        assert isinstance(command, click.Command)
        return command

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """List commands from the table, without importing any."""
        with formatter.section("Commands"):
            formatter.write_dl([(name, said) for name, (_, said) in COMMANDS.items()])


@click.group(cls=Commands)
@click.version_option(__version__, prog_name="nares")
@click.pass_context
def nares(ctx: click.Context) -> None:
    """Work with a detection dog's training: measure, decide, keep the record."""
    ctx.obj = progress_bar  # how every command shows progress, those of other doors too


def main() -> None:
    """Run the command line; end with the exit code that the error stands for."""
    try:
        code = nares.main(standalone_mode=False)
    except NaresError as error:
        click.echo(f"nares: {error}", err=True)
        sys.exit(error.exit_code)
    except click.ClickException as error:
        error.show()
        sys.exit(2)
    except click.Abort:
        sys.exit(130)
    except BrokenPipeError:  # the reader, such as `head`, has seen enough
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        sys.exit(0)
    except OSError as fault:
        # A plain traceback would end with 1, which says "verified: no". A full disk is no answer.
        place = f"{fault.filename}: " if fault.filename else ""
        click.echo(
            f"nares: {place}{fault.strerror or fault}. Check the folder, its rights and its space.", err=True
        )
        sys.exit(Unusable.exit_code)
    sys.exit(code if isinstance(code, int) else 0)
