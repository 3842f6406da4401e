"""The digest by which the record knows a recording."""

import hashlib
from pathlib import Path

from nares.media.container import require_file


def sha256_of(path: Path) -> str:
    """The SHA-256 of a file's bytes in lower-case hex, read a piece at a time.

    Raises:
        Unusable: If there is no such file, or it is empty.
    """
    require_file(path)
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()
