"""``nares measure``: what is in one recording, without keeping anything."""

from pathlib import Path

import click

from nares.base.vocab import Reading, Region
from nares.cli.options import RegionType, give, json_option
from nares.cli.progress import progress_bar


@click.command()
@click.argument("recording", type=click.Path(path_type=Path))
@click.option("--front", type=RegionType(), default=None, help="Around the front opening (nose).")
@click.option("--side", type=RegionType(), default=None, help="Around the side opening (hand).")
@click.option(
    "--clicker",
    type=click.Path(path_type=Path),
    default=None,
    help="A short recording of this clicker or whistle alone; with --marker word, of that word "
    "said 3 to 10 times with pauses.",
)
@click.option(
    "--marker",
    type=click.Choice(["click", "whistle", "word"]),
    default="click",
    show_default=True,
    help="What marks. A word needs --clicker, or a recording that begins with the word four times.",
)
@click.option(
    "--then",
    type=click.Path(path_type=Path),
    multiple=True,
    help="The recording that follows; again for each further part.",
)
@click.option(
    "--beside", type=click.Path(path_type=Path), default=None, help="Another phone's recording of it."
)
@json_option
def measure(
    recording: Path,
    front: Region | None,
    side: Region | None,
    clicker: Path | None,
    marker: str,
    then: tuple[Path, ...],
    beside: Path | None,
    json_to: str | None,
) -> None:
    """Measure a recording: marks, inhalations, nose, hand, reps.

    Regions are fractions of the picture's width and height, origin top left. Without pictures or
    regions the answer holds what sound alone can give.
    """
    from nares.app.answers import reading_answer
    from nares.app.measuring import measure_recording

    with progress_bar("Measuring") as progress:
        reading = measure_recording(
            recording,
            front=front,
            side=side,
            clicker=clicker,
            marker=marker,
            then=then,
            beside=beside,
            progress=progress,
        )
    give(reading_answer(reading), in_words(reading), json_to)


def in_words(reading: Reading) -> str:
    """Say a reading in a short table."""
    facts = reading.recording
    lines = [
        f"{facts.duration_s:.1f} s, {' and '.join(facts.streams)}. {len(reading.marks)} marks, "
        f"{len(reading.inhales)} inhalations, {len(reading.reps)} reps.",
        *(f"Note: {note}" for note in facts.notes),
    ]
    if reading.reps:
        lines += ["", " rep  nose in    mark    hold  ended by  sniffing  pay after  sure"]
    for rep in reading.reps:
        lines.append(
            f"{rep.rep:4d} {_s(rep.nose_in_s):>8} {_s(rep.mark_s):>7} {_s(rep.hold_s):>7}  "
            f"{rep.ended_by:<8}  {rep.sniffing_at_mark:<8}  {_s(rep.pay_delay_s):>9}  {100 * rep.sure:3.0f} %"
        )
    return "\n".join(lines)


def _s(seconds: float | None) -> str:
    return "-" if seconds is None else f"{seconds:.2f} s"
