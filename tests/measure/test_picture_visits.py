"""The evidence of single pictures becomes visits: gaps, edges, certainty, on lanes written by hand."""

from itertools import product

import numpy as np
import pytest
from numpy.typing import ArrayLike, NDArray

from nares.measure.picture.chances import CHANGES_HZ, TELLING_S, steadied
from nares.measure.picture.cover import Looks, cover_of
from nares.measure.picture.patch import CELLS, COLOUR_CELLS, cells
from nares.measure.picture.signs import SIGNS
from nares.measure.picture.track import Track, carried_over, in_view, runs, values
from nares.measure.picture.unlike import unlike_the_rest
from nares.measure.picture.visits import (
    SHADOW,
    Evidence,
    chance_of,
    evidence,
    held_on,
    odds_of,
    span_of,
    visit_row,
    visits,
)
from nares.measure.sound.judge import Judge

RATE = 20
Floats = NDArray[np.float32]


def track(
    count: int,
    *,
    luma: int = 100,
    gain: float = 1.0,
    lost: tuple[tuple[int, int], ...] = (),
    match: Floats | None = None,
) -> Track:
    """An opening that looks the same in every picture, 20 a second; ``lost`` from picture to picture."""
    followed = np.ones(count, bool)
    for first, last in lost:
        followed[first : last + 1] = False
    return Track(
        at_s=np.arange(count) / RATE,
        luma=np.full((count, CELLS, CELLS), luma, np.uint8),
        colour=np.full((count, 2, COLOUR_CELLS, COLOUR_CELLS), 128, np.uint8),
        gain=np.full(count, gain, np.float32),
        match=np.zeros((count, 0), np.float32) if match is None else match,
        followed=followed,
        tile_angle=np.zeros(0 if match is None else match.shape[1], np.float32),
    )


def lane(*pieces: tuple[int, float]) -> Floats:
    """So many pictures at each level."""
    return np.concatenate([np.full(count, level, np.float32) for count, level in pieces])


class Spoken(Judge):
    """A judge that says what the first number says."""

    def __init__(self) -> None:
        object.__setattr__(self, "base", 0.0)

    def chance(self, rows: ArrayLike) -> NDArray[np.float64]:
        """The first number as log odds."""
        return np.asarray(1 / (1 + np.exp(-np.asarray(rows, np.float64)[:, 0])))


def seen(odds: Floats, hidden: Floats | None = None) -> Evidence:
    shown = np.zeros((len(odds), len(SIGNS)), np.float32)
    if hidden is not None:
        shown[:, SIGNS.index("hidden")] = hidden
    return evidence(track(len(odds)), shown, odds.astype(np.float64))


def found(odds: Floats) -> list[tuple[int, int]]:
    return visits(track(len(odds)), seen(odds))


def test_a_plain_visit_is_found_to_the_picture() -> None:
    assert found(lane((20, -3), (20, 3), (20, -3))) == [(20, 39)]


def test_single_pictures_that_disagree_are_outvoted_by_their_neighbours() -> None:
    assert found(lane((20, -3), (9, 3), (1, -2), (9, 3), (20, -3))) == [(20, 38)]
    assert found(lane((20, -3), (1, 2), (20, -3))) == []


def test_weak_evidence_that_lasts_counts_and_weak_evidence_for_a_moment_does_not() -> None:
    assert found(lane((20, -3), (20, 1.2), (20, -3))) == [(20, 39)]
    assert found(lane((20, -3), (3, 1.2), (20, -3))) == []


def test_a_gap_of_two_pictures_is_closed_and_one_of_ten_is_not() -> None:
    assert found(lane((9, -4), (9, 4), (2, -4), (9, 4), (9, -4))) == [(9, 28)]
    assert len(found(lane((9, -4), (9, 4), (10, -4), (9, 4), (9, -4)))) == 2


def test_what_was_in_and_looks_no_different_is_still_in() -> None:
    cover, bare = lane((10, 0), (30, 0.6), (10, 0.2), (10, 0)), np.zeros(60, np.float32)
    told = np.zeros(60)
    assert held_on(cover, bare, told, [(15, 25)]) == [(10, 39)]
    assert held_on(cover, bare, told, [(12, 20), (30, 35)]) == [(10, 39)]
    behind = lane((10, 0.2), (20, 0.2), (30, 0.9))
    assert held_on(cover, behind, told, [(15, 25)]) == [(10, 29)]
    assert held_on(np.full(60, 0.05, np.float32), bare, told, [(15, 25)]) == [(15, 25)]


def test_what_is_only_darker_before_a_visit_is_not_in_yet() -> None:
    cover, bare = lane((10, 0), (30, 0.6), (20, 0)), np.zeros(60, np.float32)
    told = lane((20, -5), (10, 5), (10, -0.5), (20, -5)).astype(np.float64)
    assert held_on(cover, bare, told, [(20, 29)]) == [(20, 39)]
    assert held_on(cover, bare, told, [(10, 12), (20, 29)]) == [(10, 39)]


def test_a_nose_drawn_back_for_a_quarter_of_a_second_was_out() -> None:
    assert found(lane((20, -4), (20, 4), (5, -3), (20, 4), (20, -4))) == [(20, 39), (45, 64)]


def test_a_shadow_darkens_an_opening_and_hides_no_rim() -> None:
    odds, by = lane((20, -4), (20, 4), (20, -4)), Spoken()
    shown = np.zeros((60, len(SIGNS)), np.float32)
    shown[:, 0] = odds
    plain = np.full((60, 12), 0.9, np.float32)
    assert odds_of(track(60, match=plain), shown, by)[30] == SHADOW
    shown[15:45, SIGNS.index("tiles entry")] = 0.5
    assert odds_of(track(60, match=plain), shown, by)[30] == pytest.approx(4, abs=0.01)
    assert odds_of(track(60), shown * 0 + odds[:, None], by)[30] == pytest.approx(4, abs=0.01)


def test_nothing_known_leaves_a_stretch_as_it_was_for_a_while() -> None:
    assert found(lane((20, -4), (10, 4), (4, 0), (10, 4), (20, -4))) == [(20, 43)]


def test_the_chain_agrees_with_all_ways_written_out() -> None:
    chance = np.random.default_rng(3)
    odds, at_s = chance.normal(0, 2, 7), np.cumsum(chance.uniform(0.02, 0.15, 7))
    steps = np.diff(at_s, prepend=at_s[0] - (at_s[1] - at_s[0]))
    change = 0.5 * (1 - np.exp(-2 * CHANGES_HZ * steps))
    total = np.zeros((7, 2))
    for way in product((0, 1), repeat=7):
        weight = float(np.exp(sum(odds[i] * min(1, steps[i] / TELLING_S) * way[i] for i in range(7))))
        for i in range(1, 7):
            weight *= change[i] if way[i] != way[i - 1] else 1 - change[i]
        for i in range(7):
            total[i, way[i]] += weight
    assert steadied(odds, at_s) == pytest.approx(np.log(total[:, 1] / total[:, 0]))


def test_edges_are_set_between_pictures_where_the_evidence_turned() -> None:
    odds = np.array([-4, -4, -3, 1, 4, 4, 4, 3, -1, -4], np.float32)
    span = span_of(track(10), seen(odds), 3, 7, sure=0.9)
    assert span.start_s == pytest.approx((2 + 3 / 4) / RATE)
    assert span.end_s == pytest.approx((7 + 3 / 4) / RATE)


def test_cover_has_half_a_say_in_where_an_edge_lies() -> None:
    odds, cover = lane((20, -4), (20, 4), (20, -4)), lane((22, 0), (16, 0.6), (22, 0))
    span = span_of(track(60), seen(odds), 20, 39, sure=0.9, cover=cover)
    assert span.start_s == pytest.approx((19.5 + 21.7) / 2 / RATE)
    assert span.end_s == pytest.approx((39.5 + 37.3) / 2 / RATE)


def test_a_visit_cut_by_the_ends_of_the_recording_reaches_them() -> None:
    span = span_of(track(10), seen(lane((10, 3))), 0, 9, sure=0.9)
    assert span.start_s == 0
    assert span.end_s == pytest.approx(10 / RATE)


def test_an_edge_that_was_plain_is_stated_closer_than_one_that_was_not() -> None:
    odds = lane((20, -4), (4, -0.5), (4, 0.5), (20, 4), (20, -4))
    span = span_of(track(len(odds)), seen(odds), 24, 47, sure=0.9)
    assert span.start_within_s is not None
    assert span.end_within_s is not None
    assert span.start_within_s > 1.5 * span.end_within_s
    assert span.end_within_s >= 0.5 / RATE


def test_a_visit_seen_plainly_is_surer_than_one_of_weak_evidence() -> None:
    clear, weak = lane((20, -5), (20, 5), (20, -5)), lane((20, -1), (20, 0.6), (20, -0.5))
    rows = [
        visit_row(track(60), seen(one), 20, 39, is_hand=False, strange=strange)
        for one, strange in ((clear, False), (weak, False))
    ]
    plain, faint = chance_of(np.array(rows))
    assert plain > faint


def test_pictures_without_the_box_are_bridged_when_few_and_out_of_view_when_many() -> None:
    shown = track(100, lost=((20, 25), (50, 79)))
    assert runs(~in_view(shown)) == [(50, 79)]
    level = np.arange(100, dtype=np.float32)
    level[20:26] = level[50:80] = -5
    carried = carried_over(shown, level)
    assert carried[20:26] == pytest.approx(np.arange(20, 26))
    assert (carried[50:80] == -5).all()


def test_nothing_is_covered_while_the_box_is_out_of_view() -> None:
    where = cells(CELLS)
    shown = track(100, lost=((50, 79),))
    shown.luma[40:90] = np.where(where.inside, 180, 100)
    empty = Looks(np.zeros((3, CELLS**2), np.float32), np.ones((3, CELLS**2), np.float32))
    empty.value[0] = 100
    cover = cover_of(shown, empty, where, np.zeros(100, np.float32))
    assert (cover[:40] == 0).all()
    assert (cover[40:50] == 1).all()
    assert (cover[50:80] == 0).all()
    assert (cover[80:90] == 1).all()


def test_shade_on_the_opening_and_its_panel_alike_covers_nothing() -> None:
    where = cells(CELLS)
    shown = track(30)
    shown.luma[10:20] += 40
    empty = Looks(np.zeros((3, CELLS**2), np.float32), np.ones((3, CELLS**2), np.float32))
    empty.value[0] = 100
    assert (cover_of(shown, empty, where, np.zeros(30, np.float32)) == 0).all()
    assert (cover_of(shown, empty, where, np.full(30, 0.5, np.float32))[10:20] == 1).all()


def test_looks_are_those_at_the_brightness_of_the_session() -> None:
    dim = track(2, luma=50, gain=0.5)
    dim.colour[:, 0, 0, 0] = 118
    looks = values(dim, np.array([1]))
    assert looks.shape == (1, 3, CELLS**2)
    assert (looks[0, 0] == 100).all()
    assert looks[0, 1, [0, 1, CELLS, CELLS + 1]].tolist() == [-20] * 4
    assert np.count_nonzero(looks[0, 1:]) == 4
    assert values(dim, np.array([0, 1]), np.array([1, 30]))[1, 1].tolist() == [-20, 0]


def test_something_of_another_colour_in_the_opening_is_sorted_out() -> None:
    where = cells(CELLS)
    shown = track(300)
    stays = [(20 + 50 * k, 40 + 50 * k) for k in range(5)]
    for index, (first, last) in enumerate(stays):
        shown.luma[first : last + 1] = np.where(where.inside, 200 if index == 3 else 40 + index, 100)
    empty = Looks(np.zeros((3, CELLS**2), np.float32), np.ones((3, CELLS**2), np.float32))
    empty.value[0] = 100
    strange = unlike_the_rest(shown, empty, where, stays)
    assert strange.tolist() == [False, False, False, True, False]
