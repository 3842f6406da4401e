"""SIGKILL in the middle of a burst of writes: everything acknowledged is there, nothing is half there."""

from pathlib import Path
from random import Random

from benchmarks.kill import kill_many


def test_two_hundred_kills_lose_nothing_acknowledged(tmp_path: Path) -> None:
    came = kill_many(tmp_path / "record.sqlite3", 200, chance=Random(200), longest_s=0.02)
    assert came.acknowledged > 200
    assert came.lost == 0
    assert came.half == 0
    assert came.holds
