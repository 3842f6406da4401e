"""Intakes of air and bouts of sniffing, from what each frame of sound is.

Conventions
-----------
A learned listener gives each frame the chance to be air drawn in through the nose, the rest of sniffing,
panting, or anything else; an intake lasts while drawing in is likelier than not. It was taught that an
intake begins and ends where its sound leaves zero, so edges lie at the foot of a swelling, not on its flank.
That intakes are the brighter and mostly the louder half of a cycle is an assumption about noses and boxes,
learned from invented dogs; where both halves sound alike the judgement says so by a low ``sure``. Intakes
that follow one another within 0.45 s are one bout.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from nares.base.vocab import Bout, Span
from nares.measure.sound.air import Rows, breath_power, excess
from nares.measure.sound.bands import HOP_S, Frames
from nares.measure.sound.intakes import DRAWING, Intakes, find_intakes, intake_rows
from nares.measure.sound.judge import judge
from nares.measure.sound.listener import listener
from nares.measure.sound.phase import LONGEST_CYCLE_S, cycle_s

LIKELY = 0.5
LONE, TOGETHER = 0.8, 0.7
"""A run counts when one of its intakes has this chance: one alone, or several doubtful ones together."""
FAINTEST_DB = 0.0
"""Breath below this over the background is not measured. [dB]"""
AROUND_S = 8.0
"""The background of a bout is that of the frames without breath this near to it. [s]"""
OTHER = 0.8
"""Frames that are something else than breath with this chance show the background."""


@dataclass(frozen=True, slots=True)
class Breath:
    """Intakes and bouts in time order, and the level of the bouts over the background (None: none)."""

    inhales: tuple[Span, ...]
    bouts: tuple[Bout, ...]
    over_floor_db: float | None


def hear_breath(levels: Frames) -> Breath:
    """Intakes and bouts in band levels, shape (t, 15)."""
    if levels.shape[0] < 40:
        return Breath((), (), None)
    chances = frame_chances(levels)
    intakes = find_intakes(chances)
    spans = likely_intakes(intakes, intake_chances(chances, intakes))
    if not spans:
        return Breath((), (), None)
    bouts = bouts_of(spans)
    over_db = _over_background_db(levels, chances, bouts)
    if over_db < FAINTEST_DB:
        return Breath((), (), over_db)
    return Breath(tuple(spans), bouts, over_db)


def frame_chances(levels: Frames) -> NDArray[np.float32]:
    """Chances of each frame to be something else, drawing in, the rest of sniffing, panting: (t, 4)."""
    return listener("breath/air").chances(excess(levels))


def intake_chances(chances: NDArray[np.float32], intakes: Intakes) -> Rows:
    """The chance of each intake to be one, shape (n,)."""
    return judge("breath/intake").chance(intake_rows(chances, intakes))


def bouts_of(inhales: list[Span]) -> tuple[Bout, ...]:
    """Runs of intakes; each lasts from its first intake to the end of its last cycle."""
    return tuple(_bout(run) for run in _runs(inhales))


def _runs(inhales: list[Span]) -> list[list[Span]]:
    runs: list[list[Span]] = []
    for span in inhales:
        if runs and span.start_s - runs[-1][-1].start_s <= LONGEST_CYCLE_S:
            runs[-1].append(span)
        else:
            runs.append([span])
    return runs


def _bout(run: list[Span]) -> Bout:
    # What misleads about one intake of a run misleads about all: many doubtful ones make no sure bout.
    sure = sum(span.sure for span in run) / len(run)
    last = run[-1].end_s
    end = min(run[-1].start_s + cycle_s(run), last + 0.15) if len(run) > 1 else last
    end = max(end, last)
    drawn_s = sum(span.end_s - span.start_s for span in run)
    rate_hz = round(1 / cycle_s(run), 2) if len(run) > 2 else None
    duty = round(drawn_s / (end - run[0].start_s), 3) if len(run) > 2 else None
    return Bout(run[0].start_s, end, round(sure, 4), len(run), rate_hz, duty)


def likely_intakes(intakes: Intakes, chances: Rows) -> list[Span]:
    """Likely intakes, in runs of which at least one is sure."""
    likely = np.flatnonzero(chances >= LIKELY)
    spans = [
        Span(
            round(float(intakes.start_s[i]), 4),
            round(float(intakes.end_s[i]), 4),
            round(float(chances[i]), 4),
            round(float(intakes.start_within_s[i]), 4),
            round(float(intakes.end_within_s[i]), 4),
        )
        for i in likely
    ]
    return [
        span
        for run in _runs(spans)
        if max(span.sure for span in run) >= (LONE if len(run) == 1 else TOGETHER)
        for span in run
    ]


def _over_background_db(levels: Frames, chances: NDArray[np.float32], bouts: tuple[Bout, ...]) -> float:
    """Level of the bouts over the background around each, 1.2 to 6.7 kHz. [dB]

    Marks and knocks fall into bouts, so the middle frame stands for its phase:
    over half a sine that is the mean.
    """
    power, quiet, drawing = breath_power(levels), chances[:, 0] > OTHER, chances[:, DRAWING] >= LIKELY
    reach, drawn, let_out = int(AROUND_S / HOP_S), [np.zeros(0)], [np.zeros(0)]
    for bout in bouts:
        first, last = int(bout.start_s / HOP_S), int(bout.end_s / HOP_S) + 1
        near = slice(max(first - reach, 0), last + reach)
        beside = power[near][quiet[near]]
        over = power[first:last] / (np.median(beside if beside.size >= 40 else power[near]) + 1e-12)
        drawn.append(over[drawing[first:last]])
        let_out.append(over[~drawing[first:last]])
    parts = [np.concatenate(part) for part in (drawn, let_out)]
    total = sum(part.size * float(np.median(part)) for part in parts if part.size)
    return float(10 * np.log10(max(total / max(sum(part.size for part in parts), 1) - 1.0, 1e-3)))
