"""Williams's squares: one where the number of conditions is even, two where it is odd.

That each condition follows each other one equally often, in one square or two, was read in the manual of a
statistics package; the squares themselves are remembered and follow from the construction.
"""

import pytest

from nares.design.orders.squares import follows, williams_squares


@pytest.mark.published(source="williams-1949", at="even numbers: one square; odd: two", seen="read")
@pytest.mark.parametrize("conditions", range(2, 13))
def test_each_follows_each_other_equally_often(conditions: int) -> None:
    squares = williams_squares(conditions)
    assert len(squares) == (1 if conditions % 2 == 0 else 2)
    times = follows(tuple(row for square in squares for row in square))
    assert len(times) == conditions * (conditions - 1)
    assert set(times.values()) == {len(squares)}
    for square in squares:
        for line in (*square, *zip(*square, strict=True)):
            assert sorted(line) == list(range(1, conditions + 1))


@pytest.mark.published(source="williams-1949", at="four and six conditions", seen="memory")
def test_the_square_of_four_and_the_first_row_of_six() -> None:
    assert williams_squares(4)[0] == ((1, 2, 4, 3), (2, 3, 1, 4), (3, 4, 2, 1), (4, 1, 3, 2))
    assert williams_squares(6)[0][0] == (1, 2, 6, 3, 5, 4)
