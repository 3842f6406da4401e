import json
import math
import struct
from typing import Any

import pytest
import rfc8785
from hypothesis import example, given
from hypothesis import strategies as st

from nares.base.errors import Refused
from nares.record.bag_verifier import canonical as standalone
from nares.record.bag_verifier import number_text
from nares.record.canonical import canonical, read_canonical

TEXT = st.text(st.characters(exclude_categories=["Cs"]), max_size=6)
NUMBERS = st.integers(-(2**53) + 1, 2**53 - 1) | st.floats(allow_nan=False, allow_infinity=False)
VALUES = st.recursive(
    st.none() | st.booleans() | NUMBERS | TEXT,
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(TEXT, inner, max_size=3),
    max_leaves=8,
)
EDGES = [1e16, 1e20, 1e21, 1e22, 1e-4, 1e-5, 1e-6, 1e-7, 5e-324, -0.0, 100.0, 123456789012345680.0, 0.1 + 0.2]


@given(VALUES)
def test_what_is_written_is_read_as_canonical(value: Any) -> None:
    again, spelled = read_canonical(canonical(value))
    assert spelled
    assert canonical(again) == canonical(value)


@given(VALUES, st.sampled_from([{"indent": 1}, {"separators": (",", ":")}, {"ensure_ascii": True}]))
@example([1.0], {"separators": (",", ":")})
@example([-0.0], {"separators": (",", ":")})
@example([1e16], {"separators": (",", ":")})
@example([1e-5], {"separators": (",", ":")})
@example({"\U0001f600": 1, "\ufb33": 2}, {"separators": (",", ":"), "sort_keys": True, "ensure_ascii": False})
def test_only_the_canonical_spelling_is_called_canonical(value: Any, style: dict[str, Any]) -> None:
    text = json.dumps(value, **style).encode()
    assert read_canonical(text)[1] == (rfc8785.dumps(value) == text)


@pytest.mark.parametrize(
    "text",
    [
        b'{"a":1,"a":1}',
        b"[1.0]",
        b"[1e2]",
        b"[01e0]",
        b"[-0]",
        b"[10000000000000000000000]",
        b"[0.10]",
        b"[NaN]",
    ],
)
def test_another_spelling_of_a_number_or_name_is_not_canonical(text: bytes) -> None:
    try:
        assert not read_canonical(text)[1]
    except ValueError:
        assert text == b"[01e0]"  # no JSON at all


@pytest.mark.parametrize("value", [math.nan, math.inf, 2**53, "\ud800", {1: 2}, {"a": {3, 4}}])
def test_what_json_cannot_carry_exactly_is_refused(value: Any) -> None:
    with pytest.raises(Refused, match="cannot hold this value exactly"):
        canonical(value)


@given(VALUES)
def test_the_stand_alone_writer_agrees_with_the_library(value: Any) -> None:
    assert standalone(value) == rfc8785.dumps(value)


@given(st.binary(min_size=8, max_size=8))
def test_the_stand_alone_number_writer_agrees_on_any_double(bits: bytes) -> None:
    (value,) = struct.unpack(">d", bits)
    if math.isfinite(value):
        assert number_text(value).encode() == rfc8785.dumps(value)


@pytest.mark.parametrize("value", EDGES)
def test_the_stand_alone_number_writer_agrees_at_the_edges(value: float) -> None:
    assert number_text(value).encode() == rfc8785.dumps(value)
    assert read_canonical(rfc8785.dumps([value]))[1]
