"""Reps keep their numbers whatever is corrected around them."""

from dataclasses import replace

from hypothesis import given
from hypothesis import strategies as st
from tests.app.kennels import measured

from nares.base.vocab import MeasuredRep
from nares.measure.numbering import RepPlace, numbered, place_of


def at(start_s: float, length_s: float = 2.0, number: int = 0) -> MeasuredRep:
    return replace(measured(1), rep=number, nose_in_s=start_s, nose_out_s=start_s + length_s, mark_s=None)


def numbers(reps: list[MeasuredRep], earlier: list[RepPlace], taken: set[int] | None = None) -> list[int]:
    return [rep.rep for rep in numbered(reps, earlier, taken=taken or set())]


EARLIER = [RepPlace(1, 10, 12), RepPlace(2, 20, 22), RepPlace(3, 30, 32)]


def test_a_rep_found_between_two_gets_the_next_free_number() -> None:
    assert numbers([at(10), at(15), at(20), at(30)], EARLIER) == [1, 4, 2, 3]


def test_the_number_of_a_rep_that_is_gone_is_not_given_again() -> None:
    assert numbers([at(10), at(30), at(40)], EARLIER) == [1, 3, 4]
    assert numbers([at(10), at(40)], EARLIER[:1], {1, 2, 3, 7}) == [1, 8]


def test_a_rep_split_in_two_keeps_its_number_on_the_part_that_fits_better() -> None:
    assert numbers([at(10, 1.4), at(11.7, 0.3)], EARLIER[:1]) == [1, 2]


def test_two_reps_made_one_keep_one_of_their_numbers() -> None:
    assert numbers([at(10, 12)], EARLIER[:2])[0] in (1, 2)


def test_a_rep_moved_by_a_frame_or_two_is_the_same_rep() -> None:
    assert numbers([at(10.08), at(19.95), at(30.0, 1.0)], EARLIER) == [1, 2, 3]


def test_a_place_is_nose_and_mark_without_the_pay() -> None:
    assert place_of(measured(2)) == RepPlace(2, 20.0, 22.4)


starts = st.lists(st.integers(0, 40).map(lambda n: 4.0 * n), unique=True, max_size=12)


@given(starts, starts)
def test_no_number_is_given_twice_and_the_unchanged_keep_theirs(
    before: list[float], now: list[float]
) -> None:
    earlier = [RepPlace(n, s, s + 2) for n, s in enumerate(sorted(before), start=1)]
    found = numbers([at(s) for s in sorted(now)], earlier)
    assert len(set(found)) == len(found)
    kept = {place.start_s: place.rep for place in earlier}
    assert all(kept.get(s, number) == number for s, number in zip(sorted(now), found, strict=True))
