"""Cycles in which every succession comes once: how many there are, and the least of them. From memory.

The counts for two positions are de Bruijn's, for more those of van Aardenne-Ehrenfest and him; small ones are
counted here once more by going through all cycles.
"""

from itertools import product

import pytest

from nares.design.orders.squares import de_bruijn, how_many_de_bruijn


@pytest.mark.published(
    source="de-bruijn-1946", at="two letters, words of 3, 4 and 5: 2, 16, 2048", seen="memory"
)
@pytest.mark.parametrize(("length", "count"), [(3, 2), (4, 16), (5, 2048)])
def test_so_many_cycles_of_two(length: int, count: int) -> None:
    assert how_many_de_bruijn(2, length) == count


@pytest.mark.published(
    source="aardenne-ehrenfest-1951", at="three and four letters, words of 2: 24 and 20736", seen="memory"
)
@pytest.mark.parametrize(("positions", "count"), [(3, 24), (4, 20736)])
def test_so_many_cycles_of_pairs(positions: int, count: int) -> None:
    assert how_many_de_bruijn(positions, 2) == count


@pytest.mark.parametrize(("positions", "length"), [(2, 3), (2, 4), (3, 2)])
def test_going_through_all_cycles_gives_the_same_counts(positions: int, length: int) -> None:
    assert len(all_cycles(positions, length)) == how_many_de_bruijn(positions, length)


@pytest.mark.published(source="de-bruijn-1946", at="least cycle of words of 4", seen="memory")
def test_the_least_cycles() -> None:
    assert "".join(str(place - 1) for place in de_bruijn(2, 4)) == "0000100110101111"
    assert "".join(str(place - 1) for place in de_bruijn(3, 2)) == "001021122"
    for positions, length in ((2, 3), (2, 4), (3, 2)):
        assert "".join(str(place - 1) for place in de_bruijn(positions, length)) == min(
            all_cycles(positions, length)
        )


@pytest.mark.parametrize(("positions", "length"), [(5, 2), (6, 2), (2, 7), (3, 4)])
def test_every_succession_comes_once(positions: int, length: int) -> None:
    cycle = de_bruijn(positions, length)
    twice = cycle + cycle
    seen = [twice[at : at + length] for at in range(len(cycle))]
    assert sorted(seen) == sorted(product(range(1, positions + 1), repeat=length))


def all_cycles(positions: int, length: int) -> set[str]:
    """Every cycle, written so that it begins with the least word, by brute force."""
    letters = "0123"[:positions]
    every = {"".join(word) for word in product(letters, repeat=length)}
    found = set()
    for tail in product(letters, repeat=len(every) - length):
        cycle = "0" * length + "".join(tail)
        words = {(cycle + cycle)[at : at + length] for at in range(len(cycle))}
        if words == every:
            found.add(cycle)
    return found
