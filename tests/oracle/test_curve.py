"""Ability followed on a fine grid: forward and backward sums instead of normal laws and Newton's search.

The published model takes every posterior for normal about its likeliest point; the grid does not. With thirty
reps a bin the middles differ by up to 1 point of a share, with one rep a bin by up to 5, and the spread is up
to a fifth too small: the price of the closed form.
"""

import numpy as np
import numpy.typing as npt
import pytest

from nares.decide.progress.fits import OPEN_VARIANCE, WANDERS, open_ability
from nares.decide.progress.state_space import (
    Path,
    log_likelihood,
    offset_of,
    run_filter,
    run_smoother,
)

Grid = npt.NDArray[np.float64]
WIDE = np.linspace(-9, 9, 451)


def on_a_grid(
    met: list[int], tried: list[int], *, offset: float, wander: float, mean: float, variance: float
) -> tuple[Grid, Grid]:
    """Filtered and smoothed laws of ability, one row a bin, by plain sums."""
    move = np.exp(-((WIDE[:, None] - WIDE[None, :]) ** 2) / (2 * wander))
    move /= move.sum(axis=0, keepdims=True)
    law = np.exp(-((WIDE - mean) ** 2) / (2 * variance))
    share = 1 / (1 + np.exp(-offset - WIDE))
    seen = [share**hits * (1 - share) ** (n - hits) for hits, n in zip(met, tried, strict=True)]
    forward = []
    for one in seen:
        law = (move @ law) * one
        law /= law.sum()
        forward.append(law)
    after, both = np.ones_like(WIDE), []
    for law, one in zip(reversed(forward), reversed(seen), strict=True):
        joint = law * after
        both.append(joint / joint.sum())
        after = move.T @ (after * one)
        after /= after.max()
    return np.array(forward), np.array(both[::-1])


def median(law: Grid) -> float:
    return float(np.interp(0.5, np.cumsum(law) - law / 2, WIDE))


def shares(path: Path, offset: float) -> list[float]:
    return [1 / (1 + np.exp(-offset - x)) for x in path.mean]


@pytest.mark.parametrize(
    ("met", "reps", "level", "within"),
    [
        ([4, 3, 3, 3, 2, 3, 10, 11, 12, 3, 5, 6, 7, 8, 9, 12, 14, 15, 16, 18, 22, 25, 26], 30, 0.1, 0.012),
        ([int(c) for c in "000010111111110101101"] + [1] * 20, 1, 0.5, 0.045),
        ([int(c) for c in "10000010001111010010000"] + [1] * 17, 1, 0.25, 0.045),
    ],
)
def test_filter_and_smoother_follow_the_sums_on_a_grid(
    met: list[int], reps: int, level: float, within: float
) -> None:
    tried, wander, offset = [reps] * len(met), 0.15, offset_of(level)
    found = run_filter(met, tried, offset=offset, steps=[wander] * len(met), start=(0.0, 0.5))
    forward, both = on_a_grid(met, tried, offset=offset, wander=wander, mean=0.0, variance=0.5)
    for path, laws in ((found.path, forward), (run_smoother(found).path, both)):
        expected = [1 / (1 + np.exp(-offset - median(law))) for law in laws]
        assert shares(path, offset) == pytest.approx(expected, abs=within)
        spread = [float(np.sqrt((law * WIDE**2).sum() - (law * WIDE).sum() ** 2)) for law in laws]
        assert np.sqrt(path.variance) == pytest.approx(np.array(spread), rel=0.2)


def test_a_fault_in_the_smoother_would_be_seen() -> None:
    """The filter in the place of the smoother is far outside what the grid allows."""
    met = [int(c) for c in "000010111111110101101"] + [1] * 20
    offset = offset_of(0.5)
    found = run_filter(met, [1] * 41, offset=offset, steps=[0.15] * 41, start=(0.0, 0.5))
    _, both = on_a_grid(met, [1] * 41, offset=offset, wander=0.15, mean=0.0, variance=0.5)
    expected = [1 / (1 + np.exp(-median(law))) for law in both]
    off = max(abs(a - b) for a, b in zip(shares(found.path, offset), expected, strict=True))
    assert off > 0.1


def test_bins_of_reps_say_nearly_what_single_reps_say() -> None:
    """A dog that does not move: forty reps one by one, or eight bins of five, end at the same share."""
    met = [1, 1, 0, 1, 1] * 8
    single = open_ability(met, [1] * 40, level=0.6).looking_back
    binned = open_ability([4] * 8, [5] * 8, level=0.6).looking_back
    ends = shares(Path(single.mean[-1:], single.variance[-1:]), offset_of(0.6))
    assert shares(Path(binned.mean[-1:], binned.variance[-1:]), offset_of(0.6)) == pytest.approx(
        ends, abs=0.02
    )


def open_on_a_grid(met: list[int], *, offset: float) -> tuple[Grid, Grid]:
    """Live law after the last rep and the share of each wander, by sums."""
    start = np.exp(-((WIDE + offset) ** 2) / (2 * OPEN_VARIANCE))
    share = 1 / (1 + np.exp(-offset - WIDE))
    laws, likely = [], []
    for wander in WANDERS:
        move = np.exp(-((WIDE[:, None] - WIDE[None, :]) ** 2) / (2 * max(wander, 0.03) ** 2))
        move /= move.sum(axis=0, keepdims=True)
        law, log_seen = start / start.sum(), 0.0
        for rep, one in enumerate(met):
            law = (law if rep == 0 else move @ law) * (share if one else 1 - share)
            log_seen += float(np.log(law.sum()))
            law /= law.sum()
        laws.append(law)
        likely.append(log_seen)
    shares = np.exp(np.array(likely) - max(likely))
    shares /= shares.sum()
    return shares @ np.array(laws), shares


@pytest.mark.parametrize(
    "met", [[0] * 12 + [1] * 14, [1, 0] * 14, [int(c) for c in "0101101110111"] + [1] * 9]
)
def test_the_open_start_weighs_its_wanders_as_the_sums_do(met: list[int]) -> None:
    offset = offset_of(0.6)
    found = open_ability(met, [1] * len(met), level=0.6)
    law, shares = open_on_a_grid(met, offset=offset)
    wander = float(shares @ np.array(WANDERS) ** 2)
    assert found.wander == pytest.approx(wander, rel=0.2)
    mean = float(law @ WIDE)
    spread = float(np.sqrt(law @ WIDE**2 - mean**2))
    assert found.live.mean[-1] == pytest.approx(mean, abs=0.35)
    assert np.sqrt(found.live.variance[-1]) == pytest.approx(spread, rel=0.2)


def test_right_after_a_sudden_fall_the_closed_form_is_too_low() -> None:
    """Twenty met, four missed: 48 % against 62 % by the sums. Known, and on the safe side."""
    offset = offset_of(0.6)
    met = [1] * 20 + [0] * 4
    live = shares(open_ability(met, [1] * 24, level=0.6).live, offset)[-1]
    law, _ = open_on_a_grid(met, offset=offset)
    summed = 1 / (1 + np.exp(-offset - float(law @ WIDE)))
    assert 0.08 < summed - live < 0.18


def test_wanders_that_disagree_widen_the_band() -> None:
    """The mixed variance is the mean of the variances plus the variance of the means."""
    met, steps = [0] * 12 + [1] * 14, 25
    runs = [
        run_filter(met, [1] * 26, offset=0.0, steps=[0.0] + [one**2] * steps, start=(0.0, OPEN_VARIANCE))
        for one in WANDERS
    ]
    fits = [log_likelihood(met, [1] * 26, offset=0.0, start=0.0, found=run) for run in runs]
    shares = np.exp(np.array(fits) - max(fits)) / np.exp(np.array(fits) - max(fits)).sum()
    means = np.array([run.path.mean[-1] for run in runs])
    variances = np.array([run.path.variance[-1] for run in runs])
    between = float(shares @ (means - shares @ means) ** 2)
    assert between > 0.05
    mixed = open_ability(met, [1] * 26, level=0.5).live
    assert mixed.variance[-1] == pytest.approx(float(shares @ variances) + between, rel=1e-9)


def test_a_bin_of_five_reps_wanders_as_far_as_five_reps() -> None:
    met = [0, 0, 1, 0, 0] * 5 + [1, 1, 0, 1, 1] * 3 + [1] * 20
    single = open_ability(met, [1] * 60, level=0.6)
    binned = open_ability([sum(met[k : k + 5]) for k in range(0, 60, 5)], [5] * 12, level=0.6)
    assert binned.wander == pytest.approx(single.wander, rel=0.1)
    assert binned.looking_back.mean[-1] == pytest.approx(single.looking_back.mean[-1], abs=0.1)
    assert binned.looking_back.variance[-1] == pytest.approx(single.looking_back.variance[-1], rel=0.15)
