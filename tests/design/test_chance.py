"""The expansion of a seed, held against ten lines that follow the recipe of docs/orders.md."""

import hashlib
import hmac
from collections.abc import Iterator
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nares.base.errors import OutOfRange
from nares.design.chance import Stream, subseed
from nares.design.chance.stream import as_written

SEED = bytes(range(32))


def words(seed: bytes) -> Iterator[int]:
    block = 0
    while True:
        digest = hmac.new(seed, block.to_bytes(8, "big"), hashlib.sha256).digest()
        yield from (int.from_bytes(digest[at : at + 4], "big") for at in range(0, 32, 4))
        block += 1


def below(source: Iterator[int], bound: int) -> int:
    return next(word % bound for word in source if word < 2**32 // bound * bound)


def shuffled(source: Iterator[int], size: int) -> tuple[int, ...]:
    places = list(range(size))
    for last in range(size - 1, 0, -1):
        other = below(source, last + 1)
        places[last], places[other] = places[other], places[last]
    return tuple(places)


def test_the_first_words() -> None:
    stream = Stream(SEED)
    assert [f"{stream.word():08x}" for _ in range(4)] == ["9f0cd9b9", "4097fe49", "29918d2b", "8942b344"]


def test_twenty_draws_below_five() -> None:
    stream = Stream(SEED)
    assert [stream.below(5) for _ in range(20)] == [
        3,
        2,
        0,
        0,
        2,
        4,
        0,
        4,
        4,
        0,
        2,
        1,
        4,
        4,
        2,
        4,
        4,
        3,
        4,
        3,
    ]


def test_the_shuffle_of_ten() -> None:
    assert Stream(SEED).shuffled(range(10)) == (2, 8, 0, 6, 4, 1, 7, 9, 5, 3)


@given(
    seed=st.binary(min_size=32, max_size=32), bounds=st.lists(st.integers(1, 2**32), min_size=1, max_size=30)
)
def test_draws_are_those_of_the_recipe(seed: bytes, bounds: list[int]) -> None:
    stream, source = Stream(seed), words(seed)
    assert [stream.below(bound) for bound in bounds] == [below(source, bound) for bound in bounds]


@given(seed=st.binary(min_size=32, max_size=32), size=st.integers(0, 40))
def test_shuffles_are_those_of_the_recipe(seed: bytes, size: int) -> None:
    assert Stream(seed).shuffled(range(size)) == shuffled(words(seed), size)


def test_words_that_would_favour_small_numbers_are_thrown_away() -> None:
    """Of this bound every fourth word is thrown away; without that, small numbers come twice as often."""
    bound = 3 << 30
    stream, source = Stream(SEED), words(SEED)
    drawn = [stream.below(bound) for _ in range(4000)]
    assert drawn == [below(source, bound) for _ in range(4000)]
    assert sum(number < bound // 3 for number in drawn) / 4000 == pytest.approx(1 / 3, abs=0.03)


def test_two_words_that_would_favour_small_numbers_are_thrown_away_together() -> None:
    bound = 3 << 62
    stream, source = Stream(SEED), words(SEED)
    pairs = ((next(source) << 32 | next(source)) for _ in iter(int, 1))
    kept = [number for number in (next(pairs) for _ in range(60)) if number < bound]
    assert [stream.below(bound) for _ in kept] == kept
    assert len(kept) < 60


def test_a_bound_larger_than_a_word_takes_two() -> None:
    stream, source = Stream(SEED), words(SEED)
    assert stream.below(10**15) == (next(source) << 32 | next(source)) % 10**15


@pytest.mark.parametrize(
    ("share", "exact"), [(0.25, Fraction(1, 4)), (0.3, Fraction(3, 10)), (0, Fraction(0)), (1.0, Fraction(1))]
)
def test_a_share_is_the_decimal_that_was_written(share: float, exact: Fraction) -> None:
    assert as_written(share) == exact


def test_a_chance_is_a_draw_below_its_denominator() -> None:
    stream, source = Stream(SEED), words(SEED)
    assert [stream.chance(0.3) for _ in range(500)] == [below(source, 10) < 3 for _ in range(500)]


def test_never_and_always() -> None:
    stream = Stream(SEED)
    assert not any(stream.chance(0) for _ in range(50))
    assert all(stream.chance(1) for _ in range(50))


def test_a_purpose_has_a_seed_of_its_own() -> None:
    own = subseed(SEED, "targets")
    assert own == hmac.new(SEED, b"nares:targets", hashlib.sha256).digest()
    assert own.hex() == "bd681390e4b51948dd8781b6b24c359f663971327efa650d9bbd7fc5e4e3c13e"
    assert len({own, subseed(SEED, "smells"), SEED}) == 3


@pytest.mark.parametrize("size", [0, 16, 31, 33])
def test_a_seed_of_another_length_is_refused(size: int) -> None:
    with pytest.raises(OutOfRange, match=rf"A seed of {size} bytes cannot be used. Give 32"):
        Stream(bytes(size))
    with pytest.raises(OutOfRange, match="Give 32"):
        subseed(bytes(size), "targets")


def test_what_cannot_be_drawn_is_refused() -> None:
    stream = Stream(SEED)
    with pytest.raises(OutOfRange, match="Draw below 1"):
        stream.below(0)
    with pytest.raises(OutOfRange, match="nothing to pick from"):
        stream.pick([])
    for share in (-0.1, 25, float("nan")):
        with pytest.raises(OutOfRange, match=r"25 % as 0\.25"):
            stream.chance(share)
    with pytest.raises(OutOfRange, match="Name what it is for"):
        subseed(SEED, "")
