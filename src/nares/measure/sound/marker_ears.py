"""What an ear needs to hear a whistle or a word: what it keeps of the sound, and what it finds in it.

Conventions
-----------
A marker ear takes stretches and, at the end, finds marks. Without a print it learns from a start block: at
least a second of quiet, then the marker four times, about one second apart.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import Protocol

import numpy as np

from nares.base.errors import NotEnoughData, WrongUse
from nares.base.vocab import Mark
from nares.measure.sound.blasts import Blasts, blasts_of
from nares.measure.sound.stream import RATE_HZ, Stretch
from nares.measure.sound.tones import Tones, tones
from nares.measure.sound.utterances import utterances
from nares.measure.sound.voice_levels import HOP_S, Levels, join_levels, voice_levels
from nares.measure.sound.voice_shape import Shape, shape_of
from nares.measure.sound.whistle import WhistlePrint, find_whistles, join_tones, print_of
from nares.measure.sound.word import begins_s, find_words
from nares.measure.sound.word_print import WordPrint
from nares.measure.sound.word_print import print_of as word_print_of

FOUR = 4
QUIET_S = 1.0
LATEST_S = 9.0
STEP_S = (0.75, 1.30)
FAINTER_DB = 12.0


@dataclass(frozen=True, slots=True)
class Found:
    """What a marker ear found.

    ``over_db``: median level of the marks over the background, None without marks. ``block_s``: when the four
    marks of a start block began, empty without one.
    """

    marks: tuple[Mark, ...]
    doubtful: tuple[Mark, ...]
    notes: tuple[str, ...] = ()
    over_db: float | None = None
    block_s: tuple[float, ...] = ()


class MarkerEar(Protocol):
    """Hears one kind of marker."""

    def take(self, stretch: Stretch) -> None:
        """Keep what is needed of a stretch."""

    def find(self, heard_s: float) -> Found:
        """Find the marks in what was taken, of which so much was heard."""


@dataclass(slots=True)
class WhistleEar:
    """Hears whistles, with or without a print."""

    known: WhistlePrint | None
    _kept: list[Tones] = field(default_factory=list)

    def take(self, stretch: Stretch) -> None:
        """Keep the tones of a stretch."""
        self._kept.append(tones(stretch))

    def find(self, heard_s: float) -> Found:
        """Blasts of the print, of the start block, or those that keep coming back."""
        found = blasts_of(join_tones(self._kept, heard_s))
        known, notes = self.known, []
        block = _four(found.at_s, found.level_db, _same_pitch(found))
        if known is None and block:
            known = print_of(found.take(np.array(block)))
            notes.append("the whistle was learned from the four blasts at the start of the recording.")
        marks, doubtful = find_whistles(found, known)
        if known is None and marks:
            notes.append(
                "marks were read from the whistle that keeps coming back: "
                "record the whistle alone to be surer."
            )
        over = [found.over_db[np.argmin(np.abs(found.at_s - mark.at_s))] for mark in marks]
        block_s = tuple(float(found.at_s[i]) for i in block)
        return Found(marks, doubtful, tuple(notes), float(np.median(over)) if over else None, block_s)


@dataclass(slots=True)
class WordEar:
    """Hears a marker word by its print or by a start block."""

    known: WordPrint | None
    _kept: list[Levels] = field(default_factory=list)

    def take(self, stretch: Stretch) -> None:
        """Keep the band levels of a stretch.

        Raises:
            WrongUse: As soon as it is plain that there are neither examples nor a start block.
        """
        self._kept.append(voice_levels(stretch))
        start_s = stretch.first / RATE_HZ
        if self.known is None and LATEST_S + 1.0 <= start_s < LATEST_S + 3.5:
            _require_block(_word_block(shape_of(join_levels(self._kept))))

    def find(self, heard_s: float) -> Found:
        """Words like the examples, or like the four at the start.

        Raises:
            WrongUse: Where there are neither.
        """
        shape = shape_of(join_levels(self._kept)[: int(heard_s / HOP_S)])
        if not len(shape):
            return Found((), ())
        known, notes, block_s = self.known, [], tuple[float, ...]()
        block = _word_block(shape)
        if block is not None:
            block_s = block[1]
        if known is None:
            known = _require_block(block)
            notes.append("the word was learned from the four at the start of the recording.")
        elif known.left_out:
            numbers = ", ".join(map(str, known.left_out))
            notes.append(
                f"of the examples of the word, number {numbers} was left out: it is unlike the rest."
            )
        marks, doubtful = find_words(shape, known)
        over = [
            float(shape.loud_db[int(m.at_s / HOP_S) : int(m.at_s / HOP_S) + 40].max(initial=-20.0))
            for m in marks
        ]
        return Found(marks, doubtful, tuple(notes), float(np.median(over)) if over else None, block_s)


def _word_block(shape: Shape) -> tuple[WordPrint, tuple[float, ...]] | None:
    """The print of four utterances at the start, and when they begin."""
    spans = utterances(shape, first=0, last=int(LATEST_S / HOP_S))
    begins = np.array([a * HOP_S for a, _ in spans])
    loud = np.array([float(shape.level_db[a:b].max()) for a, b in spans])
    four = _four(begins, loud, lambda first, other: True)
    if not four:
        return None
    try:
        known = word_print_of(shape, [spans[i] for i in four])
    except NotEnoughData:
        return None
    if known.left_out:
        return None
    return known, tuple(begins_s(spans[i][0]) for i in four)


def _require_block(block: tuple[WordPrint, tuple[float, ...]] | None) -> WordPrint:
    if block is None:
        raise WrongUse(
            "A marker word is found from examples, and none were given. "
            "Record the word three to ten times with pauses and give that recording, or begin the session "
            "with two quiet seconds and the word four times, one second apart."
        )
    return block[0]


def _same_pitch(found: Blasts) -> Callable[[int, int], bool]:
    return lambda first, other: bool(abs(found.pitch[first] - found.pitch[other]) < 0.12)


def _four(
    at_s: Sequence[float] | np.ndarray, loud: np.ndarray, alike: Callable[[int, int], bool]
) -> list[int]:
    """Four alike sounds about one second after one another, nothing nearly as loud before them."""
    early = [i for i in range(len(at_s)) if at_s[i] < LATEST_S]
    for first in early:
        chain = [first]
        while len(chain) < FOUR:
            gaps = [(abs(at_s[i] - at_s[chain[-1]] - 1.0), i) for i in early if alike(first, i)
                    and STEP_S[0] <= at_s[i] - at_s[chain[-1]] <= STEP_S[1]]  # fmt: skip
            if not gaps:
                break
            chain.append(min(gaps)[1])
        if len(chain) == FOUR and at_s[first] >= QUIET_S:
            usual = float(np.median([loud[i] for i in chain]))
            if all(loud[i] < usual - FAINTER_DB for i in early if at_s[i] < at_s[first] - 0.001):
                return chain
    return []
