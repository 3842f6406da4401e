"""Cover and hidden rim become visits: levels, gaps, shadows, bodies and edges, on lanes written by hand."""

import numpy as np
import pytest
from numpy.typing import NDArray

from nares.base.vocab import Span
from nares.measure.picture.cover import Looks, cover_of
from nares.measure.picture.patch import CELLS, COLOUR_CELLS, cells
from nares.measure.picture.track import Track, carried_over, in_view, runs, values
from nares.measure.picture.unlike import sort_out, unlike_the_rest
from nares.measure.picture.visits import hysteresis, span_of, visits

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


def found(cover: Floats, hidden: Floats | None = None, match: Floats | None = None) -> list[tuple[int, int]]:
    hidden = np.zeros_like(cover) if hidden is None else hidden
    return visits(track(len(cover), match=match), cover, hidden, 0.8)


def test_a_visit_begins_above_one_level_and_ends_below_a_lower_one() -> None:
    cover = np.array([0.0, 0.4, 0.54, 0.55, 0.4, 0.35, 0.34, 0.5, 0.0], np.float32)
    held = hysteresis(cover, 0.55, 0.35).tolist()
    assert held == [False, False, False, True, True, True, False, False, False]


def test_a_nose_that_draws_back_a_little_is_one_visit() -> None:
    assert found(lane((10, 0), (10, 0.8), (8, 0.33), (10, 0.8), (10, 0))) == [(10, 37)]
    assert found(lane((10, 0), (10, 0.8), (8, 0.1), (10, 0.8), (10, 0))) == [(10, 19), (28, 37)]


def test_a_gap_of_one_picture_is_closed_and_one_of_eight_is_not() -> None:
    assert found(lane((9, 0), (9, 0.8), (1, 0), (9, 0.8), (9, 0))) == [(9, 27)]
    assert len(found(lane((9, 0), (9, 0.8), (8, 0), (9, 0.8), (9, 0)))) == 2


@pytest.mark.parametrize(("gap", "count"), [(12, 1), (30, 2)])
def test_a_visit_goes_on_behind_a_body_that_passes_and_not_behind_one_that_stays(
    gap: int, count: int
) -> None:
    cover = lane((20, 0), (20, 0.8), (gap, 0.9), (20, 0.8), (20, 0))
    assert len(found(cover, lane((20, 0), (20, 0.3), (gap, 1.0), (20, 0.3), (20, 0)))) == count


def test_a_body_in_front_is_no_visit_and_its_edge_is_none_either() -> None:
    cover = lane((20, 0), (4, 0.9), (20, 0.9), (4, 0.9), (20, 0))
    assert found(cover, lane((20, 0), (4, 0.5), (20, 1.0), (4, 0.5), (20, 0))) == []


def test_a_shadow_hides_no_rim_and_is_no_visit() -> None:
    match = np.full((120, 12), 0.9, np.float32)
    cover = lane((20, 0), (20, 0.8), (20, 0), (20, 0.8), (20, 0), (20, 0))
    hidden = lane((20, 0), (20, 0.3), (20, 0), (20, 0.0), (20, 0), (20, 0))
    assert found(cover, hidden, match) == [(20, 39)]


def test_edges_are_set_between_pictures_where_the_cover_passed_its_level() -> None:
    cover = np.array([0, 0, 0.2, 0.6, 0.8, 0.8, 0.8, 0.7, 0.1, 0], np.float32)
    span = span_of(track(10), cover, np.zeros(10, np.float32), 0.8, 3, 7)
    assert span.start_s == pytest.approx((2 + 0.36 / 0.4) / RATE)
    assert span.end_s == pytest.approx((7 + 0.14 / 0.6) / RATE)


def test_a_visit_cut_by_the_ends_of_the_recording_reaches_them() -> None:
    span = span_of(track(10), lane((10, 0.8)), np.zeros(10, np.float32), 0.8, 0, 9)
    assert span.start_s == 0
    assert span.end_s == pytest.approx(10 / RATE)


def test_a_visit_seen_plainly_is_surer_than_one_half_hidden_or_half_lost() -> None:
    cover, bare = lane((5, 0), (20, 0.8), (5, 0)), lane((30, 0.3))
    plain = span_of(track(30), cover, bare, 0.8, 5, 24)
    behind = span_of(track(30), cover, lane((15, 0.3), (15, 0.9)), 0.8, 5, 24)
    lost = span_of(track(30, lost=((15, 24),)), cover, bare, 0.8, 5, 24)
    assert plain.sure > behind.sure
    assert plain.sure > lost.sure


def test_pictures_without_the_box_are_bridged_when_few_and_out_of_view_when_many() -> None:
    seen = track(100, lost=((20, 25), (50, 79)))
    assert runs(~in_view(seen)) == [(50, 79)]
    level = np.arange(100, dtype=np.float32)
    level[20:26] = level[50:80] = -5
    carried = carried_over(seen, level)
    assert carried[20:26] == pytest.approx(np.arange(20, 26))
    assert (carried[50:80] == -5).all()


def test_nothing_is_covered_while_the_box_is_out_of_view() -> None:
    where = cells(CELLS)
    seen = track(100, lost=((50, 79),))
    seen.luma[40:90] = np.where(where.inside, 180, 100)
    empty = Looks(np.zeros((3, CELLS**2), np.float32), np.ones((3, CELLS**2), np.float32))
    empty.value[0] = 100
    cover = cover_of(seen, empty, where, np.zeros(100, np.float32))
    assert (cover[:40] == 0).all()
    assert (cover[40:50] == 1).all()
    assert (cover[50:80] == 0).all()
    assert (cover[80:90] == 1).all()


def test_shade_on_the_opening_and_its_panel_alike_covers_nothing() -> None:
    where = cells(CELLS)
    seen = track(30)
    seen.luma[10:20] += 40
    empty = Looks(np.zeros((3, CELLS**2), np.float32), np.ones((3, CELLS**2), np.float32))
    empty.value[0] = 100
    assert (cover_of(seen, empty, where, np.zeros(30, np.float32)) == 0).all()
    assert (cover_of(seen, empty, where, np.full(30, 0.5, np.float32))[10:20] == 1).all()


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
    seen = track(300)
    stays = [(20 + 50 * k, 40 + 50 * k) for k in range(5)]
    for index, (first, last) in enumerate(stays):
        seen.luma[first : last + 1] = np.where(where.inside, 200 if index == 3 else 40 + index, 100)
    empty = Looks(np.zeros((3, CELLS**2), np.float32), np.ones((3, CELLS**2), np.float32))
    empty.value[0] = 100
    strange = unlike_the_rest(seen, empty, where, stays)
    assert strange.tolist() == [False, False, False, True, False]


def test_a_short_visit_of_something_else_is_dropped_and_a_long_one_doubted() -> None:
    spans = [Span(0, 2, 0.9), Span(3, 5, 0.9), Span(6, 6.5, 0.9), Span(8, 10, 0.8)]
    kept, notes = sort_out(spans, np.array([False, False, True, True]), "nose")
    assert [s.start_s for s in kept] == [0, 3, 8]
    assert kept[-1].sure == pytest.approx(0.4)
    assert notes == ("What was in the opening at 8.0 s does not look like the usual nose.",)
