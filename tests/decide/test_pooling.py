"""What is borrowed from other steps and other dogs, when, and what the page is told of it."""

from dataclasses import replace

import numpy as np
import pytest

from nares.base.errors import NotEnoughData, OutOfRange
from nares.base.vocab import Rep
from nares.decide import HoldModel, OtherDogs, hold_model_of, learn_other_dogs, pooled_hold_model
from nares.decide.hold.nextasks import OWN_ENOUGH, needs_other_dogs

Holds = tuple[list[float], list[bool]]


def held(scale_s: float, reps: int, seed: int, shape: float = 2.0, longest_s: float = 8.0) -> Holds:
    draws = np.random.default_rng(seed)
    would, asked = scale_s * draws.weibull(shape, reps), draws.uniform(0.3, longest_s, reps)
    return np.minimum(would, asked).tolist(), (would < asked).tolist()


def sessions(reps: int, of: int = 12) -> list[str]:
    return [f"s{rep // of:02d}" for rep in range(reps)]


def pooled(holds: Holds, **more: object) -> HoldModel:
    return pooled_hold_model(*holds, sessions=sessions(len(holds[0])), **more)  # type: ignore[arg-type]


KENNEL = [held(6.0, 60, seed) for seed in range(4)]


def test_a_dog_alone_borrows_nothing_and_says_nothing_of_it() -> None:
    model = pooled(held(5.0, 48, 1))
    assert (model.borrowed, model.other_dogs, model.from_others) == (0, 0, 0.0)
    assert not any("other" in note and "dog" in note for note in model.notes)
    assert model.averaged
    assert sum(model.shares) == pytest.approx(1)


def test_few_holds_of_a_new_dog_lean_on_the_kennel_and_say_so() -> None:
    others = learn_other_dogs(KENNEL)
    assert others is not None
    assert (others.dogs, others.holds) == (4, 240)
    few = ([1.0, 1.0, 1.2, 1.0], [False, False, False, False])
    alone, helped = pooled(few), pooled(few, others=others)
    assert helped.from_others > 0.5
    assert "Mostly from 4 other dogs (240 holds at this step): 4 holds are this dog's own." in helped.notes
    truth = float(np.exp(-((3.0 / 6.0) ** 2.0)))
    assert abs(helped.chance(3.0) - truth) < abs(alone.chance(3.0) - truth)


def test_a_dog_unlike_the_kennel_is_followed_and_not_the_kennel() -> None:
    others = learn_other_dogs([held(20.0, 60, seed, longest_s=25.0) for seed in range(4)])
    model = pooled(held(2.0, 72, 9), others=others)
    assert model.chance(3.0) < 0.3
    assert model.from_others < 0.1


def test_one_other_dog_leaves_more_room_than_six() -> None:
    one, six = learn_other_dogs(KENNEL[:1]), learn_other_dogs([held(6.0, 60, seed) for seed in range(6)])
    assert one is not None
    assert six is not None
    assert one.of(1.0)[0][1] > six.of(1.0)[0][1]


def test_dogs_that_differ_leave_room_for_one_more_that_differs() -> None:
    """However well each is known: dogs a factor of ten apart say that the next may be anywhere between."""
    alike = learn_other_dogs([held(6.0, 240, seed) for seed in range(4)])
    apart = learn_other_dogs([held(2.0 * 10 ** (seed % 2), 240, seed, longest_s=30.0) for seed in range(4)])
    assert alike is not None
    assert apart is not None
    assert 0.2 < alike.of(1.0)[0][1] < 0.6
    assert apart.of(1.0)[0][1] > 0.8


def test_dogs_that_never_broke_teach_nothing() -> None:
    assert learn_other_dogs([([3.0] * 10, [False] * 10)]) is None
    assert learn_other_dogs([]) is None


def test_holds_of_other_steps_help_while_few_are_of_this_one() -> None:
    before, here = held(6.0, 48, 3), held(6.0, 6, 4, longest_s=2.0)
    both = before[0] + here[0], before[1] + here[1]
    steps = ["hold-3"] * 48 + ["hold-5"] * 6
    model = pooled(both, steps=steps)
    assert (model.reps, model.borrowed) == (6, 48)
    assert "48 holds of its other steps help" in model.notes[0]
    assert model.longest_asked_s == max(here[0])
    truth = float(np.exp(-((2.0 / 6.0) ** 2.0)))
    assert abs(model.chance(2.0) - truth) < abs(pooled(here).chance(2.0) - truth)


def test_other_steps_that_mislead_are_left_out() -> None:
    """At the other step every hold is alike, here they scatter: the other step spoils the spread."""
    before = [20.0 + 0.1 * (n % 3) for n in range(120)], [True] * 120
    here = held(3.0, 96, 5, shape=0.8)
    model = pooled((before[0] + here[0], before[1] + here[1]), steps=["a"] * 120 + ["b"] * 96)
    assert model.borrowed == 0
    assert model.notes[0].startswith("Holds at other steps were left out")


def test_dogs_that_gain_are_met_where_they_will_be() -> None:
    """Twelve per cent a session: on average the ask is that of the next session, not of the last."""
    right = 2.0 * 1.12**10 * (-np.log(0.85)) ** 0.5
    asks = []
    for seed in range(8):
        draws = np.random.default_rng(seed)
        level = np.repeat(2.0 * 1.12 ** np.arange(10), 12)
        would, asked = level * draws.weibull(2.0, 120), level * draws.uniform(0.3, 1.2, 120)
        asks.append(pooled((np.minimum(would, asked).tolist(), (would < asked).tolist())).ask())
    assert np.mean(np.log(asks)) == pytest.approx(np.log(right), abs=0.2)


def test_breaks_not_foretold_raise_the_rate_of_breaks() -> None:
    """A dog that suddenly breaks twice as early is believed before the shapes have caught up."""
    early, late = held(8.0, 96, 7), held(2.5, 24, 8)
    both = early[0] + late[0], early[1] + late[1]
    assert pooled(both).per_foretold > 1.15
    assert pooled(early).per_foretold == pytest.approx(1, abs=0.35)


def test_declines_are_counted_apart_and_shorter_asks_do_not_chase_them() -> None:
    holds = held(6.0, 60, 10)
    hurt = [0.0 if n % 4 == 0 else h for n, h in enumerate(holds[0])]
    broke = [n % 4 == 0 or b for n, b in enumerate(holds[1])]
    model = pooled((hurt, broke))
    assert model.declined == pytest.approx(0.25, abs=0.05)
    assert model.ask(0.85) > 0.5
    assert any("left at once in 15 of 60" in note for note in model.notes)


def test_nothing_but_declines_and_no_break_at_all_can_be_lived_with() -> None:
    assert pooled(([0.0, 0.1, 0.0], [True] * 3)).chance(1.0) < 0.4
    never = pooled(([4.0] * 24, [False] * 24))
    assert never.ask() <= never.ceiling_s == pytest.approx(5.0)
    assert never.chance(5.0) < 1
    assert any("never broke" in note for note in never.notes)


def test_chances_fall_and_limits_hold_them_between() -> None:
    model = pooled(held(5.0, 60, 11))
    times = np.linspace(0, 12, 60)
    chances, (low, high) = model.chances(times), model.limits(times)
    assert (np.diff(chances) <= 1e-12).all()
    assert (low <= chances + 1e-9).all()
    assert (chances <= high + 1e-9).all()
    at_low, at_high = model.ask_limits(0.85)
    assert at_low < model.ask(0.85) < at_high


def test_what_cannot_be_is_refused() -> None:
    with pytest.raises(NotEnoughData, match="no hold to learn from"):
        pooled_hold_model([], [], sessions=[])
    with pytest.raises(OutOfRange, match=r"2 holds but 1 sessions"):
        pooled_hold_model([1, 2], [1, 0], sessions=["a"])
    with pytest.raises(OutOfRange, match=r"None of the last 1 holds is at the step 'b'"):
        pooled_hold_model([1], [1], sessions=["a"], steps=["a"], step="b")


def rep(number: int, step: str, hold_s: float | None, ended_by: str = "mark") -> Rep:
    return Rep(
        dog="Bracken", session=f"s{number // 12}", step=step, rep=number + 1,
        started_at="2026-03-01T09:00:00+00:00", ask_s=2.0, hold_s=hold_s, ended_by=ended_by, met=True,  # type: ignore[arg-type]
        hand="away", pay_place="inside", distance_m=0.0, disturbance=0, source="target",
    )  # fmt: skip


def test_the_model_of_reps_is_of_the_step_asked_for_and_leaves_blanks_out() -> None:
    reps = [rep(n, "hold-3", 2.0) for n in range(24)] + [rep(n, "hold-5", 1.5) for n in range(24, 30)]
    blank = replace(rep(30, "hold-5", 9.0), source="blank")
    found = hold_model_of([*reps, blank, rep(31, "hold-5", None)])
    assert found is not None
    assert (found.reps, found.borrowed, found.longest_asked_s) == (6, 24, 1.5)
    assert hold_model_of(reps, step="hold-8") is None
    assert hold_model_of([rep(1, "hold-3", None)]) is None


def test_five_years_of_reps_are_not_all_read() -> None:
    reps = [rep(n, "hold-3", 2.0, "dog" if n % 7 == 0 else "mark") for n in range(2000)]
    found = hold_model_of(reps)
    assert found is not None
    assert found.reps == 240


def test_a_dog_with_enough_holds_of_its_own_needs_no_other() -> None:
    reps = [rep(n, "hold-3", 2.0) for n in range(OWN_ENOUGH)]
    assert not needs_other_dogs(reps, "hold-3")
    assert needs_other_dogs(reps[1:], "hold-3")
    assert needs_other_dogs(reps, "hold-5")


def test_what_other_dogs_teach_has_every_shape() -> None:
    others = learn_other_dogs(KENNEL)
    assert isinstance(others, OtherDogs)
    for form in (1.0, 0.0, 0.5, -1.0, 2.0):
        (place, place_sd), (spread, spread_sd) = others.of(form)
        assert 0.5 < place < 2.5
        assert 0.1 < place_sd < 1.0
        assert -2 < spread < 1
        assert 0 < spread_sd < 1
