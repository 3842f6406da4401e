"""RFC 4231: HMAC-SHA256 of its first, second and third test case, and that a stream is made of it.

Typed from memory, high confidence; the document was not opened.
"""

import hashlib
import hmac

import pytest

from nares.design.chance import Stream

CASES = [
    (
        b"\x0b" * 20,
        b"Hi There",
        "b0344c61d8db38535ca8afceaf0bf12b881dc200c9833da726e9376c2e32cff7",
    ),
    (
        b"Jefe",
        b"what do ya want for nothing?",
        "5bdcc146bf60754e6a042426089575c75a003f089d2739839dec58b964ec3843",
    ),
    (
        b"\xaa" * 20,
        b"\xdd" * 50,
        "773ea91e36800e46854db8ebd09181a72959098b3ef8c122d9635514ced565fe",
    ),
]


def by_hand(key: bytes, message: bytes) -> bytes:
    """HMAC from SHA-256 alone: H(K xor opad, H(K xor ipad, message))."""
    padded = key.ljust(64, b"\0")
    inner = hashlib.sha256(bytes(byte ^ 0x36 for byte in padded) + message).digest()
    return hashlib.sha256(bytes(byte ^ 0x5C for byte in padded) + inner).digest()


@pytest.mark.published(source="rfc-4231-2005", at="section 4, test cases 1 to 3", seen="memory")
@pytest.mark.parametrize(("key", "message", "digest"), CASES)
def test_hmac_sha_256_of_the_test_cases(key: bytes, message: bytes, digest: str) -> None:
    assert hmac.digest(key, message, "sha256").hex() == digest
    assert by_hand(key, message).hex() == digest


def test_a_stream_is_made_of_it_block_by_block() -> None:
    seed = bytes(range(32))
    stream = Stream(seed)
    for block in range(3):
        words = by_hand(seed, block.to_bytes(8, "big"))
        assert [stream.word() for _ in range(8)] == [
            int.from_bytes(words[at : at + 4], "big") for at in range(0, 32, 4)
        ]
