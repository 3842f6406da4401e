"""Two observers of one recording: laws that hold for any two, and what is said of gaps and little data."""

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from nares.base.errors import NotEnoughData, OutOfRange
from nares.measure.agreement.compare import compare
from nares.measure.agreement.found import Agreement
from nares.measure.agreement.intraclass import intraclass
from nares.measure.agreement.kappa import cohens_kappa
from nares.measure.agreement.limits import limits_of_agreement
from nares.measure.agreement.sheets import HeldRep, Sheet, TwoSheets

moments = st.lists(st.integers(1, 290).map(lambda step: step * 0.1), max_size=12, unique=True).map(
    lambda times: tuple(sorted(times))
)


@st.composite
def sheets(draw: st.DrawFn, observer: str) -> Sheet:
    edges = draw(moments)
    visits = tuple((a, b) for a, b in list(pairwise(edges))[::2])
    reps = tuple(HeldRep(a, b - a, (b - a) / 2) for a, b in visits)
    return Sheet(observer, draw(moments), visits, visits, None, reps)


def shifted(sheet: Sheet, by_s: float) -> Sheet:
    moved = tuple((a + by_s, b + by_s) for a, b in sheet.nose_in or ())
    reps = tuple(HeldRep(rep.nose_in_s + by_s, rep.hold_s, rep.mark_delay_s) for rep in sheet.reps)
    return Sheet(sheet.observer, tuple(at + by_s for at in sheet.marks or ()), moved, moved, None, reps)


def of(first: Sheet, second: Sheet, session: str = "bracken-01") -> Agreement:
    return compare([TwoSheets(session, first, second, 40.0)], confidence=0.95)


@given(first=sheets("the machine"), second=sheets("Ines"))
@settings(max_examples=40, deadline=None)
def test_neither_observer_is_the_truth(first: Sheet, second: Sheet) -> None:
    one, other = of(first, second), of(second, first)
    for a, b in zip(one.events, other.events, strict=True):
        assert [w.f1 for w in a.within] == pytest.approx([w.f1 for w in b.within])
        assert a.paired == b.paired
        if a.timing and b.timing:
            assert a.timing.bias.value == pytest.approx(-b.timing.bias.value, abs=1e-9)
            assert a.timing.lower.value == pytest.approx(-b.timing.upper.value, abs=1e-9)
    for a2, b2 in zip(one.frames, other.frames, strict=True):
        assert a2.kappa.agreement == b2.kappa.agreement
        assert a2.kappa.value == pytest.approx(b2.kappa.value)


@given(first=sheets("the machine"), second=sheets("Ines"), by=st.integers(1, 20))
@settings(max_examples=30, deadline=None)
def test_moving_both_alike_changes_no_difference(first: Sheet, second: Sheet, by: int) -> None:
    still, moved = of(first, second), of(shifted(first, by * 0.1), shifted(second, by * 0.1))
    for a, b in zip(still.events, moved.events, strict=True):
        assert (a.paired, [w.both for w in a.within]) == (b.paired, [w.both for w in b.within])
        assert [p.difference_s for p in a.pairs] == pytest.approx([p.difference_s for p in b.pairs], abs=1e-9)


@given(first=sheets("the machine"), second=sheets("Ines"))
@settings(max_examples=40, deadline=None)
def test_every_figure_keeps_to_its_bounds(first: Sheet, second: Sheet) -> None:
    found = of(first, second)
    for event in found.events:
        for within in event.within:
            assert 0 <= within.f1 <= 1
            if within.low is not None and within.high is not None:
                assert 0 <= within.low <= within.f1 <= within.high <= 1
        alone = [one for one in found.alone if one.event == event.event]
        assert len(alone) == event.first + event.second - 2 * event.paired
    for frame in found.frames:
        assert frame.kappa.value is None or -1 <= frame.kappa.value <= 1
        assert 0 <= frame.kappa.agreement <= 1


@given(one=sheets("the machine"))
@settings(max_examples=25, deadline=None)
def test_an_observer_agrees_with_themselves(one: Sheet) -> None:
    found = of(one, one)
    assert not found.alone
    assert all(within.f1 == 1 for event in found.events for within in event.within)
    assert all(frame.kappa.agreement == 1 for frame in found.frames)


def test_a_lane_not_marked_is_said_and_not_compared() -> None:
    found = of(Sheet("the machine", (1.0,), (), (), ()), Sheet("Ines", (1.0,), None, None, None))
    assert [event.event for event in found.events] == ["mark"]
    assert found.frames == ()
    assert "Ines has no lane of nose in: it is not compared there." in found.missing


def test_an_empty_lane_is_an_answer() -> None:
    nose = Sheet("Ines", (), (), (), ())
    found = of(Sheet("the machine", (1.0,), (), ((1.0, 2.0),), ()), nose)
    mark = next(event for event in found.events if event.event == "mark")
    assert (mark.first, mark.second, mark.within[0].f1) == (1, 0, 0.0)
    assert [(one.event, one.by) for one in found.alone] == [("mark", 1), ("nose_in", 1), ("nose_out", 1)]


def test_intakes_half_a_cycle_off_do_not_find_their_neighbours() -> None:
    one = Sheet("a", (), tuple((k * 0.2, k * 0.2 + 0.09) for k in range(10)), (), ())
    other = Sheet("b", (), tuple((k * 0.2 + 0.1, k * 0.2 + 0.19) for k in range(10)), (), ())
    inhale = next(event for event in of(one, other).events if event.event == "inhale")
    assert inhale.paired == 0


def test_several_sessions_are_clusters() -> None:
    def session(name: str, off: float) -> TwoSheets:
        times = tuple(float(k) for k in range(1, 9))
        moved = tuple(at + off + 0.002 * (-1) ** k for k, at in enumerate(times))
        return TwoSheets(name, Sheet("a", times, (), (), ()), Sheet("b", moved, (), (), ()), 20.0)

    many = [session(f"bracken-{n:02d}", off) for n, off in enumerate((0.00, 0.03, 0.01, 0.04, 0.02))]
    timing = compare(many, confidence=0.95).events[0].timing
    assert timing is not None
    assert (timing.pairs, timing.clusters) == (40, 5)
    assert timing.bias.high is not None
    # Five sessions at 0 to 40 ms: their mean is known to about 20 ms, however many marks each has.
    assert timing.bias.high - timing.bias.value == pytest.approx(0.0196, abs=0.001)


def test_one_session_of_many_reps_has_no_interval_across_sessions() -> None:
    found = limits_of_agreement([0.0, 0.0, 0.0], [0.1, 0.2, 0.3], confidence=0.95, clusters=["x"] * 3)
    assert found.bias.low is None
    assert any("One session only" in note for note in found.notes)


def test_holds_are_paired_by_rep_not_by_number() -> None:
    first = Sheet(
        "a", (), (), (), (), (HeldRep(1.0, 2.0, None), HeldRep(9.0, 3.0, None), HeldRep(15.0, 1.0, None))
    )
    second = Sheet("b", (), (), (), (), (HeldRep(9.1, 2.9, None), HeldRep(15.0, 1.1, None)))
    hold = next(value for value in of(first, second).values if value.value == "hold")
    assert hold.reps == 2
    assert [pair.difference_s for pair in hold.pairs] == pytest.approx([-0.1, 0.1])


def test_a_hold_only_one_observer_has_a_mark_for_is_left_out_and_counted() -> None:
    first = Sheet(
        "a", (), (), (), (), (HeldRep(1.0, 2.0, 2.0), HeldRep(9.0, 1.0, 1.0), HeldRep(20.0, 3.0, 3.0))
    )
    second = Sheet(
        "b", (), (), (), (), (HeldRep(1.0, 2.1, 2.1), HeldRep(9.0, 4.0, None), HeldRep(20.0, 3.0, 3.0))
    )
    hold = next(value for value in of(first, second).values if value.value == "hold")
    assert (hold.reps, hold.other_end) == (2, 1)
    assert [pair.difference_s for pair in hold.pairs] == pytest.approx([0.1, 0.0])


def test_kappa_is_not_said_where_everything_is_one_kind() -> None:
    found = cohens_kappa([0, 0, 0], [0, 0, 0], kinds=2, confidence=0.95)
    assert found.value is None
    assert found.agreement == 1
    assert "cannot be said" in found.notes[0]


def test_rare_kinds_are_warned_of_and_the_adjusted_value_stands_beside() -> None:
    first = np.zeros(1000, dtype=bool)
    first[:20] = True
    second = np.roll(first, 10)
    found = cohens_kappa(first, second, kinds=2, confidence=0.95)
    assert found.value is not None
    assert found.value < 0.5
    assert found.adjusted == pytest.approx(0.96)
    assert "Read the agreement" in found.notes[0]


@pytest.mark.parametrize("confidence", [0, 1, 95])
def test_confidence_is_a_share(confidence: float) -> None:
    with pytest.raises(OutOfRange, match=r"not between 0 and 1.*0\.95"):
        limits_of_agreement([1, 2], [1, 2], confidence=confidence)
    with pytest.raises(OutOfRange, match=r"0\.95"):
        intraclass([[1, 2], [3, 4]], confidence=confidence)
    with pytest.raises(OutOfRange, match=r"0\.95"):
        cohens_kappa([1, 0], [1, 0], kinds=2, confidence=confidence)


def test_too_little_is_refused_in_words() -> None:
    with pytest.raises(NotEnoughData, match="at least two pairs"):
        limits_of_agreement([1], [1], confidence=0.95)
    with pytest.raises(NotEnoughData, match="two reps and two observers"):
        intraclass([[1, 2]], confidence=0.95)
    with pytest.raises(OutOfRange, match="missing"):
        intraclass([[1.0, float("nan")], [1.0, 2.0]], confidence=0.95)
    with pytest.raises(NotEnoughData, match="nothing both observers judged"):
        cohens_kappa([], [], kinds=2, confidence=0.95)
    with pytest.raises(OutOfRange, match="no pairs"):
        limits_of_agreement([1, 2], [1], confidence=0.95)
    with pytest.raises(NotEnoughData, match="no recording both"):
        compare([], confidence=0.95)


def test_a_rater_off_by_a_constant_disagrees_but_is_consistent() -> None:
    table = [[1.0, 1.5], [2.0, 2.5], [3.0, 3.5], [5.0, 5.5]]
    found = intraclass(table, confidence=0.95)
    assert found["ICC(3,1)"].value == pytest.approx(1.0)
    assert found["ICC(2,1)"].value is not None
    assert found["ICC(2,1)"].value < 0.97


@given(
    table=st.lists(st.tuples(st.floats(0, 10), st.floats(0, 10)), min_size=3, max_size=12),
    by=st.floats(-5, 5),
)
@settings(max_examples=40, deadline=None)
def test_moving_every_rating_alike_changes_no_correlation(
    table: list[tuple[float, float]], by: float
) -> None:
    still = intraclass(table, confidence=0.95)["ICC(2,1)"]
    moved = intraclass(np.array(table) + by, confidence=0.95)["ICC(2,1)"]
    if still.value is None or moved.value is None or np.ptp(table) < 1e-3:
        return
    assert moved.value == pytest.approx(still.value, abs=1e-6)
    assert still.value <= 1 + 1e-9
