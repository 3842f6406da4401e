"""What the record refuses about line-ups, whoever asks and through whatever door."""

from dataclasses import replace
from typing import Any

import pytest
from tests.record import line_ups as has
from tests.record.kennel import amendment, write

from nares.base.errors import NaresError, Refused
from nares.base.lineups import Placed, Visit
from nares.record.store import Store

OTHER_RUN = replace(has.RUNS[0], placed=(Placed(1, "target", "lot 4"), *has.RUNS[0].placed[1:]))
OTHER_NONCE = replace(has.RUNS[0], nonce="00" * 32)

OUT_OF_ORDER: list[tuple[str, str, Any, str]] = [
    ("lineup_sealed", "run_placed", has.placed(1), "no line-up called 'brine-1'"),
    ("lineup_sealed", "key_seen", has.seen(1), "no line-up called 'brine-1'"),
    ("seat_taken", "run_placed", has.placed(2), "Run 1 of brine-1 is neither open nor void"),
    ("seat_taken", "run_placed", has.placed(3), "no run 3"),
    ("seat_taken", "key_seen", has.seen(), "not said which runs"),
    ("seat_taken", "key_seen", has.seen(1, 9), "no run 9"),
    ("run_placed", "run_begun", has.begun(1), "not placed yet"),
    ("run_begun", "run_placed", has.placed(1), "placed already"),
    ("run_begun", "call_made", has.called(1), "has not begun"),
    ("run_begun", "run_observed", has.observed(1), "has not begun"),
    ("call_made", "run_begun", has.begun(1), "begun already"),
    ("call_made", "run_opened", has.run_open(1), "has no call yet"),
    ("call_made", "call_made", has.called(1, 4), "Position 4 does not exist"),
    ("call_made", "call_made", has.called(1, made_at="today"), "not a date and time"),
    ("run_observed", "call_made", has.called(1, None), "stands already"),
    ("run_observed", "run_opened", has.run_open(1), "not written down yet"),
    ("run_observed", "run_observed", has.observed(1, 4), "Position 4 does not exist"),
    ("run_opened", "run_observed", has.observed(1), "stands already"),
    ("run_opened", "run_opened", has.run_open(1, key=OTHER_RUN), "not the key that was sealed for run 1"),
    ("run_opened", "run_opened", has.run_open(1, key=OTHER_NONCE), "not the key that was sealed for run 1"),
    ("run_opened", "run_opened", has.run_open(1, key=has.RUNS[1]), "not the key that was sealed for run 1"),
    ("run_opened", "run_voided", has.void(1, was_open=True), "was not open"),
    ("run_opened", "run_voided", has.void(1, why=" "), "A reason is missing"),
    ("run_voided", "run_opened", has.run_open(1), "open already"),
    ("run_voided", "call_made", has.called(1), "open already"),
    ("run_voided", "run_observed", has.observed(1, role="recorder"), "open already"),
    ("run_voided", "run_begun", has.begun(1), "open already"),
    ("run_voided", "run_voided", has.void(1), "was open"),
    ("run_voided", "key_opened", has.key_open(), "Run 2 of brine-1 is neither open nor void"),
    ("key_opened", "call_made", has.called(2, on_paper=True), "is void"),
    ("key_opened", "run_opened", has.run_open(2), "is void"),
    ("key_opened", "run_voided", has.void(2), "void already"),
    ("key_opened", "key_opened", has.key_open(key={}), "not the key that was sealed"),
    ("key_opened", "key_opened", has.key_open(key={**has.KEY, "nonce": "00" * 32}), "not the key that was"),
]


@pytest.mark.parametrize(("before", "kind", "payload", "why"), OUT_OF_ORDER)
def test_out_of_order_is_refused(store: Store, before: str, kind: str, payload: Any, why: str) -> None:
    store.append_all(has.upto(before))
    count = store.count()
    with pytest.raises(NaresError, match=why):
        write(store, kind, payload)
    assert store.count() == count


SEALED: list[tuple[dict[str, Any], str]] = [
    ({"dog": "Nobody"}, "no dog called 'Nobody'"),
    ({"commitment": "A" * 64}, "no commitment"),
    ({"commitment": "a" * 63}, "no commitment"),
    ({"run_commitments": ["x"]}, "no commitment"),
    ({"run_commitments": []}, "one commitment for each"),
    ({"run_commitments": ["a" * 64, "a" * 64]}, "no two the same"),
    ({"asked": {"runs": 2, "seed": "00"}}, "holds part of the key"),
    ({"area": replace(has.AREA, spots=has.AREA.spots[1:])}, "count 1, 2, 3"),
    ({"area": replace(has.AREA, place=" ")}, "The place of a line-up"),
    ({"people": {"handler": ""}}, "The name of the handler"),
    ({"lineup": " x"}, "The line-up's name"),
]


@pytest.mark.parametrize(("other", "why"), SEALED)
def test_what_cannot_be_sealed_is_refused(store: Store, other: dict[str, Any], why: str) -> None:
    with pytest.raises(NaresError, match=why):
        write(store, "lineup_sealed", has.sealed(**other))


def test_neither_a_name_nor_a_key_is_sealed_twice(store: Store) -> None:
    write(store, "lineup_sealed", has.sealed())
    with pytest.raises(Refused, match="already a line-up 'brine-1'"):
        write(store, "lineup_sealed", has.sealed(commitment="d" * 64))
    with pytest.raises(Refused, match="was sealed with the same key"):
        write(store, "lineup_sealed", has.sealed("brine-2"))


def test_nothing_is_written_about_a_closed_line_up_but_that_a_run_is_void(store: Store) -> None:
    store.append_all(has.whole())
    for kind, payload in (
        ("key_opened", has.key_open()),
        ("key_seen", has.seen(1)),
        ("seat_taken", has.seat()),
    ):
        with pytest.raises(Refused, match="was closed"):
            write(store, kind, payload)
    write(store, "run_voided", has.void(1, was_open=True))


def test_a_key_with_other_runs_than_those_sealed_does_not_close(store: Store) -> None:
    commitments = [has.sealed()["run_commitments"][0], "e" * 64]
    write(store, "lineup_sealed", has.sealed(run_commitments=commitments))
    store.append_all(has.upto("key_opened")[1:])
    with pytest.raises(Refused, match="other runs than those that were sealed"):
        write(store, "key_opened", has.key_open())


@pytest.mark.parametrize(
    ("visit", "why"),
    [
        (Visit(4, 0, 1), "Position 4"),
        (Visit(1, -1, 1), "start of a visit"),
        (Visit(1, 0, float("inf")), "JSON|long|length"),
    ],
)
def test_visits_that_cannot_be_are_refused(store: Store, visit: Visit, why: str) -> None:
    store.append_all(has.upto("run_observed"))
    said = has.observed(1)
    with pytest.raises(NaresError, match=why):
        write(store, "run_observed", {**said, "observed": replace(said["observed"], visits=(visit,))})


def test_what_was_seen_is_put_right_before_the_opening_and_not_after(store: Store) -> None:
    store.append_all(has.upto("run_opened"))
    number = store.observed_in("brine-1")[0].entry
    write(store, "amended", amendment(number, "/observed/alerted_at", 2, 3))
    assert store.observed_in("brine-1")[0].observed.alerted_at == 3
    write(store, "run_opened", has.run_open(1))
    with pytest.raises(Refused, match="open already"):
        write(store, "amended", amendment(number, "/observed/alerted_at", 3, 2))


def test_who_was_present_can_be_put_right_in_the_open_and_counts(store: Store) -> None:
    store.append_all(has.whole())
    number = next(one.begun_entry for one in store.runs_of("brine-1") if one.run == 1)
    assert store.blinding_of_runs("brine-1")[1][0] == "double"
    old = [has.HANDLER, has.EVALUATOR]
    write(store, "amended", amendment(number or 0, "/present", old, [*old, has.PLACER]))
    assert store.blinding_of_runs("brine-1")[1][0] == "single"


def test_calls_from_paper_need_no_beginning_and_open_without_observation(store: Store) -> None:
    write(store, "lineup_sealed", has.sealed())
    write(store, "call_made", has.called(2, None, on_paper=True))
    write(store, "run_opened", has.run_open(2))
    (result,) = store.run_results("brine-1")
    assert (result.run, result.blinding, result.observed) == (2, None, None)


def test_a_call_is_not_made_in_the_future(store: Store) -> None:
    write(store, "lineup_sealed", has.sealed())
    with pytest.raises(Refused, match="after the clock's"):
        write(store, "call_made", has.called(1, on_paper=True, made_at="2031-01-01T00:00:00Z"))
