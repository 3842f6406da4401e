"""What every picture shows of something in an opening, as numbers for the judge.

Conventions
-----------
Places across the opening are counted along the way in: -1 at the rim over which things come, +1 at the far
rim, so that left and right openings read alike. A cell's *change* is its distance from the empty opening in
spreads of noise, on a scale from 0 (twice the noise) to 1 (32 times); its *share* is the same held against
what visits of this session usually change. Rows are pictures, columns are named in `SIGNS`.
"""

import numpy as np
from numpy.typing import NDArray

from nares.measure.picture.cover import COVERED, Looks, least_far, off_by
from nares.measure.picture.hidden import BODY, SIGHTED, TELLING, telling_tiles
from nares.measure.picture.patch import Cells
from nares.measure.picture.track import Track, in_view, usual_gain

Floats = NDArray[np.float32]
Bools = NDArray[np.bool_]

COLUMNS = (-1.0, -0.6, -0.3, 0.0, 0.3, 0.6, 1.0)
"""The opening is read in six columns across."""

SIDES = ("entry", "above", "below", "far")

SIGNS = (
    *(f"change {i}" for i in range(6)),
    *(f"share {i}" for i in range(6)),
    "change reaches", "share reaches", "top", "bottom", "darker",
    *(f"panel {side}" for side in SIDES),
    *(f"tiles {side}" for side in SIDES),
    "hidden", "cover", "slant", "size", "contrast", "noise", "followed",
    "cover to usual", "change to usual", "far change to usual", "telling",
)  # fmt: skip

LEAST_SPREAD = (0.5, 0.35, 0.35)
"""Least spread believed of the mean of a block. [of 255]"""

TELL_TALE = 8
"""With so many tiles at the rim that can tell, they say whether something is on the panel."""

LEAST_USUAL = 0.15
"""Less than this is never taken for what a visit usually shows: nobody may have come."""

AT_A_TIME = 400


def signs(track: Track, looks: Looks, where: Cells, cover: Floats, hidden: Floats, enters: int) -> Floats:
    """The numbers of every picture, (n, len(SIGNS)).

    Args:
        track: The opening through the session.
        looks: The empty opening.
        where: Its cells.
        cover: Share of the opening that differs, (n,).
        hidden: Share of the rim that is hidden, (n,).
        enters: 1 when things come in from the left, -1 from the right.
    """
    across = (where.reach * np.cos(where.angle)).ravel() * enters
    down = (where.reach * np.sin(where.angle)).ravel()
    change, share = _against_empty(track, looks, where, cover, hidden, across, down)
    columns = change[:, :18].reshape(-1, 6, 3).max(axis=2)
    gone, panel = _tiles_by_side(track, enters, hidden), change[:, 18:]
    if telling_tiles(track).sum() >= TELL_TALE:
        panel = np.minimum(panel, 2 * gone)  # sun and shadow change a panel and hide none of it
    noise = float(np.sqrt((looks.spread[:, where.inside.ravel()] ** 2).sum(axis=0)).mean())
    told: dict[str, Floats | float] = {
        **{f"change {i}": columns[:, i] for i in range(6)},
        **{f"share {i}": share[:, i] for i in range(6)},
        "change reaches": _furthest(columns),
        "share reaches": share[:, 6],
        "top": change[:, 6:18:3].max(axis=1),
        "bottom": change[:, 8:18:3].max(axis=1),
        "darker": share[:, 7],
        **{f"panel {side}": panel[:, i] for i, side in enumerate(SIDES)},
        **{f"tiles {side}": gone[:, i] for i, side in enumerate(SIDES)},
        "hidden": hidden,
        "cover": cover,
        "slant": track.slant,
        "size": float(np.log2(max(track.size_px, 4.0))),
        "contrast": float(np.log2(max(looks.contrast, 1.0) / noise)),
        "noise": float(np.log2(noise)),
        "followed": track.followed.astype(np.float32),
        "cover to usual": _to_usual(cover, hidden),
        "change to usual": _to_usual(columns[:, 1:].mean(axis=1), hidden),
        "telling": float(telling_tiles(track).sum()) / 12,
        "far change to usual": _to_usual(columns[:, 3:].mean(axis=1), hidden),
    }
    made = np.zeros((len(track.at_s), len(SIGNS)), np.float32)
    for index, name in enumerate(SIGNS):
        made[:, index] = told[name]
    made[~in_view(track)] = 0
    return made


def _against_empty(
    track: Track, looks: Looks, where: Cells, cover: Floats, hidden: Floats, across: Floats, down: Floats
) -> tuple[Floats, Floats]:
    """Change of every block, (n, 22), and what single cells show, (n, 8)."""
    count, blocks = len(track.at_s), _blocks(where, across, down)
    share = np.zeros((count, 8), np.float32)
    means = np.zeros((3, count, 3, len(blocks)), np.float32)
    steady, every, ring = usual_gain(track), np.arange(where.reach.size), np.flatnonzero(where.ring)
    for first in range(0, count, AT_A_TIME):
        which = np.arange(first, min(first + AT_A_TIME, count))
        ways = off_by(track, steady, looks, which, every, ring, hidden)
        means[:, which] = [off @ blocks.T for off in ways]
        share[which] = _from_cells(ways, looks, where, across)
    alike = _alike(track, cover, hidden)
    return np.min([_change(one, alike) for one in means], axis=0), share


def _blocks(where: Cells, across: Floats, down: Floats) -> Floats:
    """Weights that average cells into six columns of three blocks and four sides of panel; (22, cells)."""
    reach = where.reach.ravel()
    made = []
    for index in range(6):
        column = (reach <= 0.92) & (across >= COLUMNS[index]) & (across < COLUMNS[index + 1])
        made += [column & (down < -0.25), column & (np.abs(down) <= 0.25), column & (down > 0.25)]
    made += [where.ring.ravel() & side for side in _sides(across, down)]
    weights = np.array(made, np.float32)
    return np.asarray(weights / np.maximum(weights.sum(axis=1, keepdims=True), 1), np.float32)


def _alike(track: Track, cover: Floats, hidden: Floats) -> Bools:
    """Pictures of the empty opening, as far as is known yet."""
    empty = in_view(track) & (cover < COVERED)
    clear = empty & (hidden <= 0.1)
    return clear if clear.sum() >= max(10, 0.05 * len(clear)) else empty & (hidden < 0.4)


def _change(means: Floats, alike: Bools) -> Floats:
    """Change of every block, 0 to 1, in spreads of what it does while the opening is empty; (n, blocks)."""
    among = means[alike] if alike.sum() >= 5 else means
    usual = np.median(among, axis=0)
    spread = np.percentile(np.abs(among - usual), 80, axis=0) / 1.28
    spread = np.maximum(spread, np.array(LEAST_SPREAD, np.float32)[:, None])
    far = np.sqrt((((means - usual) / spread) ** 2).sum(axis=1))
    return np.asarray(np.clip(np.log2(np.maximum(far, 1e-3) / 2) / 5, 0, 1), np.float32)


def _to_usual(level: Floats, hidden: Floats) -> Floats:
    """A level against what it usually is in this session when something is in, 0 to 1.5."""
    seen = level[hidden < BODY]
    top = float(np.percentile(seen, 98)) if len(seen) else 0.0
    high = seen[seen > max(0.5 * top, 0.05)]
    usual = float(np.median(high)) if len(high) >= 3 else 0.5
    return np.asarray(np.clip(level / max(usual, LEAST_USUAL), 0, 1.5), np.float32)


def _furthest(columns: Floats) -> Floats:
    """The furthest column in which something has changed, -1.2 to 1; between columns by how much has."""
    strong = np.clip((columns - 0.15) / 0.2, 0, 1)
    reached = np.maximum.accumulate(strong[:, ::-1], axis=1)[:, ::-1]
    return np.asarray(-1.2 + 2.2 * reached.mean(axis=1), np.float32)


def _from_cells(ways: tuple[Floats, Floats, Floats], looks: Looks, where: Cells, across: Floats) -> Floats:
    """What cells show, held against what visits usually change: shares by column, reach, brightness."""
    inside = (where.reach <= 0.92).ravel()
    across = across[inside]
    noise = np.sqrt((looks.spread**2).sum(axis=0))[inside]
    far = least_far(ways)[:, inside]
    low, high = np.maximum(3 * noise, 0.25 * looks.contrast), np.maximum(6 * noise, 0.5 * looks.contrast)
    share = np.clip((far - low) / (high - low), 0, 1)
    every = np.ones(len(across), bool)
    rows = [_column(share, every, across, i) for i in range(6)]
    rows.append(_reach(share > 0.5, every, across))
    rows.append(np.sign(ways[0][:, 0, inside]).mean(axis=1))
    return np.stack(rows, axis=1)


def _column(level: Floats, inside: Bools, across: Floats, index: int) -> Floats:
    """The upper level of a column: something narrow counts as much as something wide."""
    here = inside & (across >= COLUMNS[index]) & (across < COLUMNS[index + 1])
    if not here.any():
        return np.zeros(len(level), np.float32)
    ordered = np.sort(level[:, here], axis=1)
    return np.asarray(ordered[:, -max(1, here.sum() // 3) :].mean(axis=1), np.float32)


def _reach(changed: Bools, inside: Bools, across: Floats) -> Floats:
    """The furthest place across that has changed in more than a cell or two; -1.2 when none has."""
    order = np.argsort(-across[inside])
    hit = np.cumsum(changed[:, inside][:, order], axis=1) >= 3
    first = np.argmax(hit, axis=1)
    return np.where(hit.any(axis=1), across[inside][order][first], np.float32(-1.2)).astype(np.float32)


def _sides(across: Floats, down: Floats) -> list[Bools]:
    level = np.abs(across) >= np.abs(down)
    return [level & (across < 0), ~level & (down < 0), ~level & (down > 0), level & (across > 0)]


def _tiles_by_side(track: Track, enters: int, hidden: Floats) -> Floats:
    """How much of the rim is hidden on each side; as much as of all of it where no tile can tell."""
    made = np.repeat(hidden[:, None], 4, axis=1)
    if not track.match.shape[1]:
        return made
    usual = np.percentile(track.match, SIGHTED, axis=0)
    across, down = np.cos(track.tile_angle) * enters, np.sin(track.tile_angle)
    gone = np.clip(1 - track.match / np.maximum(usual, 1e-3), 0, 1)
    for index, side in enumerate(_sides(across, down)):
        here = side & (usual > TELLING)
        if here.any():
            made[:, index] = gone[:, here].mean(axis=1)
    return made


def comes_from(track: Track, cover: Floats, hidden: Floats) -> int:
    """1 when what covers the opening comes over its left rim, -1 over its right, from the session itself."""
    if not track.match.shape[1]:
        return 1
    busy = (cover > 0.1) & (hidden > 0) & (hidden < 0.6)
    if not busy.any():
        return 1
    usual = np.maximum(np.percentile(track.match, SIGHTED, axis=0), 1e-3)
    gone = np.clip(1 - track.match[busy] / usual, 0, 1).mean(axis=0)
    return 1 if float((gone * np.cos(track.tile_angle)).sum()) <= 0 else -1
