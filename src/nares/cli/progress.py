"""A progress bar on standard error, and nothing where standard error is not a terminal."""

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager


@contextmanager
def progress_bar(what: str) -> Iterator[Callable[[float, str], None]]:
    """Show how far a job is; gives the function the job calls with a share from 0 to 1 and a word."""
    from rich.console import Console
    from rich.progress import BarColumn, Progress, TaskProgressColumn, TextColumn, TimeRemainingColumn

    console = Console(stderr=True)
    columns = (TextColumn("{task.description}"), BarColumn(), TaskProgressColumn(), TimeRemainingColumn())
    with Progress(*columns, console=console, disable=not sys.stderr.isatty()) as bar:
        task = bar.add_task(what, total=1.0)
        yield lambda done, doing: bar.update(task, completed=done, description=f"{what}: {doing}")
