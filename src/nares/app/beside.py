"""A second phone's recording of the same session: heard, laid on the first one's clock, used where better."""

from collections.abc import Callable
from pathlib import Path

import numpy as np

from nares.base.errors import Unusable
from nares.base.vocab import Beside
from nares.measure.align_marks import Alignment, NotAligned, align_marks
from nares.measure.inputs import SoundBlock
from nares.measure.sound.ear import Ear
from nares.measure.sound.heard import Heard
from nares.measure.two_phones import better_heard, mark_times
from nares.media import open_recording, sha256_of


def hear_beside(
    path: Path, here: Heard, ear: Ear, progress: Callable[[float], None] | None = None
) -> tuple[Heard, Beside, str]:
    """Take marks and breath from whichever phone heard them better.

    Args:
        path: The other phone's recording, begun and ended whenever.
        here: What the first phone heard.
        ear: A fresh one, for the other recording.
        progress: Told the share of the file read.

    Returns:
        What was heard, on the first phone's clock; how the clocks lie; and a sentence that says so.

    Raises:
        Unusable: If it cannot be read, has no sound, or too few marks agree to lay one on the other.
    """
    there = _heard(path, ear, progress)
    line = align_marks(np.array(mark_times(here)), np.array(mark_times(there)))
    if isinstance(line, NotAligned):
        raise Unusable(_refusal(path, line))
    beside = _told(path, line)
    return better_heard(here, there, line, name=path.name), beside, _sentence(beside)


def _heard(path: Path, ear: Ear, progress: Callable[[float], None] | None) -> Heard:
    with open_recording(path) as recording:
        if recording.header.audio is None:
            raise Unusable(f"{path.name} has no sound, so its clock cannot be found. Give one with sound.")
        for piece in recording.play(pictures=False, progress=progress):
            if isinstance(piece, SoundBlock):
                ear.hear(piece)
    return ear.finish()


def _told(path: Path, line: Alignment) -> Beside:
    return Beside(
        path.name, sha256_of(path), line.here(0.0), 1e6 * line.drift, line.spread_s, len(line.pairs)
    )


def _sentence(beside: Beside) -> str:
    side = "after" if beside.offset_s >= 0 else "before"
    return (
        f"{beside.name} begins {abs(beside.offset_s):.3f} s {side} the first recording and its clock gains "
        f"{beside.drift_ppm:+.0f} millionths; {beside.marks} marks agree to {1000 * beside.spread_s:.1f} ms"
    )


def _refusal(path: Path, line: NotAligned) -> str:
    if line.by_chance:
        return (
            f"{line.agreeing} marks of {path.name} agree with the first recording; as many would by chance. "
            "Check that both show the same session, or press four marks one second apart at the start."
        )
    agreed = {0: "No mark", 1: "Only one mark", 2: "Only two marks"}[min(line.agreeing, 2)]
    verb = "agrees" if line.agreeing < 2 else "agree"
    return (
        f"{agreed} of {path.name} {verb} with the first recording, and three are needed to lay one on the "
        "other. Check that both show the same session, or measure them apart."
    )
