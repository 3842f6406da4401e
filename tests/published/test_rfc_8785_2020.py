"""RFC 8785: the sample carried through sections 3.2.2 to 3.2.4, the sorting sample of 3.2.3, the numbers of
Appendix B. Read in the test suites of several independent programs that quote them alike; the page of the RFC
itself was not opened. Each value goes through both writers: the record's and the stand-alone verifier's.
"""

import json
import struct
from collections.abc import Callable
from typing import Any

import pytest

from nares.base.errors import Refused
from nares.record.bag_verifier import canonical as standalone
from nares.record.canonical import canonical

WRITERS = pytest.mark.parametrize("write", [canonical, standalone], ids=["record", "verifier"])
Writer = Callable[[Any], bytes]

SAMPLE = r"""{
  "numbers": [333333333.33333329, 1E30, 4.50, 2e-3, 0.000000000000000000000000001],
  "string": "\u20ac$\u000F\u000aA'\u0042\u0022\u005c\\\"\/",
  "literals": [null, true, false]
}"""

SAMPLE_BYTES = """
7b 22 6c 69 74 65 72 61 6c 73 22 3a 5b 6e 75 6c 6c 2c 74 72
75 65 2c 66 61 6c 73 65 5d 2c 22 6e 75 6d 62 65 72 73 22 3a
5b 33 33 33 33 33 33 33 33 33 2e 33 33 33 33 33 33 33 2c 31
65 2b 33 30 2c 34 2e 35 2c 30 2e 30 30 32 2c 31 65 2d 32 37
5d 2c 22 73 74 72 69 6e 67 22 3a 22 e2 82 ac 24 5c 75 30 30
30 66 5c 6e 41 27 42 5c 22 5c 5c 5c 5c 5c 22 2f 22 7d
"""

NAMES = {
    "\u20ac": "Euro Sign",
    "\r": "Carriage Return",
    "\ufb33": "Hebrew Letter Dalet With Dagesh",
    "1": "One",
    "\U0001f600": "Emoji: Grinning Face",
    "\u0080": "Control",
    "\u00f6": "Latin Small Letter O With Diaeresis",
}
SORTED = [
    "Carriage Return",
    "One",
    "Control",
    "Latin Small Letter O With Diaeresis",
    "Euro Sign",
    "Emoji: Grinning Face",
    "Hebrew Letter Dalet With Dagesh",
]

NUMBERS = [
    ("0000000000000000", "0"),
    ("8000000000000000", "0"),
    ("0000000000000001", "5e-324"),
    ("8000000000000001", "-5e-324"),
    ("7fefffffffffffff", "1.7976931348623157e+308"),
    ("ffefffffffffffff", "-1.7976931348623157e+308"),
    ("4340000000000000", "9007199254740992"),
    ("c340000000000000", "-9007199254740992"),
    ("4430000000000000", "295147905179352830000"),
    ("44b52d02c7e14af5", "9.999999999999997e+22"),
    ("44b52d02c7e14af6", "1e+23"),
    ("44b52d02c7e14af7", "1.0000000000000001e+23"),
    ("444b1ae4d6e2ef4e", "999999999999999700000"),
    ("444b1ae4d6e2ef4f", "999999999999999900000"),
    ("444b1ae4d6e2ef50", "1e+21"),
    ("3eb0c6f7a0b5ed8c", "9.999999999999997e-7"),
    ("3eb0c6f7a0b5ed8d", "0.000001"),
    ("41b3de4355555553", "333333333.3333332"),
    ("41b3de4355555554", "333333333.33333325"),
    ("41b3de4355555555", "333333333.3333333"),
    ("41b3de4355555556", "333333333.3333334"),
    ("41b3de4355555557", "333333333.33333343"),
    ("becbf647612f3696", "-0.0000033333333333333333"),
    ("43143ff3c1cb0959", "1424953923781206.2"),
]


def double(bits: str) -> float:
    (value,) = struct.unpack(">d", bytes.fromhex(bits))
    return float(value)


@pytest.mark.published(source="rfc-8785", at="3.2.2 to 3.2.4, the sample and its bytes", seen="read")
@WRITERS
def test_the_sample_gives_the_printed_bytes(write: Writer) -> None:
    assert write(json.loads(SAMPLE)) == bytes.fromhex(SAMPLE_BYTES)


@pytest.mark.published(source="rfc-8785", at="3.2.3, order of the seven names", seen="read")
@WRITERS
def test_names_come_in_the_printed_order(write: Writer) -> None:
    assert list(json.loads(write(NAMES)).values()) == SORTED


@pytest.mark.published(source="rfc-8785", at="Appendix B, number samples", seen="read")
@pytest.mark.parametrize(("bits", "text"), NUMBERS)
@WRITERS
def test_a_number_is_written_as_printed(write: Writer, bits: str, text: str) -> None:
    assert write(double(bits)).decode() == text


@pytest.mark.published(source="rfc-8785", at="Appendix B, NaN and Infinity are errors", seen="read")
@pytest.mark.parametrize("bits", ["7fffffffffffffff", "7ff0000000000000", "fff0000000000000"])
def test_what_is_no_number_is_refused(bits: str) -> None:
    with pytest.raises(Refused, match="cannot hold this value exactly"):
        canonical(double(bits))
    with pytest.raises(ValueError, match="not finite"):
        standalone(double(bits))
