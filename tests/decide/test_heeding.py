"""Signs before people, people before numbers; what the numbers alone said stays."""

import numpy as np
import pytest
from tests.decide.test_decision import BOX, session

from nares.base.vocab import SignsStanding
from nares.decide import decide
from nares.decide.decision import Decision
from nares.decide.isolation.heeding import Instead

RAISES = session(1, [1] * 14)


def heeding(signs: SignsStanding | None, instead: Instead | None = None) -> Decision:
    draws = np.random.default_rng(1)
    return decide(RAISES, dog="Bracken", programme=BOX, asks=12, draws=draws, signs=signs, instead=instead)


@pytest.mark.parametrize(
    ("level", "vet", "call", "next_step"),
    [
        (0, False, "raise", "hold-8"),
        (1, False, "raise", "hold-8"),
        (2, False, "ease", "hold-3"),
        (3, False, "stop", "hold-5~ask_s=1.5-3~hand=side"),
        (4, True, "stop", "hold-5~ask_s=1.5-3~hand=side"),
        (1, True, "stop", "hold-5~ask_s=1.5-3~hand=side"),
    ],
)
def test_what_stands_decides(level: int, vet: bool, call: str, next_step: str) -> None:
    found = heeding(SignsStanding(level, ("Signs come first.",) if level else (), vet))
    assert (found.call, found.next_step) == (call, next_step)
    if call != "raise":
        assert found.because[0] == "Signs come first."
        assert found.alone is not None
        assert (found.alone.call, found.alone.next_step) == ("raise", "hold-8")
        assert max(found.asks_s) <= 3.0


def test_a_person_decides_over_numbers_and_not_over_signs() -> None:
    stay = Instead("stay", "hold-5")
    assert (heeding(None, stay).call, heeding(None, stay).next_step) == ("stay", "hold-5")
    assert heeding(SignsStanding(3, ("Signs.",)), stay).call == "stop"
