"""Listening to one recording: blocks of sound in, marks and intakes of air out.

Conventions
-----------
An `Ear` keeps only what describes the sound (about 7 kB a second, and a row for each snap), never the
samples, so that a recording of any length can be heard. The result does not depend on the size of the
blocks. Marks come from `marks`, breath from `breath`, whistles from `whistle`.
"""

from collections.abc import Sequence
from typing import Literal

import numpy as np

from nares.base.errors import WrongUse
from nares.base.vocab import Mark
from nares.measure.inputs import SoundBlock
from nares.measure.sound.bands import Frames, band_levels
from nares.measure.sound.breath import Breath, hear_breath
from nares.measure.sound.hear_marks import HeardMarks, hear_marks
from nares.measure.sound.heard import Heard, SoundQuality
from nares.measure.sound.likeness import Rows, risen_db
from nares.measure.sound.marks import ClickerPrint
from nares.measure.sound.snaps import Snaps, find_snaps, join_snaps, without_echoes
from nares.measure.sound.stream import RATE_HZ, Stretch, Stretches
from nares.measure.sound.whistle import find_whistles

Marker = Literal["click", "whistle", "word"]

NEAR_HOLE_S = 0.03
"""A snap this near to missing sound is the cut itself. [s]"""
UNPROVEN = (
    "marks were read from the click that keeps coming back; that each is the clicker is unproven. Begin "
    "with two quiet seconds and four marks one second apart, or record the clicker alone."
)
CLIPPED_SHARE = 1e-4
LOWEST_REACH_HZ = 10_000.0


class Ear:
    """Hears one recording.

    Args:
        rate_hz: Rate of the recording, 8000 to 384000. [Hz]
        marker: What the trainer marks with.
        clicker: The print of this clicker in this room, when one was recorded.

    Raises:
        WrongUse: For a marker word, which needs examples, or a marker nobody knows.
        OutOfRange: For a rate that cannot be measured.
    """

    def __init__(
        self, *, rate_hz: int = RATE_HZ, marker: Marker = "click", clicker: ClickerPrint | None = None
    ) -> None:
        _require_marker(marker)
        self._marker: Marker = marker
        self._clicker = clicker
        self._stretches = Stretches(rate_hz)
        self._snaps: list[Snaps] = []
        self._levels: list[Frames] = []
        self._whistles: list[Rows] = []

    def hear(self, block: SoundBlock) -> None:
        """Take the next block; holes are silence, what was heard already is passed over.

        Raises:
            OutOfRange: If the block has another rate, more than one channel or an absurd time.
        """
        for stretch in self._stretches.add(block):
            self._take(stretch)

    def finish(self) -> Heard:
        """Say what was heard. Nothing can be added afterwards."""
        for stretch in self._stretches.rest():
            self._take(stretch)
        snaps = self._away_from_holes(without_echoes(join_snaps(self._snaps)))
        if self._marker == "whistle":
            heard = HeardMarks(find_whistles(self._whistles))
        else:
            heard = hear_marks(snaps, self._clicker)
        breath = hear_breath(self._all_levels())
        quality = self._quality(snaps, heard.marks, breath)
        return Heard(
            heard.marks,
            breath.inhales,
            breath.bouts,
            quality,
            self._notes(heard, breath, quality),
            doubtful_marks=heard.doubtful,
            start_block=heard.start_block,
            floor_db=heard.floor_db,
        )

    def _take(self, stretch: Stretch) -> None:
        self._snaps.append(find_snaps(stretch))
        self._levels.append(band_levels(stretch))
        if self._marker == "whistle":
            from nares.measure.sound.whistle import tones

            self._whistles.append(tones(stretch))

    def _all_levels(self) -> Frames:
        if not self._levels:
            return np.zeros((0, 15), dtype=np.float16)
        return np.concatenate(self._levels)[: int(self._stretches.heard_s * 200)]

    def _away_from_holes(self, snaps: Snaps) -> Snaps:
        edges = [*(edge for hole in self._stretches.holes for edge in hole), 0.0, self._stretches.heard_s]
        far = np.abs(snaps.at_s[:, None] - np.array(edges)[None, :]).min(axis=1) > NEAR_HOLE_S
        return snaps.take(far)

    def _quality(self, snaps: Snaps, marks: Sequence[Mark], breath: Breath) -> SoundQuality:
        over = None
        if marks and len(snaps):
            which = [int(np.argmin(np.abs(snaps.at_s - mark.at_s))) for mark in marks]
            over = round(float(np.median(risen_db(snaps)[which])), 1)
        level = None if breath.over_floor_db is None else round(breath.over_floor_db, 1)
        clipped = self._stretches.clipped / max(self._stretches.samples, 1)
        reaches = min(self._stretches.rate_hz, RATE_HZ) / 2
        return SoundQuality(over, level, clipped, reaches, self._stretches.heard_s)

    def _notes(self, heard: HeardMarks, breath: Breath, quality: SoundQuality) -> tuple[str, ...]:
        said = []
        if not self._stretches.samples:
            return ("not measurable: there is no sound.",)
        if heard.start_block and self._clicker is None:
            said.append("the clicker was learned from the four marks at the start of the recording.")
        if self._marker == "click" and not heard.told and heard.marks:
            said.append(UNPROVEN)
        if not breath.inhales:
            said.append(_no_breath(breath.over_floor_db))
        if quality.reaches_hz < LOWEST_REACH_HZ:
            said.append(
                f"the sound reaches only {quality.reaches_hz / 1000:.1f} kHz: what is heard is less sure."
            )
        if quality.clipped_share > CLIPPED_SHARE:
            said.append("the sound is clipped in places; put the phone further away or lower its level.")
        if self._stretches.holes:
            said.append(f"sound is missing in {len(self._stretches.holes)} places.")
        return tuple(said)


def _no_breath(over_floor_db: float | None) -> str:
    if over_floor_db is None:
        return "not measurable: breath, nothing like sniffing was heard; it may have been too faint."
    return (
        f"not measurable: breath, it is {-over_floor_db:.0f} dB below the background. "
        "Put the phone within half a metre of the opening."
    )


def _require_marker(marker: str) -> None:
    if marker == "word":
        raise WrongUse(
            "A marker word is found from examples, and none were given. "
            "Record the word a few times, or mark with a clicker or a whistle."
        )
    if marker not in ("click", "whistle"):
        raise WrongUse(f"The marker {marker!r} is not known. Choose click, whistle or word.")
