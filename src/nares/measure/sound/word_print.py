"""Learning a marker word from a recording in which the trainer says it several times.

Conventions
-----------
An example is one utterance, 80 ms to 2 s long, kept as rows of `voice_shape`. ``own`` is what an example
costs when it is laid on the others: how much this trainer's word varies. Examples are numbered from 1 in the
order they were said.
"""

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from nares.base.errors import NotEnoughData
from nares.measure.inputs import SoundBlock
from nares.measure.sound.stream import Stretches
from nares.measure.sound.utterances import utterances
from nares.measure.sound.voice_levels import HOP_S, Levels, join_levels, voice_levels
from nares.measure.sound.voice_shape import Line, Rows, Shape, shape_of
from nares.measure.sound.word_paths import fits, path_of

LEAST_EXAMPLES = 3
MOST_EXAMPLES = 10
LONGEST_S = 2.0
AROUND = 8
"""Frames around an utterance in which another example may find its place."""
PARTS = 5
UNLIKE = 0.95
"""Examples that cost more than this on the middle one are not the same word."""
UNLIKE_TIMES = 2.2
"""Nor are those that cost this many times what the others cost."""


@dataclass(frozen=True, slots=True)
class WordPrint:
    """What a marker word sounds like.

    ``examples``: rows of each, shape (n, 25). ``own`` and ``own_parts``: what they cost on one another, as a
    whole and in five parts, shape (5,). ``left_out``: numbers of those that are unlike the rest or too long.
    """

    examples: tuple[Rows, ...]
    own: float
    own_parts: Line
    left_out: tuple[int, ...] = ()

    @property
    def length_s(self) -> float:
        """Usual length of the word. [s]"""
        return float(np.median([len(one) for one in self.examples])) * HOP_S


def learn_word(blocks: Iterable[SoundBlock]) -> WordPrint:
    """Learn a marker word from a recording of it: three to ten times, with pauses, nobody else talking.

    Raises:
        NotEnoughData: If there are not three examples of at most 2 s that are alike.
    """
    shape = shape_of(_levels_of(blocks))
    if not len(shape):
        raise NotEnoughData(f"The recording of the word is empty. {_ADVICE}")
    return print_of(shape, utterances(shape))


def print_of(shape: Shape, spans: list[tuple[int, int]]) -> WordPrint:
    """The print of the utterances at these frames.

    Raises:
        NotEnoughData: As `learn_word`.
    """
    short = [number for number, (a, b) in enumerate(spans) if (b - a) * HOP_S <= LONGEST_S]
    if len(short) < LEAST_EXAMPLES:
        raise NotEnoughData(f"{_too_few(len(spans), len(short))}. {_ADVICE}")
    short = short[:MOST_EXAMPLES]
    costs = _pairwise(shape, [spans[i] for i in short])
    alike = _alike(costs)
    if alike.sum() < LEAST_EXAMPLES:
        odd = [short[i] + 1 for i in np.flatnonzero(~alike)]
        raise NotEnoughData(f"{_named(odd)} unlike the other examples of the word. {_ADVICE}")
    kept = np.flatnonzero(alike)
    costs = costs[np.ix_(kept, kept)]
    others = [combined(np.delete(row, i)[:, None])[0] for i, row in enumerate(costs)]
    chosen = [spans[short[i]] for i in kept]
    examples = tuple(shape.rows[a:b] for a, b in chosen)
    out = tuple(i + 1 for i in range(len(spans)) if i not in {short[k] for k in kept})
    return WordPrint(examples, float(np.median(others)), _own_parts(shape, chosen, examples), out)


def combined(costs: Line | Rows) -> Line:
    """One cost of those of several examples, shape (examples, n) to (n,): the mean of the better half."""
    half = (costs.shape[0] + 1) // 2
    return np.asarray(np.sort(costs, axis=0)[:half].mean(axis=0))


def part_costs(shape: Shape, span: tuple[int, int], examples: tuple[Rows, ...]) -> tuple[Line, Line]:
    """Examples laid so that they end within a span.

    Returns:
        Costs in five parts of each, shape (examples, 5), and the frame where each begins, shape (examples,).
    """
    low, high = max(span[0], 0), min(span[1], len(shape))
    rows = shape.rows[low:high]
    parts, begins = [], []
    for example in examples:
        where, apart = path_of(rows, example)
        parts.append([float(piece.mean()) for piece in np.array_split(apart, PARTS)])
        begins.append(low + int(where[0]))
    return np.array(parts, dtype=np.float32), np.array(begins, dtype=np.float32)


def _own_parts(shape: Shape, spans: list[tuple[int, int]], examples: tuple[Rows, ...]) -> Line:
    every = []
    for i, (a, b) in enumerate(spans):
        rest = tuple(one for k, one in enumerate(examples) if k != i)
        every.append(part_costs(shape, (a - AROUND, b + AROUND), rest)[0].mean(axis=0))
    return np.asarray(np.median(every, axis=0), dtype=np.float32)


def _pairwise(shape: Shape, spans: list[tuple[int, int]]) -> Rows:
    """What each utterance costs under each other as its example, shape (k, k)."""
    examples = [shape.rows[a:b] for a, b in spans]
    around = [shape.rows[max(a - AROUND, 0) : b + AROUND] for a, b in spans]
    return np.array([[fits(rows, one)[0].min() for one in examples] for rows in around], dtype=np.float32)


def _alike(costs: Rows) -> np.ndarray:
    """Which utterances are like the one that is most like all."""
    both = (costs + costs.T) / 2
    count = both.shape[0]
    middle = int(np.argmin(np.sort(both, axis=1)[:, : count // 2 + 1].sum(axis=1)))
    usual = float(np.median(np.delete(both[middle], middle)))
    return np.asarray(both[middle] <= min(UNLIKE, max(UNLIKE_TIMES * usual, 0.45)))


def _levels_of(blocks: Iterable[SoundBlock]) -> Levels:
    stretches: Stretches | None = None
    parts = []
    for block in blocks:
        stretches = stretches or Stretches(block.rate_hz)
        parts += [voice_levels(stretch) for stretch in stretches.add(block)]
    if stretches is None:
        return join_levels([])
    parts += [voice_levels(stretch) for stretch in stretches.rest()]
    return join_levels(parts)[: int(stretches.heard_s / HOP_S)]


_ADVICE = "Record the word three to ten times, with a second's pause after each and nobody else talking."


def _too_few(heard: int, short: int) -> str:
    if heard == 0:
        return "No voice was heard in the recording of the word"
    if short < heard:
        return f"{heard - short} of {heard} examples of the word last longer than {LONGEST_S:g} s"
    return f"Only {heard} {'example' if heard == 1 else 'examples'} of the word were heard".replace(
        "example of the word were", "example of the word was"
    )


def _named(numbers: list[int]) -> str:
    if len(numbers) == 1:
        return f"Example {numbers[0]} is"
    return f"Examples {', '.join(map(str, numbers[:-1]))} and {numbers[-1]} are"
