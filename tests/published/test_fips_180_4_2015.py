"""FIPS 180-4: SHA-256 of "abc", of the empty message and of the 448-bit message. From memory, high
confidence: the standard's example page was not opened. It pins that a digest here is SHA-256, written as hex.
"""

import hashlib
from pathlib import Path

import pytest

from nares.record.bag_verifier import Folder, sha256_of

EXAMPLES = [
    (b"abc", "ba7816bf 8f01cfea 414140de 5dae2223 b00361a3 96177a9c b410ff61 f20015ad"),
    (
        b"abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq",
        "248d6a61 d20638b8 e5c02693 0c3e6039 a33ce459 64ff2167 f6ecedd4 19db06c1",
    ),
    (b"", "e3b0c442 98fc1c14 9afbf4c8 996fb924 27ae41e4 649b934c a495991b 7852b855"),
]


@pytest.mark.published(source="fips-180-4", at="SHA-256 example messages", seen="memory")
@pytest.mark.parametrize(("message", "digest"), EXAMPLES)
def test_sha_256_of_the_example_messages(message: bytes, digest: str, tmp_path: Path) -> None:
    (tmp_path / "message").write_bytes(message)
    assert sha256_of(Folder(tmp_path), "message") == digest.replace(" ", "")
    assert hashlib.sha256(message).hexdigest() == digest.replace(" ", "")
