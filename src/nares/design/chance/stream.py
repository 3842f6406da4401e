"""The expansion of a seed: words, whole numbers without bias, chances, shuffles.

Conventions
-----------
A *seed* is 32 bytes that nobody can guess; it comes in from outside. Block *c* (0, 1, 2 …) of its stream is
HMAC-SHA256 with the seed as key and *c* as eight bytes, highest first, as message; a block is cut into eight
*words* of 32 bits, highest byte first. Everything drawn uses up words from left to right, and one word at
least, even where only one answer is possible: so a stranger with the recipe in docs/orders.md gets the same.

The generator of Python's standard library is not used: what its shuffle and choice make of a seed may differ
from version to version, and its future follows from 624 of its words.
"""

import hmac
from collections.abc import Sequence
from fractions import Fraction
from functools import lru_cache
from struct import Struct
from typing import TypeVar

from nares.base.errors import OutOfRange

SEED_BYTES = 32
_BLOCK = Struct(">8I")
_WORDS = 1 << 32
_BITS = 32

Item = TypeVar("Item")


class Stream:
    """Numbers from one seed. Two streams of the same seed give the same numbers.

    Examples:
        >>> stream = Stream(bytes(range(32)))
        >>> [stream.below(5) for _ in range(10)]
        [3, 2, 0, 0, 2, 4, 0, 4, 4, 0]
    """

    __slots__ = ("_block", "_left", "_seed")

    def __init__(self, seed: bytes) -> None:
        if len(seed) != SEED_BYTES:
            raise OutOfRange(
                f"A seed of {len(seed)} bytes cannot be used. Give {SEED_BYTES} bytes (64 digits in hex)."
            )
        self._seed = bytes(seed)
        self._block = 0
        self._left: list[int] = []

    def word(self) -> int:
        """The next 32 bits, as a number from 0 to 4,294,967,295.

        Sources:
            rfc-4231-2005: HMAC with SHA-256.
        """
        if not self._left:
            block = hmac.digest(self._seed, self._block.to_bytes(8, "big"), "sha256")
            self._left = list(reversed(_BLOCK.unpack(block)))
            self._block += 1
        return self._left.pop()

    def below(self, bound: int) -> int:
        """A whole number from 0 to ``bound`` - 1, each exactly equally likely.

        Words from the largest multiple of ``bound`` on are thrown away, so that no remainder comes more
        often. Where ``bound`` is larger than one word holds, as few words as hold it are read as one
        number.

        Raises:
            OutOfRange: If ``bound`` is less than 1.
        """
        if bound < 1:
            raise OutOfRange(f"There is no whole number from 0 to below {bound}. Draw below 1 at least.")
        if bound <= _WORDS:
            limit = _WORDS - _WORDS % bound
            while (number := self.word()) >= limit:
                pass
            return number % bound
        words, range_of_words = 2, _WORDS << _BITS
        while range_of_words < bound:
            words, range_of_words = words + 1, range_of_words << _BITS
        limit = range_of_words - range_of_words % bound
        while True:
            number = self.word()
            for _ in range(words - 1):
                number = number << _BITS | self.word()
            if number < limit:
                return number % bound

    def chance(self, share: float) -> bool:
        """Yes with exactly the chance ``share``, taken as the decimal a person wrote.

        The decimal is a fraction in lowest terms, 0.3 is 3/10; yes if a number drawn below its denominator is
        less than its numerator. So 0.3 is three in ten, not the binary number nearest to it.

        Raises:
            OutOfRange: If the share is not between 0 and 1.
        """
        exact = as_written(share)
        return self.below(exact.denominator) < exact.numerator

    def shuffled(self, items: Sequence[Item]) -> tuple[Item, ...]:
        """The items in an order drawn so that every order is equally likely, from the last place down.

        Place *i* (from the last to the second) changes with a place drawn from the first to *i* itself: the
        shuffle of Fisher and Yates, as Durstenfeld wrote it.

        Examples:
            >>> Stream(bytes(range(32))).shuffled(range(10))
            (2, 8, 0, 6, 4, 1, 7, 9, 5, 3)
        """
        order = list(items)
        for last in range(len(order) - 1, 0, -1):
            other = self.below(last + 1)
            order[last], order[other] = order[other], order[last]
        return tuple(order)

    def pick(self, items: Sequence[Item]) -> Item:
        """One of the items, each equally likely.

        Raises:
            OutOfRange: If there is none.
        """
        if not items:
            raise OutOfRange("There is nothing to pick from. Give one thing at least.")
        return items[self.below(len(items))]


@lru_cache(maxsize=256)
def as_written(share: float) -> Fraction:
    """A share as the exact fraction of the shortest decimal that stands for it: 0.3 is 3/10.

    Raises:
        OutOfRange: If it is not between 0 and 1.
    """
    if not 0 <= share <= 1:
        raise OutOfRange(f"A chance of {share} is not between 0 and 1. Write 25 % as 0.25.")
    return Fraction(repr(float(share)))


def subseed(seed: bytes, purpose: str) -> bytes:
    """A seed of its own for one purpose: what is drawn for one tells nothing about another.

    HMAC-SHA256 with the seed as key and ``nares:`` followed by the purpose, in UTF-8, as message.

    Raises:
        OutOfRange: If the seed is not 32 bytes, or the purpose is empty.

    Examples:
        >>> subseed(bytes(range(32)), "targets").hex()[:16]
        'bd681390e4b51948'
    """
    if len(seed) != SEED_BYTES:
        raise OutOfRange(
            f"A seed of {len(seed)} bytes cannot be used. Give {SEED_BYTES} bytes (64 digits in hex)."
        )
    if not purpose:
        raise OutOfRange("A seed for nothing cannot be made. Name what it is for.")
    return hmac.digest(seed, b"nares:" + purpose.encode(), "sha256")
