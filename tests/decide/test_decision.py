"""One decision from reps: which reps speak, where each call leads, and what the trainer is told."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import pytest

from nares.base.chances import one_in
from nares.base.errors import OutOfRange, Unknown
from nares.base.vocab import Rep
from nares.decide import Decision, characteristics_of, decide, read_programme, shipped_programme, step_lines
from nares.decide.evidence import latest_stretch

BOX = read_programme(shipped_programme())
LATER = "2026-03-01T09:30:00+00:00"


def session(number: int, met: Sequence[int], step: str = "hold-5", ask_s: float = 4.0) -> list[Rep]:
    """One session of one dog: a rep met is held to the ask, a rep missed is broken at half of it."""
    return [
        Rep(
            dog="Bracken", session=f"s{number:02d}", step=step, rep=n + 1,
            started_at=f"2026-03-{number:02d}T09:{n:02d}:00+00:00", ask_s=ask_s,
            hold_s=ask_s if ok else ask_s / 2, ended_by="mark" if ok else "dog", met=bool(ok), hand="away",
            pay_place="inside", distance_m=0.0, disturbance=0, source="target",
        )
        for n, ok in enumerate(met)
    ]  # fmt: skip


def decided(reps: Sequence[Rep], asks: int = 12) -> Decision:
    return decide(reps, dog="Bracken", programme=BOX, asks=asks, draws=np.random.default_rng(1))


def test_a_new_dog_begins_at_the_first_step() -> None:
    found = decided([])
    assert (found.step, found.call, found.next_step) == ("source-value", "stay", "source-value")
    assert found.evidence.reps == 0
    assert found.evidence.rate is None
    assert len(found.asks_s) == 12
    assert all(0.3 <= ask <= 0.8 for ask in found.asks_s)


def test_enough_reps_met_raise_to_the_next_step() -> None:
    found = decided(session(1, [1, 1, 1, 0, 1, 1, 1, 1, 1, 1]) + session(2, [1, 1, 1, 1, 1]))
    assert (found.call, found.next_step, found.next_step_name) == ("raise", "hold-8", "Hold to 8 s")
    assert (found.evidence.met, found.evidence.reps, found.evidence.sessions) == (14, 15, 2)
    assert "14 of 15 met at Hold to 5 s over 2 sessions; the true share lies between" in found.because[0]
    assert found.risk[0].startswith("A dog that is really at 60% would be raised by luck 1 time in 20,")
    assert found.risk[1].startswith("A dog that is really at 85% is raised 80 times in 100, after 13 reps")
    assert found.risk[2] == "A dog between the two, at 72.5%, is raised 1 time in 3."
    assert "raised by luck 1 time in 7 instead of 1 time in 20" in found.risk[3]
    assert "74 times in 100" in found.risk[-1]


def test_too_few_reps_met_ease_to_the_step_before() -> None:
    found = decided(session(1, [1, 0, 0, 1, 0, 0]))
    assert (found.call, found.next_step) == ("ease", "hold-3")


def test_at_the_first_step_an_ease_shortens_the_asks() -> None:
    found = decided(session(1, [0, 0, 1, 0], step="source-value", ask_s=0.8))
    assert (found.call, found.next_step) == ("ease", "source-value")
    assert max(found.asks_s) <= 0.6
    assert any("shorter asks" in sentence for sentence in found.because)


def test_in_between_it_stays() -> None:
    found = decided(session(1, [1, 1, 0, 1, 1]))
    assert (found.call, found.next_step) == ("stay", "hold-5")
    assert any("not yet enough" in sentence for sentence in found.because)


def test_after_the_last_step_it_is_maintained_and_proved() -> None:
    found = decided(session(1, [1] * 10, step="area-open", ask_s=2.0))
    assert (found.call, found.next_step) == ("raise", "area-open")
    assert "The programme is complete: maintain and prove." in found.because


def test_three_refusals_among_the_last_five_stop_the_work() -> None:
    reps = session(1, [1, 1, 1, 1, 1, 0, 0, 1, 0])
    refused = [r if r.met else replace(r, hold_s=0.0) for r in reps]
    found = decided(refused)
    assert (found.call, found.next_step) == ("stop", "hold-3")
    assert any("Look at the dog" in sentence for sentence in found.because)
    assert decided(reps).call != "stop"


def test_a_hold_not_written_down_is_a_refusal_only_where_others_were() -> None:
    reps = session(1, [1, 1, 1, 1, 1, 0, 0, 1, 0])
    some = [r if r.met else replace(r, hold_s=None) for r in reps]
    none = [replace(r, hold_s=None) for r in reps]
    assert decided(some).call == "stop"
    assert decided(none).call != "stop"


def test_blanks_passed_by_are_no_refusals_and_teach_no_hold() -> None:
    blanks = [replace(r, source="blank", hold_s=0.0, ended_by="dog", met=True) for r in session(1, [1] * 9)]
    found = decided(blanks)
    assert (found.call, found.evidence.reps, found.hold) == ("stay", 0, None)
    assert "Not counted: 9 reps without target" in " ".join(found.because)


def test_leaving_a_distractor_at_once_is_no_refusal() -> None:
    reps = session(1, [1, 1, 1, 1, 1, 0, 0, 1, 0])
    left = [r if r.met else replace(r, hold_s=0.0, source="distractor") for r in reps]
    assert decided(left).call != "stop"


def test_refusals_of_an_earlier_session_do_not_stop_today() -> None:
    bad = [replace(r, hold_s=0.0) for r in session(1, [0, 0, 0])]
    assert decided(bad).call == "stop"
    assert decided(bad + session(2, [1, 1])).call != "stop"


def test_going_on_badly_after_the_raise_line_takes_the_raise_back() -> None:
    found = decided(session(1, [1] * 8 + [0, 0, 1, 0]))
    assert (found.call, found.next_step) == ("stay", "hold-5")
    assert any("take the raise back" in sentence for sentence in found.because)
    assert decided(session(1, [1] * 8 + [1, 0, 1, 1])).call == "raise"


def test_evidence_begins_again_when_the_criterion_changes() -> None:
    old = session(1, [1] * 7)
    between = session(2, [1, 1], step="hold-3", ask_s=2.0)
    assert decided(old + between + session(3, [1] * 7)).evidence.reps == 7
    assert decided(old + session(3, [1] * 7)).evidence.reps == 14


def test_a_raise_taken_back_within_a_session_begins_again() -> None:
    tried = session(1, [1] * 5) + [replace(r, rep=6 + n) for n, r in enumerate(session(1, [0], "hold-8"))]
    back = [replace(r, rep=7 + n) for n, r in enumerate(session(1, [1, 1]))]
    ordered = [replace(r, started_at=f"2026-03-01T09:{r.rep:02d}:00+00:00") for r in tried + back]
    assert latest_stretch(ordered, BOX).counted == tuple(ordered[-2:])


def test_warm_ups_at_an_earlier_step_end_nothing() -> None:
    warm = session(2, [1, 1], step="hold-3", ask_s=2.0)
    work = [
        replace(r, rep=r.rep + 2, started_at=r.started_at.replace("T09", "T10")) for r in session(2, [1] * 4)
    ]
    assert decided(session(1, [1] * 6) + warm + work).evidence.reps == 10


def test_easy_reps_are_said_and_not_counted() -> None:
    easy = [
        replace(r, rep=r.rep + 20, started_at=r.started_at.replace("T09", "T10"))
        for r in session(1, [1] * 4, ask_s=1.0)
    ]
    found = decided(session(1, [1] * 6) + easy)
    assert (found.call, found.evidence.reps) == ("stay", 6)
    assert "Not counted: 4 easy reps asked for less than this step's shortest hold." in found.because
    assert found.hold is not None
    assert found.hold.reps == 10


def test_a_step_outside_the_programme_gets_a_call_but_no_next_step() -> None:
    found = decided(session(1, [1] * 9, step="my own step"))
    assert (found.step, found.call, found.next_step) == ("my own step", "raise", "my own step")
    assert any("has no step 'my own step'" in sentence for sentence in found.because)


def test_only_the_named_dog_counts_and_an_unknown_one_is_refused() -> None:
    other = [replace(r, dog="Teasel") for r in session(1, [0] * 9)]
    assert decided(session(1, [1] * 9) + other).call == "raise"
    with pytest.raises(Unknown, match=r"no rep of a dog named 'Bracken'. These reps are of: Teasel"):
        decided(other)
    with pytest.raises(OutOfRange, match=r"session of 0 reps"):
        decided([], asks=0)


def test_the_order_in_which_reps_are_given_does_not_matter() -> None:
    reps = session(1, [1, 0, 1, 1, 0, 1]) + session(2, [1, 1, 1])
    assert decided(reps[::-1]) == decided(reps)


def test_asks_stay_within_the_next_step_and_follow_the_dog() -> None:
    found = decided(session(1, [1] * 9))
    low, high = BOX.step("hold-8").ask_s
    assert all(ask <= high for ask in found.asks_s)
    assert all(ask >= low for ask in found.asks_s[2:-1])
    assert max(found.asks_s) <= 1.25 * 4.0
    assert found.asks_s[0] <= low


def test_levels_of_the_step_are_used() -> None:
    text = shipped_programme().replace('key = "hold-5"', 'key = "hold-5"\nfalse_raise = 0.001', 1)
    strict = read_programme(text)
    reps = session(1, [1] * 9)
    found = decide(reps, dog="Bracken", programme=strict, asks=8, draws=np.random.default_rng(1))
    assert (found.call, decided(reps).call) == ("stay", "raise")


def test_several_runs_of_evidence_own_up_to_their_joint_risk() -> None:
    found = decided(session(1, [0, 0, 0, 0] + [1] * 8))
    assert found.call == "raise"
    said = "This is run 3 of evidence at this step; over 3 runs luck alone raises a dog at 60% 1 time in 7."
    assert said in found.risk


@pytest.mark.parametrize(("chance", "said"), [(0.05, "1 time in 20"), (0.5, "50 times in 100"), (0, "never")])
def test_a_chance_is_said_as_people_say_it(chance: float, said: str) -> None:
    assert one_in(chance) == said


def test_closing_on_an_easier_step_keeps_the_evidence_of_the_session() -> None:
    """Twelve of twelve at the session's step, then one easy rep to end on: the call is about the twelve."""
    closing = [replace(session(1, [1], "hold-3", 2.0)[0], rep=13, started_at=LATER)]
    found = decided([*session(1, [1] * 12), *closing])
    assert (found.step, found.evidence.reps, found.call) == ("hold-5", 12, "raise")
    assert "1 rep at an easier step that closed the session" in " ".join(found.because)


def test_a_session_that_went_back_is_about_the_easier_step() -> None:
    back = [replace(rep, rep=rep.rep + 4, started_at=LATER) for rep in session(1, [1] * 6, "hold-3", 2.0)]
    assert decided([*session(1, [0] * 4), *back]).step == "hold-3"


def test_a_rep_written_as_met_against_its_own_hold_is_named() -> None:
    odd = [replace(rep, hold_s=0.3, ended_by="dog", met=True) for rep in session(1, [1] * 3)]
    assert "3 of these are written as met though the dog left" in " ".join(decided(odd).because)


def test_few_holds_promise_nothing() -> None:
    said = " ".join(decided(session(1, [1, 1])).because)
    assert "too few to say how long the dog holds" in said
    assert "times in 100; " not in said


def test_an_open_run_says_how_many_more_reps_bring_an_answer() -> None:
    found = decided(session(1, [1, 1, 1, 0, 1, 1]))
    assert found.call == "stay"
    rate = 6 / 8
    (ahead,) = characteristics_of(step_lines(), [rate], reps=6, met=5)
    said = f"at about 75%, {ahead.reps:.0f} more reps bring an answer on average: to raise"
    assert any(said in sentence for sentence in found.because)
    assert not any("bring an answer" in sentence for sentence in decided(session(1, [1] * 8)).because)
