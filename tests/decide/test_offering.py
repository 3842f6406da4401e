"""Which criterion next: the programme's order, what was too much before, and never two at once."""

from tests.decide.test_decision import BOX, decided, session

from nares.decide.isolation.offering import harder_in, one_at_a_time


def test_a_step_that_was_too_much_before_is_said_and_two_ways_are_offered() -> None:
    reps = [*session(1, [0, 0, 1, 0]), *session(2, [1] * 14, step="hold-3", ask_s=2.5)]
    found = decided(reps)
    assert (found.call, found.next_step) == ("raise", "hold-5")
    assert [offer.step for offer in found.offers] == ["hold-5~ask_s=2-4", "disturb-mild"]
    said = next(text for text in found.because if "too much before" in text)
    assert said.startswith("Hold to 5 s was too much before: 1 of 4 met, last on 2026-03-01.")
    assert "raises disturbance instead" in said


def test_a_step_never_failed_is_simply_next() -> None:
    found = decided(session(1, [1] * 14, step="hold-3", ask_s=2.5))
    assert (found.next_step, found.offers) == ("hold-5", ())


def test_what_is_offered_raises_one_criterion() -> None:
    reps = [*session(1, [0, 0, 1, 0]), *session(2, [1] * 14, step="hold-3", ask_s=2.5)]
    for offer in decided(reps).offers:
        there = next((step for step in BOX.steps if step.key == offer.step), None)
        assert there is None or len(harder_in(BOX.step("hold-3"), there)) == 1


def test_two_criteria_at_once_are_a_finding() -> None:
    found = one_at_a_time(BOX.step("hold-3"), BOX.step("disturb-hold"))
    assert [one.rule for one in found] == ["raises-several"]
    assert "hold and disturbance are raised at once" in found[0].text
    assert one_at_a_time(BOX.step("hold-3"), BOX.step("hold-8")) == []
    assert one_at_a_time(BOX.step("hold-8"), BOX.step("hold-3")) == []


def test_a_step_lost_since_is_offered_whatever_the_call() -> None:
    reps = [*session(1, [1] * 14, step="hold-3", ask_s=2.5), *session(2, [1] * 4)]
    quiet = decided([*reps, *session(3, [1] * 8, step="hold-3", ask_s=2.5), *session(4, [1] * 3)])
    lost = decided([*reps, *session(3, [0, 0, 1] * 6, step="hold-3", ask_s=2.5), *session(4, [1] * 3)])
    assert quiet.offers == ()
    assert (lost.call, lost.next_step) == (quiet.call, quiet.next_step)
    assert [offer.step for offer in lost.offers] == ["hold-3"]
    assert any(text.startswith("Hold to 3 s was sure once and is no longer") for text in lost.because)


def test_a_step_come_to_with_two_criteria_raised_is_said_so() -> None:
    skipped = [*session(1, [1] * 10, step="hold-3", ask_s=2.5), *session(2, [1] * 3, step="disturb-hold")]
    said = [text for text in decided(skipped).because if "raised at once" in text]
    assert len(said) == 1
    assert said[0].startswith("From Hold to 3 s to Plain disturbance, longer hold and disturbance are raised")
    walked = [*session(1, [1] * 10, step="disturb-plain"), *session(2, [1] * 3, step="disturb-hold")]
    assert not any("raised at once" in text for text in decided(walked).because)
