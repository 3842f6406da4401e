"""From puffs to intakes of air and bouts of sniffing.

Conventions
-----------
An intake is a puff judged to be air drawn in through the nose. That intakes are the brighter and mostly the
louder half of a cycle is an assumption about noses and boxes, learned from invented dogs; where both halves
sound alike the judgement says so by a low ``sure``. Intakes that follow one another within 0.45 s are one
bout.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from nares.base.vocab import Bout, Span
from nares.measure.sound.bands import HOP_S
from nares.measure.sound.edges import refined
from nares.measure.sound.judge import judge
from nares.measure.sound.phase import LONGEST_CYCLE_S, cycle_s
from nares.measure.sound.puff_rows import among_puffs, own_rows
from nares.measure.sound.puffs import Breathing, Puffs, Rows, breathing, find_puffs

LIKELY = 0.5
APART_S = 0.10
"""Two intakes never begin nearer to each other than this. [s]"""
FAINTEST_DB = 0.0
"""Breath below this over the background is not measured. [dB]"""
FLOOR_LOW = 1.25
"""The quietest tenth lies this factor below the mean of steady noise."""
LONG = 1.3
"""An intake this many times longer than usual, with a snap in it, has lost an edge."""
LONE = 0.8
"""An intake with no other beside it counts from this chance on."""


@dataclass(frozen=True, slots=True)
class Breath:
    """Intakes and bouts in time order, and the level of the intakes over the background (None: none)."""

    inhales: tuple[Span, ...]
    bouts: tuple[Bout, ...]
    over_floor_db: float | None


def hear_breath(levels: NDArray[np.float16], snaps_s: Rows) -> Breath:
    """Intakes and bouts in band levels, shape (t, 15), with the clicker's snaps blanked."""
    if levels.shape[0] < 40:
        return Breath((), (), None)
    air = breathing(levels, snaps_s)
    puffs = find_puffs(air)
    if not len(puffs):
        return Breath((), (), None)
    chances = puff_chances(air, puffs)
    edged = refined(air, puffs, chances)
    spans = _filled(_unhidden(_chosen(edged, chances), air), air)
    if not spans:
        return Breath((), (), None)
    bouts = bouts_of(spans)
    over_db = _over_floor_db(air, bouts)
    if over_db < FAINTEST_DB:
        return Breath((), (), over_db)
    return Breath(tuple(spans), bouts, over_db)


def puff_chances(air: Breathing, puffs: Puffs) -> Rows:
    """The chance of each puff to be an intake, shape (n,)."""
    first = judge("breath/puff").chance(own_rows(air, puffs))
    return judge("breath/intake").chance(among_puffs(air, puffs, first))


def bouts_of(inhales: list[Span]) -> tuple[Bout, ...]:
    """Runs of intakes; each lasts from its first intake to the end of its last cycle."""
    runs: list[list[Span]] = []
    for span in inhales:
        if runs and span.start_s - runs[-1][-1].start_s <= LONGEST_CYCLE_S:
            runs[-1].append(span)
        else:
            runs.append([span])
    return tuple(_bout(run) for run in runs)


def _bout(run: list[Span]) -> Bout:
    sure = 1.0 - float(np.prod([1.0 - 0.98 * span.sure for span in run]))
    last = run[-1].end_s
    end = min(run[-1].start_s + cycle_s(run), last + 0.15) if len(run) > 1 else last
    end = max(end, last)
    drawn_s = sum(span.end_s - span.start_s for span in run)
    rate_hz = round(1 / cycle_s(run), 2) if len(run) > 2 else None
    duty = round(drawn_s / (end - run[0].start_s), 3) if len(run) > 2 else None
    return Bout(run[0].start_s, end, round(sure, 4), len(run), rate_hz, duty)


def _chosen(puffs: Puffs, chances: Rows) -> list[Span]:
    """Likely puffs, the likelier of two that are too near, lone ones only when sure."""
    kept: list[int] = []
    for i in np.flatnonzero(chances >= LIKELY):
        if kept and puffs.start_s[i] - puffs.start_s[kept[-1]] < APART_S:
            if chances[i] > chances[kept[-1]]:
                kept[-1] = int(i)
        else:
            kept.append(int(i))
    starts = puffs.start_s[kept]
    return [
        Span(round(float(puffs.start_s[i]), 4), round(float(puffs.end_s[i]), 4), round(float(chances[i]), 4))
        for i, gap in zip(kept, _nearest_gap(starts), strict=True)
        if gap <= LONGEST_CYCLE_S or chances[i] >= LONE
    ]


def _nearest_gap(starts: Rows) -> Rows:
    if starts.size < 2:
        return np.full(starts.size, np.inf)
    gaps = np.diff(starts)
    return np.asarray(np.minimum(np.concatenate([[np.inf], gaps]), np.concatenate([gaps, [np.inf]])))


def _unhidden(spans: list[Span], air: Breathing) -> list[Span]:
    """Put edges that a snap hid where the usual length of an intake puts them; part two that it joined."""
    clear = [span.end_s - span.start_s for span in spans if not _hidden(air, span.start_s, span.end_s)]
    if len(clear) < 4:
        return spans
    usual, shown = float(np.median(clear)), []
    for span in spans:
        if span.end_s - span.start_s < LONG * usual or not _hidden(air, span.start_s, span.end_s):
            shown.append(span)
            continue
        first = Span(span.start_s, round(span.start_s + usual, 4), span.sure)
        last = Span(round(span.end_s - usual, 4), span.end_s, span.sure)
        starts_hidden = _hidden(air, span.start_s, span.start_s + usual / 2)
        ends_hidden = _hidden(air, span.end_s - usual / 2, span.end_s)
        if starts_hidden or last.start_s - first.start_s < APART_S:
            shown += [first] if ends_hidden and not starts_hidden else [last]
        else:
            shown += [first] if ends_hidden else [first, last]
    return shown


def _hidden(air: Breathing, start_s: float, end_s: float) -> bool:
    """Whether a snap hid part of a stretch."""
    return bool(air.blanked[int(start_s / HOP_S) : int(end_s / HOP_S) + 1].any())


def _filled(spans: list[Span], air: Breathing) -> list[Span]:
    """Put back the one intake that a click hid in the middle of an even run."""
    filled: list[Span] = []
    for i, span in enumerate(spans):
        if 1 <= i < len(spans) - 1 and filled:
            hidden = _hidden_between(filled[-1], span, spans[max(i - 3, 0) : i + 3], air)
            filled += [hidden] if hidden else []
        filled.append(span)
    return filled


def _hidden_between(before: Span, after: Span, around: list[Span], air: Breathing) -> Span | None:
    cycle = cycle_s([*around]) if len(around) > 2 else 0.0
    gap = after.start_s - before.start_s
    if not (0.1 < cycle < 0.3 and 1.75 < gap / cycle < 2.3):
        return None
    start = before.start_s + gap / 2
    length = (before.end_s - before.start_s + after.end_s - after.start_s) / 2
    frames = air.blanked[int(start / HOP_S) : int((start + length) / HOP_S)]
    if not frames.size or frames.mean() < 0.4:
        return None
    return Span(round(start, 4), round(start + length, 4), round(0.8 * min(before.sure, after.sure), 4))


def _over_floor_db(air: Breathing, bouts: tuple[Bout, ...]) -> float:
    """Median level of the bouts over the mean background, 1.2 to 6.7 kHz. [dB]"""
    levels = []
    for span in bouts:
        piece = air.excess_db[int(span.start_s / HOP_S) : int(span.end_s / HOP_S) + 1, 2:5]
        levels.append(float(np.mean(10 ** (piece / 10))) / FLOOR_LOW - 1.0 if piece.size else 0.0)
    return float(10 * np.log10(max(float(np.median(levels)), 1e-3)))
