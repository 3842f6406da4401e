"""How a snap stands among snaps known to be one clicker's: presses and releases apart.

Conventions
-----------
*Known* snaps are those of a print, or those a session itself makes likely. No snap is a witness for itself.
Rows are one snap each.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from nares.measure.sound.matching import Match, Templates, match, templates_of
from nares.measure.sound.presses import RELEASE_S, Rhythm
from nares.measure.sound.snaps import Snaps, join_snaps

Rows = NDArray[np.float64]
CLOSE_DB = 4.0
FAR_DB = 20.0
SPREAD_KNOWN = 20
"""So many witnesses, spread over the recording: an hour is judged like the half minutes learned from."""
MOST_KNOWN = 160
LIKELY = 0.15


@dataclass(frozen=True, slots=True)
class Known:
    """Snaps taken to be one clicker's.

    ``weights``: how far each is trusted, shape (m,). ``pressed``: whether each is a press, shape (m,).
    ``rhythm``: how the clicker is pressed.
    """

    snaps: Snaps
    weights: Rows
    pressed: NDArray[np.bool_]
    rhythm: Rhythm

    def __len__(self) -> int:
        return len(self.snaps)


def join_known(first: Known, second: Known) -> Known:
    """Both together; the second's rhythm, where it has one."""
    rhythm = first.rhythm if second.rhythm.spacing_s is None else second.rhythm
    return Known(
        join_snaps([first.snaps, second.snaps]),
        np.concatenate([first.weights, second.weights]),
        np.concatenate([first.pressed, second.pressed]),
        rhythm,
    )


def kin_rows(snaps: Snaps, chances: Rows, known: Known) -> Rows:
    """How each snap stands to the known ones and to its neighbours in time, shape (n, 25).

    Args:
        snaps: The snaps judged, in time order.
        chances: Their chances so far, shape (n,).
        known: The known snaps.
    """
    templates = templates_of(known.snaps)
    found = match(snaps, templates)
    apart = found.apart.astype(np.float64)
    same = np.abs(snaps.at_s[:, None] - known.snaps.at_s[None, :]) < 1e-9
    apart[same] = 99.0
    kinship = np.exp(-0.5 * (apart / CLOSE_DB) ** 2)
    support = np.log10((kinship * known.weights).sum(1) + 1e-3)
    trusted = np.full(len(snaps), np.log10(min(float(known.weights.sum()), 25.0) + 1e-3))
    nearest = np.sort(np.concatenate([apart, np.full((len(snaps), 3), FAR_DB)], axis=1), axis=1)[:, :3]
    nearest = np.clip(nearest, 0, FAR_DB)
    belief = chances * np.exp(-0.5 * (nearest[:, 0] / 6.0) ** 2)
    return np.column_stack(
        [support, support - trusted, nearest, trusted, np.full(len(snaps), _agreement(templates, known)),
         _role_rows(snaps, templates, same, known, known.pressed),
         _role_rows(snaps, templates, same, known, ~known.pressed),
         *_neighbours(snaps, belief, known.rhythm)]
    )  # fmt: skip


def _role_rows(
    snaps: Snaps, templates: Templates, same: NDArray[np.bool_], known: Known, which: NDArray[np.bool_]
) -> Rows:
    """How each snap stands to the middle press (or release): apart now, later, gain, seen, how many."""
    rows = np.tile([FAR_DB, FAR_DB, 0.0, 0.0, 0.0], (len(snaps), 1))
    if not which.any():
        return rows
    chosen = Templates(templates.now[which], templates.later[which])
    rows[:, :4] = _held_against(match(snaps, chosen.middle()))
    rows[:, 4] = np.log1p(which.sum())
    for own, mine in zip(*np.nonzero(same[:, which]), strict=True):
        rest = chosen.without(int(mine))
        alone = snaps.take(np.array([own]))
        rows[own, :4] = _held_against(match(alone, rest.middle()))[0] if len(rest) else rows[own, :4] * 0 + [
            FAR_DB, FAR_DB, 0.0, 0.0
        ]  # fmt: skip
        rows[own, 4] = np.log1p(len(rest))
    return rows


def _held_against(found: Match) -> Rows:
    return np.column_stack([
        np.minimum(found.now[:, 0], FAR_DB), np.minimum(found.later[:, 0], FAR_DB),
        np.clip(found.gain[:, 0], -40, 40), found.seen[:, 0],
    ]).astype(np.float64)  # fmt: skip


def _agreement(templates: Templates, known: Known) -> float:
    """How far the known snaps are from one another, dB."""
    if len(known) < 2:
        return 12.0
    apart = match(known.snaps, templates).apart.astype(np.float64) + 99.0 * np.eye(len(known))
    return float(np.average(np.minimum(apart.min(axis=1), FAR_DB), weights=known.weights + 1e-6))


def _neighbours(snaps: Snaps, belief: Rows, rhythm: Rhythm) -> tuple[Rows, Rows, Rows, Rows, Rows, Rows]:
    """Best partner later and earlier, the same by the usual spacing, nearest other, and the crowd around."""
    n = len(snaps)
    later, earlier, fit_later, fit_earlier, crowd = (np.zeros(n) for _ in range(5))
    low, high = np.searchsorted(snaps.at_s, snaps.at_s - 0.5), np.searchsorted(snaps.at_s, snaps.at_s + 0.5)
    loud = snaps.steps[:, 0]
    for i in range(n):
        near = slice(int(low[i]), int(high[i]))
        gap, trust = snaps.at_s[near] - snaps.at_s[i], belief[near]
        fits = trust * np.minimum(rhythm.likely(np.abs(gap)), 4.0) / 4.0
        after, before = gap >= RELEASE_S[0], gap <= -RELEASE_S[0]
        later[i], fit_later[i] = trust[after].max(initial=0.0), fits[after].max(initial=0.0)
        earlier[i], fit_earlier[i] = trust[before].max(initial=0.0), fits[before].max(initial=0.0)
        crowd[i] = np.log1p(np.count_nonzero((trust < 0.3) & (loud[near] > loud[i] - 15)))
    gap_s = np.diff(snaps.at_s, prepend=-9.0)
    return later, earlier, fit_later, fit_earlier, crowd, np.log(np.clip(gap_s, 0.01, 1.0))


def likely_kin(snaps: Snaps, chances: Rows) -> Known:
    """The snaps of a session that most likely are its clicker's, presses and releases not yet told apart."""
    likely = np.argsort(-chances)[:MOST_KNOWN]
    likely = np.sort(likely[chances[likely] > LIKELY])
    likely = spread(likely, SPREAD_KNOWN)
    chosen, weights = snaps.take(likely), chances[likely]
    everything = Known(chosen, weights, np.ones(len(chosen), dtype=bool), Rhythm(None, 0.3))
    if len(chosen) < 2:
        return everything
    kinship = np.exp(-0.5 * (match(chosen, templates_of(chosen)).apart.astype(np.float64) / CLOSE_DB) ** 2)
    np.fill_diagonal(kinship, 0.0)
    middle = int(np.argmax((kinship * weights).sum(1) * weights))
    near = np.maximum(kinship[:, middle], 0.02)
    near[middle] = 1.0
    return Known(chosen, weights * near, everything.pressed, everything.rhythm)


def spread(indices: NDArray[np.intp], most: int) -> NDArray[np.intp]:
    """At most so many of them, spread evenly."""
    if indices.size <= most:
        return indices
    return indices[np.linspace(0, indices.size - 1, most).round().astype(np.intp)]
