"""A spoken word as the marker: found by examples of it, wherever it is said.

Conventions
-----------
Every example is laid over the whole recording (`word_paths`); where the better half of them fit, there may be
the word. A learned judge, told how well it fits as a whole and in its parts, how the word's own examples fit
one another and how the rest of the session's speech fits, gives the chance. A word begins where the examples
laid on it begin, moved to the nearest rise of the voice over the background.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from nares.base.vocab import Mark
from nares.measure.sound.judge import judge
from nares.measure.sound.utterances import EDGE_DB
from nares.measure.sound.voice_levels import HOP_S
from nares.measure.sound.voice_shape import Line, Shape
from nares.measure.sound.word_paths import fits
from nares.measure.sound.word_print import WordPrint, combined, part_costs

LIKELY = 0.65
"""From this chance on it is a mark: talk is long and the word is rare, so more than even odds are asked."""
DOUBTFUL = 0.1
"""Between this chance and `LIKELY` a sound is put to a person."""
WITHIN_S = 0.05
"""Half-width of a 95 % interval for the moment a word begins. [s]"""
CHUNK = 6000
"""Frames laid at once: a minute; memory does not grow with the recording."""
NEAR = 6
"""Examples may end this many frames apart and mean the same place."""
LEAST_CUT = 1.05
CUT_TIMES = 2.2
MOST_A_MINUTE = 40
LOUD_DB = 3.0
OWN_TIMES = 1.5
USUAL = (1.0, 1.35)
"""What a word costs on other talk, where a session has none."""


@dataclass(frozen=True, slots=True)
class Candidates:
    """Places where the word may be.

    ``spans``: (first frame, last + 1). ``rows``: for the judge, shape (n, 17). ``begins``: frame where the
    word begins, shape (n,).
    """

    spans: list[tuple[int, int]]
    rows: NDArray[np.float64]
    begins: Line


def find_words(shape: Shape, known: WordPrint) -> tuple[tuple[Mark, ...], tuple[Mark, ...]]:
    """Marks, and sounds that may be marks and are more likely not, each in time order."""
    found = candidates(shape, known)
    chances = judge("word/word").chance(found.rows) if found.spans else np.zeros(0)
    marks = [
        Mark(begins_s(round(float(begin))), round(float(sure), 4), WITHIN_S)
        for begin, sure in zip(found.begins, chances, strict=True)
    ]
    likely = tuple(mark for mark in marks if mark.sure >= LIKELY)
    return likely, tuple(mark for mark in marks if DOUBTFUL <= mark.sure < LIKELY)


def begins_s(frame: int) -> float:
    """When a word begins whose first frame over the background is this one: a frame hears 13 ms ahead. [s]"""
    return round((frame + 1.0) * HOP_S, 4)


def candidates(shape: Shape, known: WordPrint) -> Candidates:
    """Every place worth judging, in time order."""
    cost, begun = _laid(shape, known)
    ends = _lowest(cost, begun, max(LEAST_CUT, CUT_TIMES * known.own), len(shape))
    spans = [(int(begun[end]), int(end) + 1) for end in ends]
    if not spans:
        return Candidates([], np.zeros((0, 0)), np.zeros(0, dtype=np.float32))
    usual = _usual_speech(cost, shape, known, spans)
    best = np.sort(cost[ends])
    rows, begins = [], []
    for (first, last), end in zip(spans, ends, strict=True):
        parts, starts = part_costs(shape, (first - NEAR, last + NEAR), known.examples)
        order = np.argsort(parts.mean(axis=1))[: (len(known.examples) + 1) // 2]
        begins.append(_risen_at(shape, float(np.median(starts[order]))))
        others = np.delete(best, np.searchsorted(best, cost[end]))[:3]
        rows.append(_row(shape, known, (first, last), parts, parts[order].mean(axis=0), usual, others))
    return Candidates(spans, np.array(rows, dtype=np.float64), np.array(begins, dtype=np.float32))


def _laid(shape: Shape, known: WordPrint) -> tuple[Line, NDArray[np.int32]]:
    """Cost of the better half of the examples ending near each frame, and where the best of them begins."""
    from scipy.ndimage import minimum_filter1d

    cost = np.full(len(shape), np.inf, dtype=np.float32)
    begun = np.zeros(len(shape), dtype=np.int32)
    reach = 3 * max(len(one) for one in known.examples) + NEAR
    for first in range(0, len(shape), CHUNK):
        low, high = max(first - reach, 0), min(first + CHUNK + NEAR, len(shape))
        each = [fits(shape.rows[low:high], one) for one in known.examples]
        costs = np.stack([one for one, _ in each])
        starts = np.stack([one for _, one in each])
        best = np.argmin(costs, axis=0)
        mixed = combined(minimum_filter1d(costs, 2 * NEAR + 1, axis=1)) + 0.02 * costs.min(axis=0)
        own = slice(first - low, min(first + CHUNK, len(shape)) - low)
        cost[first : first + CHUNK] = mixed[own]
        begun[first : first + CHUNK] = (low + starts[best, np.arange(best.size)])[own]
    return cost, begun


def _lowest(cost: Line, begun: NDArray[np.int32], cut: float, count: int) -> NDArray[np.intp]:
    """Ends that cost least, each with its stretch of the recording to itself."""
    from scipy.ndimage import minimum_filter1d

    low = np.flatnonzero((cost <= minimum_filter1d(cost, 2 * NEAR + 1)) & (cost < cut))
    low = low[np.argsort(cost[low], kind="stable")][: int(MOST_A_MINUTE * (count * HOP_S / 60 + 1))]
    taken = np.zeros(count, dtype=bool)
    kept = []
    for end in low:
        span = slice(int(begun[end]), int(end) + 1)
        if taken[span].mean() < 0.3:
            taken[span] = True
            kept.append(end)
    return np.sort(np.array(kept, dtype=np.intp))


def _usual_speech(
    cost: Line, shape: Shape, known: WordPrint, spans: list[tuple[int, int]]
) -> tuple[float, float]:
    """What the word costs on the session's other voices, (lowest twentieth, median): good fits left out."""
    voiced = np.isfinite(cost) & (shape.loud_db > LOUD_DB)
    for first, last in spans:
        if cost[last - 1] < OWN_TIMES * known.own:
            voiced[first : last + NEAR] = False
    if np.count_nonzero(voiced) < 100:
        return USUAL
    low, middle = np.quantile(cost[voiced], [0.05, 0.5])
    return float(low), float(middle)


def _row(
    shape: Shape,
    known: WordPrint,
    span: tuple[int, int],
    parts: Line,
    better: Line,
    usual: tuple[float, float],
    others: Line,
) -> list[float]:
    """How one candidate fits, stands out, and what lies around it: 17 numbers, each higher for the word.

    The louder a candidate stands over the background, the better it has to fit.
    """
    first, last = span
    whole = np.sort(parts.mean(axis=1))
    fit = float(combined(whole[:, None])[0])
    over = np.sort(np.log((better + 0.1) / (known.own_parts + 0.1)))
    length = np.log((last - first) * HOP_S / known.length_s)
    top = float(shape.level_db[first:last].max())
    before = float(shape.level_db[max(first - 15, 0) : max(first - 3, 1)].min(initial=top)) - top
    after = float(shape.level_db[last + 3 : last + 15].min(initial=top)) - top
    rest = [float(value) for value in others] + [1.2] * (3 - len(others))
    loud = float(np.clip(shape.loud_db[first:last].max(), 0.0, 40.0))
    lower = [
        fit, np.log(fit / known.own), np.log(whole[0] / known.own), np.log(whole[-1] / known.own),
        fit - usual[0], (fit - usual[1]) / (usual[1] - usual[0] + 0.1),
        over[-1], over[-2], over.mean(), over[:3].mean(),
        float(better.max()), max(length, 0.0), max(-length, 0.0), max(before, -40.0), max(after, -40.0),
        fit - float(np.mean(rest)), loud,
    ]  # fmt: skip
    return [-float(value) for value in lower]


def _risen_at(shape: Shape, begin: float) -> float:
    """Where the voice first stands over the background, within 60 ms of where the examples begin."""
    at = round(begin)
    if shape.risen_db[max(at, 0)] > EDGE_DB:
        low = at
        while low > max(at - 5, 0) and shape.risen_db[low - 1] > EDGE_DB:
            low -= 1
        # Sound before the word runs into it: then only the examples can tell.
        return float(low) if low > at - 5 else float(at)
    risen = np.flatnonzero(shape.risen_db[at : at + 7] > EDGE_DB)
    return float(at + risen[0]) if risen.size else begin
