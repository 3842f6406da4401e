"""Rewards within a day's ration: worked days, decimals that binary fractions get wrong, refusals."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nares.base.errors import OutOfRange
from nares.base.vocab import Allowance
from nares.care.ration import CAUTIONS, Ration, allowance, exact, rewards_of_day

WORKED = (
    (10, 110, (577, 346, 173, 86)),
    (15, 110, (782, 469, 234, 117)),
    (20, 130, (1147, 688, 344, 172)),
    (25, 130, (1357, 814, 407, 203)),
    (25, 136, (1419, 851, 425, 212)),
    (30, 130, (1555, 933, 466, 233)),
    (35, 136, (1827, 1096, 548, 274)),
)
"""Dog in kg, energy coefficient, rewards of 0.3, 0.5, 1 and 2 g at 3.57 kcal a gram, by hand calculation."""


@pytest.mark.parametrize(("weight_kg", "coefficient", "rewards"), WORKED)
def test_worked_rations(weight_kg: float, coefficient: float, rewards: tuple[int, ...]) -> None:
    ration_g = coefficient * weight_kg**0.75 / 3.57
    found = tuple(rewards_of_day(Ration(ration_g, reward_g)) for reward_g in (0.3, 0.5, 1.0, 2.0))
    assert found == rewards


@pytest.mark.parametrize(
    ("ration_g", "reward_g", "rewards"),
    [(0.6, 0.2, 3), (0.3, 0.1, 3), (466.8, 0.3, 1556), (466.79, 0.3, 1555), (4.35, 0.01, 435)],
)
def test_grams_are_the_decimals_a_person_wrote(ration_g: float, reward_g: float, rewards: int) -> None:
    """Binary division says 2, 2, 1556, 1555 and 434."""
    assert rewards_of_day(Ration(ration_g, reward_g)) == rewards


def test_binary_division_would_get_some_of_them_wrong() -> None:
    assert (0.6 // 0.2, 0.3 // 0.1, 4.35 // 0.01) == (2.0, 2.0, 434.0)


def test_what_goes_into_the_bowl_is_not_paid_out() -> None:
    ration = Ration(ration_g=425.9, reward_g=1.0, bowl_g=365.9)
    assert rewards_of_day(ration) == 60
    assert allowance(ration, paid_reps=48) == Allowance(left=12, session=141)


def test_two_rewards_a_rep_halve_the_reps() -> None:
    ration = Ration(ration_g=90.0, reward_g=0.5, bowl_g=60.0, rewards_per_rep=2)
    assert allowance(ration, paid_reps=0) == Allowance(left=30, session=30)
    assert allowance(ration, paid_reps=29) == Allowance(left=1, session=30)


def test_an_odd_reward_left_over_pays_for_no_rep() -> None:
    assert allowance(Ration(rewards=7, rewards_per_rep=2), paid_reps=3).left == 0


def test_more_paid_than_there_was_leaves_none_and_not_less() -> None:
    assert allowance(Ration(rewards=10), paid_reps=14).left == 0


def test_rewards_that_are_only_counted_say_nothing_of_a_third() -> None:
    assert allowance(Ration(rewards=40), paid_reps=4) == Allowance(left=36, session=None)


def test_of_mass_and_count_the_smaller_holds() -> None:
    assert rewards_of_day(Ration(ration_g=100, reward_g=1, rewards=40)) == 40
    assert rewards_of_day(Ration(ration_g=30, reward_g=1, rewards=40)) == 30


@pytest.mark.parametrize(
    ("given_", "said"),
    [
        ({}, "ration and one reward"),
        ({"ration_g": 300.0}, "ration and one reward"),
        ({"ration_g": 0.0, "reward_g": 1.0}, "ration of 0 g"),
        ({"ration_g": float("nan"), "reward_g": 1.0}, "ration of nan g"),
        ({"ration_g": 300.0, "reward_g": -1.0}, "A reward of -1 g"),
        ({"ration_g": 300.0, "reward_g": 1.0, "bowl_g": 301.0}, "more than the day's"),
        ({"ration_g": 300.0, "reward_g": 1.0, "bowl_g": -1.0}, "from the bowl"),
        ({"rewards": -1}, "-1 rewards"),
        ({"rewards": 5, "rewards_per_rep": 0}, "0 rewards a rep"),
    ],
)
def test_a_ration_that_cannot_be_is_refused_in_words(given_: dict[str, float], said: str) -> None:
    with pytest.raises(OutOfRange, match=said):
        Ration(**given_)  # type: ignore[arg-type]


def test_a_negative_count_of_paid_reps_is_refused() -> None:
    with pytest.raises(OutOfRange, match="-1 paid"):
        allowance(Ration(rewards=3), paid_reps=-1)


masses = st.decimals("0.1", "900", places=2)


@given(masses, st.decimals("0.05", "9", places=2), st.integers(0, 400), st.integers(1, 4))
def test_what_is_paid_out_never_exceeds_the_ration(
    ration: object, reward: object, paid: int, each: int
) -> None:
    said = Ration(ration_g=float(str(ration)), reward_g=float(str(reward)), rewards_per_rep=each)
    left = allowance(said, paid_reps=paid).left
    assert left is not None
    ration_g, rep_g = Fraction(str(ration)), Fraction(str(reward)) * each
    assert left * rep_g <= max(ration_g - paid * rep_g, Fraction(0))
    assert left == 0 or (left + 1 + paid) * rep_g > ration_g


def test_a_number_is_taken_as_it_is_written() -> None:
    assert exact(0.1) == Fraction(1, 10)


def test_cautions_send_to_the_vet_and_name_no_amount() -> None:
    text = " ".join(CAUTIONS)
    assert "veterinarian" in text
    assert not any(letter.isdigit() for letter in text)
