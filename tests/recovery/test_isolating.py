"""Dogs that one criterion broke: the right one is named, a wrong one seldom, none where none broke it."""

from collections import Counter

import numpy as np
from tests.recovery.broken_dogs import guilty, plain, until_named

from nares.decide import read_programme, shipped_programme
from nares.decide.isolation.easing import suspects

BOX = read_programme(shipped_programme())
FAILED = BOX.step("handler-2m")
DOGS = 40


def test_the_criterion_that_broke_the_dog_is_named() -> None:
    came = Counter[bool | str]()
    for number in range(DOGS):
        draws = np.random.default_rng(20_000 + number)
        which = suspects(FAILED, BOX)[number % 3]
        found = until_named(BOX, FAILED, guilty(which, FAILED, good=0.95, bad=0.40), draws)
        came["right" if found.named == plain(which) else found.named] += 1
    assert came["right"] >= 36
    assert DOGS - came["right"] - came["none"] - came["open"] <= 2


def test_where_nothing_broke_it_nothing_is_named() -> None:
    named = [
        until_named(BOX, FAILED, lambda step: 0.40, np.random.default_rng(21_000 + n)).named
        for n in range(DOGS // 2)
    ]
    assert named.count("none") >= 19
