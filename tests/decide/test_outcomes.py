"""Was the trainer right: a rule fixed beforehand, and what nobody saw stays unknown."""

from dataclasses import replace

import pytest
from tests.decide.test_decision import BOX, session

from nares.decide.isolation.outcomes import JUDGED_ON, came_of, error_of, nearer_ready, tally_of

HOLD = BOX.step("hold-5")
GOOD, BAD = [1] * 8 + [0] * 2, [1] * 7 + [0] * 3


@pytest.mark.parametrize(
    ("advised", "decided", "met", "outcome"),
    [
        ("stay", "raise", GOOD, "bore out"),
        ("stay", "raise", BAD, "did not"),
        ("ease", "stay", GOOD, "bore out"),
        ("stop", "ease", BAD, "did not"),
        ("raise", "stay", BAD, "bore out"),
        ("raise", "stay", GOOD, "unknown"),
        ("stay", "ease", GOOD, "unknown"),
        ("stay", "stop", BAD, "unknown"),
        ("stay", "raise", [1] * 9, "too early to say"),
        ("raise", "stay", [], "too early to say"),
    ],
)
def test_what_came_of_it(advised: str, decided: str, met: list[int], outcome: str) -> None:
    same = decided == "stay"
    assert came_of(advised, decided, session(1, met), HOLD, same_step=same).outcome == outcome  # type: ignore[arg-type]


def test_only_the_first_ten_counted_reps_judge() -> None:
    easy = session(1, [0] * 5, ask_s=1.0)
    blanks = [replace(rep, source="blank") for rep in session(2, [0] * 5)]
    reps = [*easy, *blanks, *session(3, GOOD), *session(4, [0] * 10)]
    came = came_of("stay", "raise", reps, HOLD, same_step=False)
    assert (came.outcome, came.reps, came.met) == ("bore out", 10, 8)


def test_a_step_never_gone_to_was_not_followed() -> None:
    came = came_of("stay", "raise", session(1, [1] * 10, step="hold-3"), HOLD, same_step=False)
    assert came.outcome == "not followed"


def test_how_often_the_rule_is_wrong_is_counted_out() -> None:
    chances = [[0.4, 0.6], [0.15, 0.85]]
    wrong = []
    for miss, hit in chances:
        spread = [1.0]
        for _ in range(JUDGED_ON):
            spread = [
                miss * (spread[k] if k < len(spread) else 0) + hit * (spread[k - 1] if k else 0)
                for k in range(len(spread) + 1)
            ]
        wrong.append(sum(share for met, share in enumerate(spread) if nearer_ready(met, JUDGED_ON, HOLD)))
    assert error_of(HOLD) == pytest.approx((wrong[0], 1 - wrong[1]))
    assert error_of(HOLD) == pytest.approx((0.1673, 0.1798), abs=5e-4)


def test_a_tally_says_when_it_is_too_small() -> None:
    assert tally_of("Wren", []).said == "0 overrulings, 0 can be judged, 0 of them bore out: too few to say."
    assert "as often right as not" in tally_of("Wren", ["bore out"] * 7 + ["did not"] * 5).said
    assert "more often right" in tally_of("Wren", ["bore out"] * 18 + ["did not"] * 2).said
    assert "more often wrong" in tally_of("Wren", ["bore out"] * 2 + ["did not"] * 18).said


def test_what_was_taken_back_counts_for_nobody() -> None:
    assert tally_of("Wren", ["taken back", "taken back", "bore out"]).overrulings == 1
