"""RFC 6901, section 5: the example document and what each pointer names in it (from memory, sure)."""

from typing import Any

import pytest

from nares.record.pointer import value_at

DOCUMENT: dict[str, Any] = {
    "foo": ["bar", "baz"],
    "": 0,
    "a/b": 1,
    "c%d": 2,
    "e^f": 3,
    "g|h": 4,
    "i\\j": 5,
    'k"l': 6,
    " ": 7,
    "m~n": 8,
}
NAMED = [
    ("", DOCUMENT),
    ("/foo", ["bar", "baz"]),
    ("/foo/0", "bar"),
    ("/", 0),
    ("/a~1b", 1),
    ("/c%d", 2),
    ("/e^f", 3),
    ("/g|h", 4),
    ("/i\\j", 5),
    ('/k"l', 6),
    ("/ ", 7),
    ("/m~0n", 8),
]


@pytest.mark.published(source="rfc-6901", at="section 5, examples", seen="memory")
@pytest.mark.parametrize(("pointer", "value"), NAMED)
def test_a_pointer_names_the_printed_value(pointer: str, value: Any) -> None:
    assert value_at(DOCUMENT, pointer) == value
