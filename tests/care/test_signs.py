"""The list of signs: levels, what two mild ones come to, and words no program may say."""

import re

import pytest

from nares.base.errors import OutOfRange, Unknown
from nares.care.signs import SIGNS, TO_DO, level_of, sign_of
from nares.care.standing import Seen, standing


def test_keys_are_words_and_unlike() -> None:
    assert len({sign.key for sign in SIGNS}) == len(SIGNS)
    assert all(re.fullmatch(r"[a-z_]+", sign.key) for sign in SIGNS)
    assert [sign.level for sign in SIGNS] == sorted(sign.level for sign in SIGNS)


@pytest.mark.parametrize(
    ("keys", "level"),
    [
        (["yawn"], 1),
        (["yawn", "yawn"], 1),
        (["yawn", "paw_lift"], 2),
        (["ears_tail"], 2),
        (["withdraws", "yawn"], 2),
        (["crouch"], 3),
        (["refuses_food"], 3),
        (["pain"], 3),
        (["stuck", "yawn"], 4),
    ],
)
def test_signs_come_to_a_level(keys: list[str], level: int) -> None:
    assert level_of(keys) == level


def test_a_sign_nobody_knows_is_named_with_those_that_are() -> None:
    with pytest.raises(Unknown, match=r"no sign 'tired'.*yawn, body_shake"):
        level_of(["yawn", "tired"])
    with pytest.raises(OutOfRange, match="Give at least one"):
        level_of([])


def test_every_level_says_what_to_do_and_names_neither_dose_nor_illness() -> None:
    every = [Seen(n, (sign.key,), sign.level, "2026-03-01T08:00:00.000Z") for n, sign in enumerate(SIGNS, 1)]
    said = " ".join([*TO_DO.values(), *(text for one in every for text in standing([one]).because)])
    assert set(TO_DO) == {1, 2, 3, 4}
    assert not re.search(r"\b(mg|ml|dose|naloxone|tablet|syndrome|disease|diagnos)", said, re.IGNORECASE)
    assert "follow your vet's protocol and call them now" in TO_DO[4]


def test_what_heat_and_food_can_look_like_is_said() -> None:
    assert "heat" in sign_of("pant").unless
    assert "5 s of pay" in sign_of("lip_lick").unless
    pants = standing([Seen(1, ("pant",), 2, "2026-03-01T08:00:00.000Z")])
    assert any("only warmth" in text for text in pants.because)
