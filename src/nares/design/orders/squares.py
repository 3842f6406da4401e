"""Squares and sequences in which everything follows everything else equally often.

Conventions
-----------
A *square* gives one row to each dog (or occasion) and one column to each turn; what
stands there is a condition, or a position, from 1. In a Latin square each comes once in every row and
column. A target leaves odour where it lay, and a dog goes back to where it was paid: a design balances that
carry-over by letting each condition follow each other one equally often. Such designs are published and can
be looked up: they keep a comparison fair, they do not keep a secret.
"""

from itertools import pairwise
from math import factorial

from nares.base.errors import OutOfRange

MOST_CODES = 1_000_000


def williams_squares(conditions: int) -> tuple[tuple[tuple[int, ...], ...], ...]:
    """Squares in which each condition directly follows each other one equally often.

    One square where the number of conditions is even: each ordered pair of neighbours comes once. Two where
    it is odd, the second the first one backwards: each pair comes twice.

    Args:
        conditions: How many conditions, 2 at least. [count]

    Raises:
        OutOfRange: If there are fewer than two conditions.

    Sources:
        williams-1949: the construction.

    Examples:
        >>> williams_squares(4)
        (((1, 2, 4, 3), (2, 3, 1, 4), (3, 4, 2, 1), (4, 1, 3, 2)),)
    """
    if conditions < 2:
        raise OutOfRange(f"With {conditions} condition nothing follows anything. Name two at least.")
    first = [0]
    for step in range(1, conditions):
        first.append((first[-1] + (step if step % 2 else -step)) % conditions)
    square = tuple(tuple((turn + row) % conditions + 1 for turn in first) for row in range(conditions))
    if conditions % 2 == 0:
        return (square,)
    return square, tuple(row[::-1] for row in square)


def follows(rows: tuple[tuple[int, ...], ...]) -> dict[tuple[int, int], int]:
    """How often each condition directly follows each: ``{(before, after): times}``."""
    counted: dict[tuple[int, int], int] = {}
    for row in rows:
        for pair in pairwise(row):
            counted[pair] = counted.get(pair, 0) + 1
    return counted


def de_bruijn(positions: int, length: int) -> tuple[int, ...]:
    """The lexicographically least cycle in which every succession of ``length`` positions comes exactly once.

    With length 2 every position follows every position once, itself too: 25 runs for five positions. It is a
    cycle: run it once, and the first ``length`` - 1 again at its end. It holds a succession of ``length`` at
    one position.

    Raises:
        OutOfRange: If there is nothing to succeed, or the cycle has more than a million runs.

    Sources:
        fredricksen-maiorana-1978: concatenated Lyndon words whose length divides the length asked for.

    Examples:
        >>> de_bruijn(2, 3)
        (1, 1, 1, 2, 1, 2, 2, 2)
    """
    if positions < 1 or length < 1:
        raise OutOfRange(
            f"Successions of {length} among {positions} positions cannot be. Ask for one of each at least."
        )
    if positions**length > MOST_CODES:
        raise OutOfRange(
            f"Every succession of {length} among {positions} positions takes {positions**length:,} runs. "
            "Ask for shorter ones."
        )
    cycle: list[int] = []
    word = [0]
    while word:
        if length % len(word) == 0:
            cycle += word
        word = [word[place % len(word)] for place in range(length)]
        while word and word[-1] == positions - 1:
            word.pop()
        if word:
            word[-1] += 1
    return tuple(place + 1 for place in cycle)


def how_many_de_bruijn(positions: int, length: int) -> int:
    """How many such cycles there are.

    Sources:
        de-bruijn-1946: two positions.
        aardenne-ehrenfest-1951: any number of positions.

    Examples:
        >>> how_many_de_bruijn(2, 5)
        2048
    """
    rounds: int = positions ** (length - 1)
    cycles: int = factorial(positions) ** rounds
    words: int = positions**length
    return cycles // words
