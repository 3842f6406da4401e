from typing import Any

import pytest

from nares.base.errors import Unknown
from nares.record.pointer import value_at, with_value

DOCUMENT: dict[str, Any] = {"reps": [{"hold_s": 1.5}, {"hold_s": 2.5}], "a/b": 1, "": 2}


def test_a_value_is_replaced_in_a_copy() -> None:
    changed = with_value(DOCUMENT, "/reps/1/hold_s", 9)
    assert changed["reps"] == [{"hold_s": 1.5}, {"hold_s": 9}]
    assert DOCUMENT["reps"][1] == {"hold_s": 2.5}


@pytest.mark.parametrize(
    "pointer", ["/reps/2", "/reps/01", "/reps/-", "/reps/-1", "/none", "/a/b", "/reps/x"]
)
def test_a_pointer_to_nothing_is_unknown(pointer: str) -> None:
    with pytest.raises(Unknown, match="There is nothing at"):
        value_at(DOCUMENT, pointer)
    with pytest.raises(Unknown, match="There is nothing at"):
        with_value(DOCUMENT, pointer, 1)


def test_a_pointer_starts_with_a_slash() -> None:
    with pytest.raises(Unknown, match=r"'reps' is not a JSON pointer.*Write it like /reps/0/hold_s"):
        value_at(DOCUMENT, "reps")


def test_the_whole_payload_is_not_replaced() -> None:
    with pytest.raises(Unknown, match="Name one value"):
        with_value(DOCUMENT, "", {})
