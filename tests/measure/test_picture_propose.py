"""Where the openings probably are: on a drawn box, on a wall without one, and on the shared clips."""

import json
from pathlib import Path

import numpy as np
import pytest
from tests.generator.stage import FRONT, SIDE, Play, performed

from nares.app.proposing import propose_regions
from nares.base.vocab import Region
from nares.measure.picture.propose import propose_openings
from nares.measure.picture.rounds import rounds_in


def overlap(one: Region, other: Region) -> float:
    """Common area over joint area."""
    wide = min(one.x + one.w, other.x + other.w) - max(one.x, other.x)
    high = min(one.y + one.h, other.y + other.h) - max(one.y, other.y)
    common = max(wide, 0.0) * max(high, 0.0)
    return common / (one.w * one.h + other.w * other.h - common)


@pytest.mark.parametrize("play", [Play(seed=11, light=0.6), Play(seed=12, shake_px=1.0, drift=0.1)])
def test_both_openings_of_a_drawn_box_are_proposed(play: Play) -> None:
    pictures = [picture.luma for picture in performed(play)]
    found = propose_openings(pictures[:8], pictures[8::6])
    assert found.front is not None
    assert found.side is not None
    assert overlap(found.front.region, FRONT) > 0.5
    assert overlap(found.side.region, SIDE) > 0.5
    assert 0 < found.front.sure <= 0.95


def test_a_bare_wall_has_no_opening() -> None:
    chance = np.random.default_rng(3)
    walls = [chance.normal(128, 8, (180, 320)).clip(0, 255).astype(np.uint8) for _ in range(20)]
    found = propose_openings(walls[:8], walls[8:])
    assert found.front is None
    assert found.side is None


def test_a_box_that_nothing_ever_enters_is_not_proposed() -> None:
    still = [picture.luma for picture in performed(Play(length_s=2.0, nose=(), hand=()))]
    found = propose_openings(still[:8], still[8::6])
    assert found.front is None


def test_no_pictures_propose_nothing() -> None:
    found = propose_openings([], [])
    assert found.front is found.side is None


def test_a_dark_disc_is_found_where_it_is_and_a_bright_one_is_not() -> None:
    rows, cols = np.mgrid[:120, :200]
    luma = np.full((120, 200), 150, np.uint8)
    luma[np.hypot((rows - 60) / 20, (cols - 50) / 14) < 1] = 60
    luma[np.hypot((rows - 60) / 20, (cols - 150) / 14) < 1] = 240
    best = rounds_in(luma)[0]
    assert best.row == pytest.approx(60, abs=3)
    assert best.col == pytest.approx(50, abs=3)
    assert best.high == pytest.approx(20, rel=0.15)
    assert best.wide == pytest.approx(14, rel=0.15)
    assert not any(abs(one.col - 150) < 6 and one.support > 0.9 and one.high > 15 for one in rounds_in(luma))


@pytest.mark.shared
@pytest.mark.parametrize("name", ["c1", "c3"])
def test_the_shared_clips_get_a_proposal_on_each_opening(shared: Path, name: str) -> None:
    truth = json.loads((shared / "recordings" / f"{name}.truth.json").read_text())["regions"]
    found = propose_regions(shared / "recordings" / f"{name}.mp4")
    assert found.front is not None
    assert overlap(found.front.region, Region(*truth["front"])) > 0.5
    assert found.side is not None
    assert overlap(found.side.region, Region(*truth["side"])) > 0.0
