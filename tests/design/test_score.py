"""What counts as a trial, and what is left out."""

import pytest
from tests.design.scored_runs import run, walked

from nares.base.errors import OutOfRange
from nares.base.lineups import Observed, RunResult
from nares.design.scoring import Score, Scored, score_runs
from nares.design.scoring.rates import Rate


def scored(results: list[RunResult]) -> Score:
    return score_runs(results, confidence=0.95)


def call(results: list[RunResult]) -> Scored:
    found = scored(results).call
    assert found is not None
    return found


def alert(results: list[RunResult]) -> Scored:
    found = scored(results).alert
    assert found is not None
    return found


def counts(*rates: Rate) -> list[tuple[int, int]]:
    return [(rate.k, rate.n) for rate in rates]


FIVE = [
    run(1, "Tbbt", 1),  # found
    run(2, "bTbt", 4),  # answered at tape: missed, and a false alert
    run(3, "bbTg", None),  # called clear over a target
    run(4, "bbbt", None),  # clear, rightly
    run(5, "bbbg", 4),  # blank, false alert at gloves
]


def test_runs_and_places_are_counted_apart() -> None:
    found = call(FIVE)
    runs, places = found.runs, found.places
    assert counts(runs.found, runs.wrong, runs.unanswered) == [(1, 3), (1, 3), (1, 3)]
    assert counts(runs.false_alert, runs.blank_false, runs.blank_clear) == [(2, 5), (1, 2), (1, 2)]
    assert counts(runs.clear_right, runs.answer_right) == [(1, 2), (1, 3)]
    assert counts(places.hit, places.false_alert) == [(1, 3), (2, 17)]
    assert (places.misses, places.rejections) == (2, 15)
    assert counts(*places.held) == [(0, 12), (1, 3), (1, 2)]
    assert "of empty places offered" in places.false_alert.what


def test_visits_never_taken_are_none_and_not_nought() -> None:
    found = scored(FIVE)
    assert found.alert is None
    assert found.both is None
    assert found.call is not None
    assert (found.call.places.empties_not_visited, found.call.places.targets_not_visited) == (None, None)
    assert found.call.bias.first is None
    assert [one.median_s for one in (*found.timing.latency, *found.timing.stays)] == [None] * 7
    assert found.timing.passed.rate is None


def test_void_runs_and_runs_without_a_call_are_listed_and_left_out() -> None:
    found = scored(
        [*FIVE, run(6, "Tbbb", 2, void="The dog was called off."), run(7, "Tbbb", None, made=False)]
    )
    assert [(one.run, one.why) for one in found.void] == [(6, "The dog was called off.")]
    assert [one.run for one in found.not_run] == [7]
    assert (found.runs, found.counted) == (7, 5)
    assert found.call is not None
    assert found.call.runs.found.n == 3


def test_a_void_run_may_show_nothing_of_what_lay_there() -> None:
    void = RunResult(6, (), run(6, "Tb", 1).called, void="A door opened.", lineup="Teasel-1")
    assert scored([*FIVE, void]).counted == 5


def test_a_warm_spot_is_no_blank() -> None:
    found = call([run(1, "Twbb", 2), run(2, "wbbb", None), run(3, "wbbb", 1), run(4, "wbbb", 3)])
    assert (found.places.warm, found.places.warm_answered, found.runs.warm) == (4, 2, 2)
    assert counts(found.places.false_alert) == [(1, 6)]  # of runs 2 and 4 only
    assert counts(found.runs.blank_false, found.runs.blank_clear) == [(1, 2), (1, 2)]
    assert counts(found.runs.found, found.runs.wrong) == [(0, 1), (1, 1)]


def test_a_place_never_visited_is_neither_right_nor_wrong() -> None:
    runs = [run(1, "bTbbb", 2, observed=walked(1, "12", 2)), run(2, "bbbTb", 1, observed=walked(2, "1", 1))]
    found = alert(runs)
    assert counts(found.places.hit, found.places.false_alert) == [(1, 1), (1, 2)]
    assert (found.places.rejections, found.places.misses) == (1, 0)
    assert (found.places.empties_not_visited, found.places.targets_not_visited) == (6, 1)
    assert counts(found.runs.found) == [(1, 2)]  # by run the target never reached is missed all the same


def test_one_answer_cannot_name_two_targets() -> None:
    found = call([run(1, "TTbb", 2), run(2, "TbTb", None), run(3, "bbTT", 1)])
    assert counts(found.runs.found, found.places.hit) == [(1, 3), (1, 3)]
    assert found.places.targets_beyond_one == 3


def test_a_dog_seen_at_every_place_can_find_two_targets() -> None:
    seen = walked(1, "1234", 4)
    found = alert([run(1, "TbbT", 1, observed=seen)])
    assert counts(found.places.hit, found.places.false_alert) == [(1, 2), (0, 2)]
    assert found.places.targets_beyond_one == 0


def test_call_and_alert_are_scored_apart_and_set_side_by_side() -> None:
    found = scored(
        [
            run(1, "Tbb", 1, observed=Observed(1, 1)),
            run(2, "Tbb", None, observed=Observed(2, 1)),
            run(3, "bTb", 2, observed=Observed(3, None)),
            run(4, "bTb", 1, observed=Observed(4, 2, handler_error="pulled the dog on")),
            run(5, "bTb", 1, made=False, observed=Observed(5, 2)),
        ]
    )
    assert found.both is not None
    assert counts(found.both.differ) == [(3, 4)]
    assert (found.both.unheeded, found.both.unasked, found.both.elsewhere) == (1, 1, 1)
    assert [one.run for one in found.both.runs] == [2, 3, 4]
    assert found.call is not None
    assert found.alert is not None
    assert counts(found.call.runs.found, found.alert.runs.found) == [(2, 4), (4, 5)]
    assert [(one.run, one.why) for one in found.handler_errors] == [(4, "pulled the dog on")]


def test_a_smell_is_counted_where_it_lay_and_new_smells_apart() -> None:
    results = [*FIVE, run(6, "fbbb", 1), run(7, "bbbf", None)]
    novel = {("Teasel-1", "tape"): False, ("Teasel-1", "food"): True}
    found = score_runs(results, confidence=0.95, novel=novel).call
    assert found is not None
    lines = {one.smell: (one.rate.k, one.rate.n, one.novel) for one in found.smells.lines}
    assert lines == {"tape": (1, 3, False), "food": (1, 2, True), "gloves": (1, 2, None)}
    assert found.smells.new_against_used is not None
    assert counts(found.smells.new_against_used.first, found.smells.new_against_used.second) == [
        (1, 2),
        (1, 3),
    ]
    plain = call(results)
    assert plain.smells.new_against_used is None
    assert plain.smells.distractors_against_blanks is not None


def test_what_is_carried_over_needs_runs_that_follow_each_other() -> None:
    found = call(
        [
            run(1, "Tbbb", 1),
            run(2, "bTbb", 1),  # goes back to where the target lay
            run(3, "bbTb", 1),  # and stays there, though it was false
            run(5, "bbbT", 3),  # run 4 is missing: not a pair
            run(6, "Tbbb", 1),
        ]
    )
    assert found.carry_over.pairs == 3
    assert found.carry_over.place is not None
    place = found.carry_over.place
    assert counts(place.first, place.second) == [(1, 3), (1, 6)]
    assert found.carry_over.answer is not None
    answer = found.carry_over.answer
    assert counts(answer.first, answer.second) == [(1, 1), (1, 2)]


def test_runs_of_two_line_ups_do_not_follow_each_other() -> None:
    found = call([run(1, "Tb", 1), run(2, "bT", 1, lineup="Teasel-2")])
    assert found.carry_over.pairs == 0
    assert (found.carry_over.place, found.carry_over.answer) == (None, None)


def test_blind_runs_are_set_against_known_ones() -> None:
    found = call(
        [
            run(1, "Tb", 1, blinding="known"),
            run(2, "bT", 2, blinding="known"),
            run(3, "bT", 1, blinding="double"),
            run(4, "Tb", 1, blinding="single"),
            run(5, "bb", None),
        ]
    ).knowing
    assert found.levels == (("known", 2), ("single", 1), ("double", 1))
    assert found.unsaid == 1
    assert found.known_found is not None
    assert counts(found.known_found.first, found.known_found.second) == [(2, 2), (1, 2)]
    assert found.double_false is not None
    assert counts(found.double_false.first, found.double_false.second) == [(0, 1), (1, 1)]
    assert call(FIVE).knowing.known_found is None


def test_times_and_passes_are_of_what_lay_there() -> None:
    results = [
        run(1, "bTb", 2, observed=walked(1, "12132", 2, latency_s=9.0)),  # came back to it
        run(2, "Tbb", 3, observed=walked(2, "123", 3, latency_s=6.0)),  # passed and lost
        run(3, "bbT", 3, observed=walked(3, "123", 3, latency_s=5.0)),
    ]
    found = scored(results).timing
    assert [(one.n, one.median_s, one.shortest_s, one.longest_s) for one in found.latency] == [
        (2, 7.0, 5.0, 9.0),
        (1, 6.0, 6.0, 6.0),
    ]
    stays = {one.what: (one.n, one.median_s) for one in found.stays}
    assert stays["target"] == (3, 2.0)
    assert stays["warm"] == (0, None)
    assert counts(found.passed, found.lost) == [(2, 3), (1, 3)]


def test_few_line_ups_are_said_and_uneven_ones_widen_the_interval() -> None:
    one = call(FIVE).runs.found
    assert "One line-up only" in one.note
    good = [run(k, "Tb", 1, lineup=f"Teasel-{j}") for j in range(3) for k in range(1, 11)]
    bad = [run(k, "Tb", None, lineup=f"Teasel-{j}") for j in range(3, 6) for k in range(1, 11)]
    uneven = call([*good, *bad]).runs.found
    even = call(
        [run(k, "Tb", 1 if k % 2 else None, lineup=f"Teasel-{j}") for j in range(6) for k in range(1, 11)]
    )
    assert (uneven.rate, even.runs.found.rate, uneven.note) == (0.5, 0.5, "")
    assert uneven.effective < even.runs.found.effective == 60
    for end in ("score_low", "exact_low"):
        assert getattr(uneven, end) < getattr(even.runs.found, end)


def test_faults_are_refused_in_words() -> None:
    with pytest.raises(OutOfRange, match="Run 1 of Teasel-1 is there twice"):
        scored([run(1, "Tb", 1), run(1, "Tb", 2)])
    with pytest.raises(OutOfRange, match="names place 3, which it does not have"):
        scored([run(1, "Tb", 3)])
    with pytest.raises(OutOfRange, match=r"95 is not between 0 and 1.*0\.95"):
        score_runs([run(1, "Tb", 1)], confidence=95)


def test_nothing_to_score_is_nothing() -> None:
    found = scored([])
    assert (found.call, found.alert, found.counted) == (None, None, 0)
