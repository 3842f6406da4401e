"""Two observers of the same recordings: what both have, what only one has, how far apart, how sure.

Conventions
-----------
Neither observer is the truth: F1 is the same whichever comes first, and a difference is second minus first.
Events are first paired one to one within a generous distance of their lane; what then stays alone is
something only one observer has, and the pairs give the timing. F1 is counted again with each strict window.
With several recordings the session is the cluster of every interval; with one, events stand for themselves
and frames hang together in stretches.
"""

from collections.abc import Sequence

import numpy as np

from nares.base.errors import NotEnoughData
from nares.base.interval import session_spread, wilson_interval
from nares.measure.agreement.found import (
    Agreement,
    Alone,
    EventAgreement,
    FrameAgreement,
    Pair,
    ValueAgreement,
    Within,
)
from nares.measure.agreement.intraclass import intraclass
from nares.measure.agreement.kappa import cohens_kappa
from nares.measure.agreement.kinds import (
    FRAME_S,
    KINDS,
    LANES,
    SAME_REP_S,
    STRETCH_S,
    VALUES,
    WINDOWS_S,
    Kind,
    Lane,
    Value,
)
from nares.measure.agreement.limits import Limits, limits_of_agreement
from nares.measure.agreement.sheets import HeldRep, TwoSheets
from nares.measure.scoring import covered, pair_events


def compare(both: Sequence[TwoSheets], *, confidence: float) -> Agreement:
    """Compare two observers over one recording or several.

    Args:
        both: One pair of sheets a recording; the observers are the same in each.
        confidence: Two-sided coverage of every interval. [-]

    Raises:
        NotEnoughData: If there is no recording both looked at.
    """
    if not both:
        raise NotEnoughData(
            "There is no recording both have looked at. Mark one first, or choose another pair."
        )
    found = [(kind, _events(kind, both, confidence)) for kind in KINDS]
    frames = [(lane, _frames(lane, get, both, confidence)) for lane, get in LANES]
    return Agreement(
        first=both[0].first.observer,
        second=both[0].second.observer,
        sessions=len(both),
        duration_s=sum(one.duration_s for one in both),
        events=tuple(event for _, event in found if event is not None),
        frames=tuple(frame for _, frame in frames if frame is not None),
        values=tuple(_values(name, get, both, confidence) for name, get in VALUES),
        alone=tuple(alone for kind in KINDS for one in both for alone in alone_of(kind, one)),
        missing=tuple(_missing(both)),
    )


def alone_of(kind: Kind, one: TwoSheets) -> list[Alone]:
    """Events of one kind in one recording that only one observer has, in time order."""
    first, second = kind.events(one.first), kind.events(one.second)
    if first is None or second is None:
        return []
    pairs = pair_events(first, second, kind.reach_s)
    met, met_too = {i for i, _ in pairs}, {j for _, j in pairs}
    rest = [Alone(one.session, kind.key, at, 1) for i, at in enumerate(first) if i not in met]
    rest += [Alone(one.session, kind.key, at, 2) for j, at in enumerate(second) if j not in met_too]
    return sorted(rest, key=lambda alone: alone.at_s)


def _events(kind: Kind, both: Sequence[TwoSheets], confidence: float) -> EventAgreement | None:
    seen = [
        (one.session, first, second)
        for one in both
        if (first := kind.events(one.first)) is not None and (second := kind.events(one.second)) is not None
    ]
    if not seen:
        return None
    pairs = [
        Pair(session, (first[i] + second[j]) / 2, second[j] - first[i])
        for session, first, second in seen
        for i, j in pair_events(first, second, kind.reach_s)
    ]
    return EventAgreement(
        event=kind.key,
        sessions=len(seen),
        first=sum(len(first) for _, first, _ in seen),
        second=sum(len(second) for _, _, second in seen),
        paired=len(pairs),
        reach_s=kind.reach_s,
        within=tuple(_within(window, seen, confidence) for window in WINDOWS_S),
        timing=_timing(pairs, len(both), confidence),
        pairs=tuple(pairs),
    )


def _within(
    window_s: float, seen: Sequence[tuple[str, tuple[float, ...], tuple[float, ...]]], confidence: float
) -> Within:
    """F1 and its interval, by way of the share of all different events that both have."""
    shared: list[bool] = []
    sessions: list[str] = []
    for session, first, second in seen:
        count = len(pair_events(first, second, window_s))
        different = len(first) + len(second) - count
        shared += [True] * count + [False] * (different - count)
        sessions += [session] * different
    if not shared:
        return Within(window_s, 0, 1.0, None, None)
    share = sum(shared) / len(shared)
    worth = session_spread(shared, sessions).effective_reps if len(seen) > 1 else len(shared)
    low, high = wilson_interval(share, worth, confidence=confidence)
    return Within(window_s, sum(shared), *(2 * one / (1 + one) for one in (share, low, high)))


def _timing(pairs: Sequence[Pair], recordings: int, confidence: float) -> Limits | None:
    if len(pairs) < 2:
        return None
    differences = [pair.difference_s for pair in pairs]
    clusters = [pair.session for pair in pairs] if recordings > 1 else None
    return limits_of_agreement([0.0] * len(pairs), differences, confidence=confidence, clusters=clusters)


def _frames(
    lane: str,
    get: Lane,
    both: Sequence[TwoSheets],
    confidence: float,
) -> FrameAgreement | None:
    seen = [
        (one, first, second)
        for one in both
        if (first := get(one.first)) is not None
        and (second := get(one.second)) is not None
        and one.duration_s >= FRAME_S
    ]
    if not seen:
        return None
    ones, others, clusters = [], [], []
    for place, (one, first, second) in enumerate(seen):
        count = int(one.duration_s / FRAME_S + 1e-6)
        middles = (np.arange(count, dtype=np.float64) + 0.5) * np.float64(FRAME_S)
        ones.append(covered(middles, first))
        others.append(covered(middles, second))
        stretch = (middles // STRETCH_S).astype(np.int64) if len(both) == 1 else np.full(middles.size, place)
        clusters.append(stretch)
    kappa = cohens_kappa(
        np.concatenate(ones),
        np.concatenate(others),
        kinds=2,
        confidence=confidence,
        clusters=np.concatenate(clusters).tolist(),
    )
    return FrameAgreement(lane, len(seen), kappa.first[1], kappa.second[1], kappa)


def _values(name: str, get: Value, both: Sequence[TwoSheets], confidence: float) -> ValueAgreement:
    """Holds and delays of reps that both ended alike: a mark only one heard is no difference in time."""
    same = [(one.session, first, second) for one in both for first, second in _same_reps(one)]
    alike = [row for row in same if (row[1].mark_delay_s is None) == (row[2].mark_delay_s is None)]
    values = [(session, get(first), get(second)) for session, first, second in alike]
    rows = [(session, a, b) for session, a, b in values if a is not None and b is not None]
    pairs = tuple(Pair(session, (a + b) / 2, b - a) for session, a, b in rows)
    table = [(a, b) for _, a, b in rows]
    return ValueAgreement(
        value=name,
        sessions=len({session for session, _, _ in rows}),
        reps=len(rows),
        other_end=len(same) - len(alike),
        timing=_timing(pairs, len(both), confidence),
        correlation=intraclass(table, confidence=confidence)["ICC(2,1)"] if len(table) >= 2 else None,
        pairs=pairs,
    )


def _same_reps(one: TwoSheets) -> list[tuple[HeldRep, HeldRep]]:
    first, second = one.first.reps, one.second.reps
    pairs = pair_events([rep.nose_in_s for rep in first], [rep.nose_in_s for rep in second], SAME_REP_S)
    return [(first[i], second[j]) for i, j in pairs]


def _missing(both: Sequence[TwoSheets]) -> list[str]:
    """Say which lanes one observer left out, each once."""
    said = []
    for name, field in (
        ("marks", "marks"),
        ("nose in", "nose_in"),
        ("hand in", "hand_in"),
        ("inhalations", "inhales"),
    ):
        for sheets in ([one.first for one in both], [one.second for one in both]):
            lacking = sum(getattr(sheet, field) is None for sheet in sheets)
            if lacking:
                where = "" if len(both) == 1 else f" in {lacking} of {len(both)} sessions"
                said.append(f"{sheets[0].observer} has no lane of {name}{where}: it is not compared there.")
    return said
