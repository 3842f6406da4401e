"""Listening to one recording: blocks of sound in, marks and intakes of air out.

Conventions
-----------
An `Ear` keeps only what describes the sound (about 7 kB a second, and a row for each snap), never the
samples, so that a recording of any length can be heard. The result does not depend on the size of the
blocks. Marks come from `marks`, breath from `breath`, whistles and words from `marker_ears`.
"""

from collections.abc import Sequence
from dataclasses import replace
from typing import Literal

import numpy as np

from nares.base.errors import WrongUse
from nares.base.vocab import Mark
from nares.measure.inputs import SoundBlock
from nares.measure.sound.bands import Frames, band_levels
from nares.measure.sound.breath import Breath, hear_breath
from nares.measure.sound.hear_marks import HeardMarks, hear_marks
from nares.measure.sound.heard import Heard, SoundQuality
from nares.measure.sound.likeness import risen_db
from nares.measure.sound.marker_ears import Found, MarkerEar, WhistleEar, WordEar
from nares.measure.sound.marks import ClickerPrint
from nares.measure.sound.snaps import Snaps, find_snaps, join_snaps, without_echoes
from nares.measure.sound.stream import RATE_HZ, Stretch, Stretches
from nares.measure.sound.whistle import WhistlePrint
from nares.measure.sound.word_print import WordPrint

Marker = Literal["click", "whistle", "word"]
Print = ClickerPrint | WhistlePrint | WordPrint

NEAR_HOLE_S = 0.03
"""A snap this near to missing sound is the cut itself. [s]"""
UNPROVEN = (
    "marks were read from the click that keeps coming back; that each is the clicker is unproven. Begin "
    "with two quiet seconds and four marks one second apart, or record the clicker alone."
)
CLIPPED_SHARE = 1e-4
LOWEST_REACH_HZ = 10_000.0
HIGH_BANDS = slice(6, 14)
"""Columns of the band levels from about 1 kHz up."""


class Ear:
    """Hears one recording.

    Args:
        rate_hz: Rate of the recording, 8000 to 384000. [Hz]
        marker: What the trainer marks with.
        clicker: The print of this clicker, whistle or word, when one was recorded.

    Raises:
        WrongUse: For a marker nobody knows, or a print of another marker. `hear` and `finish` raise it for a
            marker word with neither examples nor a start block.
        OutOfRange: For a rate that cannot be measured.
    """

    def __init__(
        self, *, rate_hz: int = RATE_HZ, marker: Marker = "click", clicker: Print | None = None
    ) -> None:
        self._marker: Marker = marker
        self._marker_ear = _marker_ear(marker, clicker)
        self._clicker = clicker if isinstance(clicker, ClickerPrint) else None
        self._stretches = Stretches(rate_hz)
        self._snaps: list[Snaps] = []
        self._levels: list[Frames] = []

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
        if self._marker_ear is not None:
            return self._other(self._marker_ear.find(self._stretches.heard_s))
        snaps = self._away_from_holes(without_echoes(join_snaps(self._snaps)))
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

    def _other(self, found: Found) -> Heard:
        """What was heard where the marker is no click."""
        levels = self._all_levels()
        breath = hear_breath(levels)
        over = None if found.over_db is None else round(found.over_db, 1)
        quality = replace(self._quality(join_snaps([]), (), breath), marks_over_floor_db=over)
        notes = (*found.notes, *self._notes(HeardMarks(found.marks, told=True), breath, quality))
        floor_db = None
        if found.block_s:
            before = levels[: max(int((found.block_s[0] - 0.1) * 200), 1), HIGH_BANDS].astype(np.float64)
            floor_db = round(float(10 * np.log10((10 ** (before / 10)).sum(axis=1).mean())), 1)
        return Heard(
            found.marks, breath.inhales, breath.bouts, quality, notes, found.doubtful, found.block_s, floor_db
        )

    def _take(self, stretch: Stretch) -> None:
        self._levels.append(band_levels(stretch))
        if self._marker_ear is not None:
            self._marker_ear.take(stretch)
        else:
            self._snaps.append(find_snaps(stretch))

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


def _marker_ear(marker: str, known: Print | None) -> MarkerEar | None:
    """Who hears this marker; None for clicks, which the ear hears itself."""
    kinds: dict[str, type] = {"click": ClickerPrint, "whistle": WhistlePrint, "word": WordPrint}
    if marker not in kinds:
        raise WrongUse(f"The marker {marker!r} is not known. Choose click, whistle or word.")
    if known is not None and not isinstance(known, kinds[marker]):
        raise WrongUse(
            f"The print given is not that of a {marker}. Learn it from a recording of the {marker} alone."
        )
    if marker == "whistle":
        return WhistleEar(known if isinstance(known, WhistlePrint) else None)
    if marker == "word":
        return WordEar(known if isinstance(known, WordPrint) else None)
    return None
