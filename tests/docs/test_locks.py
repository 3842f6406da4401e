"""The locks pin every file by digest and name no host."""

from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent.parent
LOCKS = sorted(ROOT.glob("requirements*.lock"))


@pytest.mark.parametrize("lock", LOCKS, ids=lambda path: path.name)
def test_a_lock_names_no_host(lock: Path) -> None:
    assert "://" not in lock.read_text(encoding="utf-8")


@pytest.mark.parametrize("lock", LOCKS, ids=lambda path: path.name)
def test_every_line_of_a_lock_carries_a_digest(lock: Path) -> None:
    blocks = lock.read_text(encoding="utf-8").replace("\\\n", " ").splitlines()
    pinned = [line for line in blocks if "==" in line.split("--hash")[0]]
    assert pinned
    assert all("--hash=sha256:" in line for line in pinned)
