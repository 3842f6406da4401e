"""One snap held against another under noise: what the noise hides says nothing, the rest does."""

import numpy as np
import pytest
from numpy.typing import NDArray

from nares.measure.sound.matching import match, templates_of
from nares.measure.sound.snaps import FINE, Snaps, join_snaps, no_snaps

Power = NDArray[np.float64]
FAINT = np.full(FINE, 1e-8)


def snap(adds: Power, noise: Power, fades: float = 0.1) -> Snaps:
    """One snap by what it adds to a noise, at once and later."""
    fine, later, before = (
        np.asarray(10 * np.log10(power), dtype=np.float32)[None]
        for power in (noise + adds, noise + fades * adds, noise)
    )
    blank = [np.zeros((1, width), dtype=np.float32) for width in (20, 20, 7, 3, 3)]
    return Snaps(*[np.array([1.0]), *blank, fine, later, before])


def ringing(*places: int) -> Power:
    """A spectrum with modes at these bands."""
    bands = np.arange(FINE)
    return np.asarray(sum(1e-3 * np.exp(-0.5 * ((bands - place) / 1.5) ** 2) for place in places) + 1e-7)


CLICK, OTHER = ringing(12, 25, 40), ringing(8, 30, 47)


@pytest.mark.parametrize("louder_db", [-12.0, 0.0, 9.0])
def test_the_same_snap_is_known_at_any_loudness(louder_db: float) -> None:
    found = match(snap(CLICK * 10 ** (louder_db / 10), FAINT), templates_of(snap(CLICK, FAINT)))
    assert float(found.now[0, 0]) < 0.5
    assert float(found.gain[0, 0]) == pytest.approx(louder_db, abs=0.5)


def test_another_snap_is_far_off() -> None:
    known = templates_of(snap(CLICK, FAINT))
    assert float(match(snap(OTHER, FAINT), known).now[0, 0]) > 8.0


def test_noise_that_hides_half_the_bands_changes_little() -> None:
    known = templates_of(snap(CLICK, FAINT))
    noise = np.where(np.arange(FINE) < FINE // 2, 1e-1, 1e-8)
    found, clear = match(snap(CLICK, noise), known), match(snap(CLICK, FAINT), known)
    assert float(found.now[0, 0]) < 1.0
    assert float(match(snap(OTHER, noise), known).now[0, 0]) > 5.0
    assert float(found.seen[0, 0]) < 0.7 * float(clear.seen[0, 0])


def test_a_snap_that_rings_on_is_told_from_one_that_does_not() -> None:
    known = templates_of(snap(CLICK, FAINT, fades=0.01))
    found = match(join_snaps([snap(CLICK, FAINT, fades=0.01), snap(CLICK, FAINT, fades=0.5)]), known)
    assert float(found.later[0, 0]) < 1.0
    assert float(found.later[1, 0]) > 8.0


def test_no_snaps_match_nothing() -> None:
    assert match(no_snaps(), templates_of(snap(CLICK, FAINT))).now.shape == (0, 1)
    assert match(snap(CLICK, FAINT), templates_of(no_snaps())).now.shape == (1, 0)
