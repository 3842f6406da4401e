"""From tones to blasts: tones that follow one another smoothly, joined over short gaps.

Conventions
-----------
A *run* is one tone followed from frame to frame. Runs of about one pitch less than 0.15 s apart are one
*blast* where they also begin within 0.3 s of one another: a trill of pips is blown once and marks once.
Frames of 10 ms.
"""

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from nares.measure.sound.tones import DOUBLE, HALF, HOP_S, HZ, LEVEL, PURE, STANDS, THIRD, Tones

FOLLOW_HZ = 90.0
FOLLOW_SHARE = 0.045
"""From one frame to the next a pitch moves less than 90 Hz and 4.5 %, together."""
LOST = 3
"""A run may be lost for this many frames."""
LEAST_PURE = 0.45
CORE_DB, CORE_PURE, CORE = 14.0, 0.65, 4
"""A run has at least this many frames that stand out so far and so purely."""
JOIN = 15
TRILL = 30
"""Pips of a trill begin at most this many frames after one another."""
FADED_DB = 16.0
LATELY = 40
"""A tone this far below what it was within the last 0.4 s is fading."""
JOIN_SHARE = 0.12
LONGEST_S = 3.0
SHADOW_DB = 3.0
SOON = 6
RISING_DB = 10.0
"""A tone that rises by more than this within 60 ms begins there."""
ECHO, ECHO_DB = 30, 6.0
SHARED = 0.6
"""An overtone sounds for most of its time together with its tone, and fainter."""
ONSET_DB = 12.0
ONSET_FRAMES = 8

Rows = NDArray[np.float64]
ROW = 14


@dataclass(slots=True, eq=False)
class Run:
    """Frames and their lines, shape (n, 7), of one tone."""

    frames: list[int] = field(default_factory=list)
    lines: list[NDArray[np.float32]] = field(default_factory=list)
    hz: float = 0.0


@dataclass(frozen=True, slots=True)
class Blasts:
    """A table of blasts.

    ``at_s``: when each begins, shape (n,). ``rows``: what it is like, shape (n, 14). ``pitch``: log of its
    pitch in Hz. ``length_s``. ``level_db``: its level. ``over_db``: over its surroundings.
    """

    at_s: Rows
    rows: Rows
    pitch: Rows
    length_s: Rows
    level_db: Rows
    over_db: Rows

    def __len__(self) -> int:
        return self.at_s.size

    def take(self, which: NDArray[np.bool_] | NDArray[np.intp]) -> "Blasts":
        """The blasts chosen by a mask or by indices."""
        return Blasts(self.at_s[which], self.rows[which], self.pitch[which], self.length_s[which],
                      self.level_db[which], self.over_db[which])  # fmt: skip


def blasts_of(found: Tones) -> Blasts:
    """All blasts in the tones of a recording, shape (n, 3, 7), in time order."""
    groups = _joined(_runs(found))
    groups.sort(key=lambda group: group[0].frames[0])
    starts = np.array([group[0].frames[0] for group in groups])
    ends = np.array([group[-1].frames[-1] for group in groups])
    plain = _unshadowed(groups, starts, ends)
    cores = [
        group for k, group in enumerate(groups) if plain[k] and (ends[k] - starts[k]) * HOP_S <= LONGEST_S
    ]
    if not cores:
        return Blasts(*(np.zeros((0, ROW)) if k == 1 else np.zeros(0) for k in range(6)))
    lines = [np.concatenate([np.array(run.lines) for run in group]) for group in cores]
    return Blasts(
        np.array([_onset_s(group) for group in cores]),
        np.array([_row(group, starts, ends) for group in cores]),
        np.array([np.log(np.median(line[:, HZ])) for line in lines]),
        np.array([(group[-1].frames[-1] - group[0].frames[0] + 1) * HOP_S for group in cores]),
        np.array([float(np.quantile(line[:, LEVEL], 0.75)) for line in lines]),
        np.array([float(np.median(line[:, STANDS])) for line in lines]),
    )


def _runs(found: Tones) -> list[Run]:
    """Runs that have a core, by their first frame."""
    frames, places = np.nonzero((found[:, :, HZ] > 0) & (found[:, :, PURE] > LEAST_PURE))
    live: list[Run] = []
    done: list[Run] = []
    for frame, place in zip(frames.tolist(), places.tolist(), strict=True):
        line = found[frame, place]
        hz = float(line[HZ])
        if live and live[0].frames[-1] < frame - LOST - 1:
            done += [run for run in live if run.frames[-1] < frame - LOST - 1]
            live = [run for run in live if run.frames[-1] >= frame - LOST - 1]
        best, least = None, 1.0
        for run in live:
            gap = frame - run.frames[-1]
            if gap:
                away = abs(hz - run.hz) / ((FOLLOW_HZ + FOLLOW_SHARE * hz) * (1 + 0.3 * (gap - 1)))
                if away < least:
                    best, least = run, away
        if best is None:
            best = Run()
            live.append(best)
        else:  # the list stays ordered by the last frame, so that the oldest is first
            live.remove(best)
            live.append(best)
        best.frames.append(frame)
        best.lines.append(line)
        best.hz = hz
    return [part for run in done + live for part in _parts(run) if _has_core(part)]


def _parts(run: Run) -> list[Run]:
    """A run without its fading, which is the room, and without what lay there before it rose."""
    from scipy.ndimage import maximum_filter1d

    if len(run.frames) < CORE:
        return []
    frames = np.array(run.frames)
    level = np.full(frames[-1] - frames[0] + 1, -200.0)
    level[frames - frames[0]] = [line[LEVEL] for line in run.lines]
    lately = maximum_filter1d(level, LATELY, origin=LATELY // 2 - 1, mode="nearest")
    soon = maximum_filter1d(level, SOON, origin=-(SOON // 2), mode="nearest")
    sounds = ((level >= lately - FADED_DB) & (level >= soon - RISING_DB))[frames - frames[0]]
    kept = np.flatnonzero(sounds)
    splits = np.flatnonzero(np.diff(frames[kept]) > LOST + 1) + 1
    return [
        Run([run.frames[k] for k in part], [run.lines[k] for k in part], float(run.lines[part[-1]][HZ]))
        for part in np.split(kept, splits)
        if part.size
    ]


def _has_core(run: Run) -> bool:
    if len(run.frames) < CORE:
        return False
    lines = np.array(run.lines)
    return int(np.count_nonzero((lines[:, STANDS] > CORE_DB) & (lines[:, PURE] > CORE_PURE))) >= CORE


def _joined(runs: list[Run]) -> list[list[Run]]:
    """Runs of one pitch a short gap apart, as one."""
    groups: list[list[Run]] = []
    for run in sorted(runs, key=lambda one: one.frames[0]):
        for group in reversed(groups[-6:]):
            gap = run.frames[0] - group[-1].frames[-1]
            pitch, last = _pitch(run), _pitch(group[-1])
            soon = gap <= LOST + 1 or run.frames[0] - group[-1].frames[0] <= TRILL
            soon = soon and _level(run) < _level(group[-1]) + RISING_DB
            if 0 < gap <= JOIN and soon and abs(np.log(pitch / last)) < JOIN_SHARE:
                group.append(run)
                break
        else:
            groups.append([run])
    return groups


def _unshadowed(groups: list[list[Run]], starts: NDArray[np.intp], ends: NDArray[np.intp]) -> list[bool]:
    """Which groups are no shadow of a louder one: an overtone or a side tone beside it, an echo after it."""
    pitch = np.array([_pitch(group[0]) for group in groups])
    level = np.array(
        [np.quantile([line[LEVEL] for run in group for line in run.lines], 0.75) for group in groups]
    )
    plain = []
    for k in range(len(groups)):
        shared = np.minimum(ends, ends[k]) - np.maximum(starts, starts[k]) + 1
        over = (shared >= SHARED * (ends[k] - starts[k] + 1)) & (level > level[k] + SHADOW_DB)
        ratio = pitch[k] / pitch
        whole = np.rint(ratio)
        overtone = (whole >= 2) & (whole <= 5) & (np.abs(ratio / np.maximum(whole, 1) - 1) < 0.025)
        same = np.abs(np.log(ratio)) < JOIN_SHARE
        after = (starts[k] > ends) & (starts[k] - ends <= ECHO) & (level > level[k] + ECHO_DB)
        plain.append(not bool(np.any((over & (overtone | same)) | (after & same))))
    return plain


def _pitch(run: Run) -> float:
    return float(np.median([line[HZ] for line in run.lines]))


def _level(run: Run) -> float:
    return float(np.quantile([line[LEVEL] for line in run.lines], 0.75))


def _onset_s(group: list[Run]) -> float:
    """Where the level comes within 12 dB of what it soon reaches, between frames."""
    run = group[0]
    level = np.array([line[LEVEL] for line in run.lines], dtype=np.float64)
    line = level[:ONSET_FRAMES].max() - ONSET_DB
    first = int(np.argmax(level[:ONSET_FRAMES] > line))
    at = float(run.frames[first])
    if first and run.frames[first] - run.frames[first - 1] == 1:
        at -= (level[first] - line) / max(level[first] - level[first - 1], 1e-3)
    elif not first:
        at -= 0.5
    return round((at + 1.0) * HOP_S, 4)


def _row(group: list[Run], starts: NDArray[np.intp], ends: NDArray[np.intp]) -> list[float]:
    """One blast by itself: 14 numbers, each higher for a whistle."""
    lines = np.concatenate([np.array(run.lines, dtype=np.float64) for run in group])
    first, last = group[0].frames[0], group[-1].frames[-1]
    length_s = (last - first + 1) * HOP_S
    turns = np.concatenate([np.diff(np.log([line[HZ] for line in run.lines]), n=2) for run in group])
    changes = np.concatenate([np.diff([float(line[LEVEL]) for line in run.lines]) for run in group])
    pitch = np.log(lines[:, HZ])
    drift = float(np.abs(np.diff(np.quantile(pitch, [0.1, 0.9])))[0]) / max(length_s, 0.1)
    beside = int(np.count_nonzero((starts <= last) & (ends >= first))) - 1
    half, third, double = (float(np.quantile(lines[:, column], 0.75)) for column in (HALF, THIRD, DOUBLE))
    return [
        float(np.quantile(lines[:, STANDS], 0.75)), float(np.quantile(lines[:, STANDS], 0.25)),
        float(np.quantile(lines[:, PURE], 0.75)), float(np.quantile(lines[:, PURE], 0.25)),
        -half, -third, -double, -np.log(np.abs(turns).mean() + 1e-4), -float(np.abs(changes).mean()),
        -max(np.log(0.1 / length_s), 0.0), -max(np.log(length_s / 0.8), 0.0),
        min(float(np.median(pitch)), np.log(2200.0)), -drift, -np.log1p(beside),
    ]  # fmt: skip
