"""``nares marks``: how people mark, with what to practise next."""

from pathlib import Path
from typing import Any

import click

from nares.cli.options import data_option, give, json_option


@click.command()
@click.option("--dog", default="", help="Only this dog. Default: all.")
@click.option("--person", default="", help="Only sessions this person marked. Default: all.")
@click.option("--since", default="", metavar="YYYY-MM-DD", help="The first day that counts.")
@click.option("--until", default="", metavar="YYYY-MM-DD", help="The last day that counts.")
@data_option
@json_option
def marks(dog: str, person: str, since: str, until: str, data: Path, json_to: str | None) -> None:
    """Say how people mark: delays after nose-in and after the ask, on what, where in the sniff."""
    from nares.app import jobs
    from nares.app.desk import open_desk
    from nares.app.marks_page import marks_answer

    with open_desk(data, found=False) as desk:
        page = jobs.marks_page(desk, dog=dog, person=person, since=since, until=until)
    give(marks_answer(page), in_words(page), json_to)


def in_words(page: Any) -> str:
    """Say the marks in a short table."""
    timing = page.timing
    if timing is None:
        return str(page.why_none)
    lines = [
        f"{_counted(timing.marks, 'mark')} of {_counted(timing.sessions, 'session')}, "
        f"{timing.looked_at} looked at by a person.",
        *_delays(timing),
        *(f"{name}: {_share(of)}" for name, of in _shares(timing)),
        *_sniff(timing),
    ]
    for line in page.by_person:
        lines.append(f"{line.name}: {line.timing.marks} marks, {_over(line.timing)}.")
        lines += [f"  Practise: {one.what} ({one.grounds})" for one in line.practice]
    return "\n".join(lines)


def _counted(number: int, word: str) -> str:
    return f"{number} {word}{'' if number == 1 else 's'}"


def _delays(timing: Any) -> list[str]:
    said = []
    for name, delays in (
        ("After nose in", timing.after_nose),
        ("After the ask", timing.over_ask),
        ("After the intake began", timing.after_intake),
    ):
        found = "none" if delays.middle is None else _middle(delays.middle)
        said.append(f"{name}: {found}; {delays.n} measured, {delays.not_measured} not.")
    return said


def _middle(middle: Any) -> str:
    limits = "no interval yet" if middle.low is None else f"{middle.low:.2f} to {middle.high:.2f}"
    return f"median {middle.median:.2f} s ({limits})"


def _shares(timing: Any) -> list[tuple[str, Any]]:
    return [
        ("On sniffing", timing.sniffing),
        ("While air was drawn in", timing.inhaling),
        ("Too soon to be a reaction", timing.anticipated),
    ]


def _share(of: Any) -> str:
    limits = "" if of.low is None else f" ({100 * of.low:.0f} to {100 * of.high:.0f} %)"
    return f"{of.count} of {of.of}{limits}, {of.unclear} cannot be told"


def _sniff(timing: Any) -> list[str]:
    found = timing.direction
    if found is None:
        return ["Where in the sniff: no mark has a place."]
    mean = "no mean" if found.phase is None else f"mean at {100 * found.phase:.0f} %"
    return [
        f"Where in the sniff: {found.n} marks, {mean}, resultant {found.length:.2f}, "
        f"Rayleigh chance {found.by_chance:.3f}."
    ]


def _over(timing: Any) -> str:
    middle = timing.over_ask.middle
    return "no ask on record" if middle is None else f"after the ask {_middle(middle)}"
