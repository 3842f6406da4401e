"""Holds learnt together: one dog's recent sessions at a step, its other steps, and other dogs.

Conventions
-----------
ln(hold) = place + trend · sessions + offset of the step + spread · z. The place is that of the NEXT
session at the dog's step, so that a dog that gains or loses is met where it will be. Trend and offsets are
expected near 0 and must be shown by the holds. Holds count less the older they are (by half every
``HALF_LIFE_REPS``), and nothing older than ``LAST`` holds is read.

A dog is taken as moving or as steady, whichever would have foretold its recent sessions better.

Other steps, and other dogs, are used only where they help: where the dog's own sessions at its step are
not foretold worse with them than without (`nares.decide.hold.foresight`). Before two such sessions nothing
can be compared, and they are used.

Last, the same model is asked what it would have foretold of each recent session before it, and the rate of
breaks is multiplied by breaks seen for each break foretold, drawn towards 1. That takes out what no shape
and no trend here explains.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import log, sqrt

import numpy as np
from numpy.typing import NDArray

from nares.base.errors import OutOfRange
from nares.decide.hold.foresight import Groups, group_scores, shares_of
from nares.decide.hold.holds import HoldModel, decline_notes, declines_of, shape_notes
from nares.decide.hold.likelihood import Maximum, Prior, Seen, largest
from nares.decide.hold.mixture import Mixture
from nares.decide.hold.otherdogs import NO_OTHERS, OtherDogs
from nares.decide.hold.shapes import RIVALS, STEP_S, shape_of
from nares.decide.hold.survival import Floats, Holds, checked_holds, product_limit

LAST = 240
"""Holds looked back on: six half-lives, beyond which a hold counts less than a sixty-fourth. [count]"""

HALF_LIFE_REPS = 40
"""Holds this many reps older count half: three or four sessions, enough to learn from and to follow."""

MOVING_SD, STEADY_SD = 0.12, 0.02
"""Expected size of the change of ln(hold) from session to session, of a dog on the move (1 % a rep is within)
and of a steady one. The one under which sessions were foretold better is taken; the first while none was."""

OFFSET_SD = 0.35
"""Expected size of the difference in ln(hold) between two steps of one dog."""

FORETOLD_SESSIONS, FORETOLD_FROM, FORETOLD_HALF_LIFE_REPS = 10, 2, 90
FORETOLD_DRAW = 2.5
"""The multiplier of breaks looks at the last ten sessions after the first two, recent ones counting more,
and is drawn towards 1 as by two and a half breaks foretold and seen."""

PER_FORETOLD = (0.3, 3.0)

NEARBY = 1.02
"""How much longer a hold is looked at to see how fast breaks come there."""


@dataclass(frozen=True, slots=True)
class _Past:
    """The holds of one dog, oldest first: times and endings; session, counted from 0, and step, 0 its own."""

    holds: Holds
    declines: NDArray[np.bool_]
    session: Groups
    step: Groups

    def before(self, session: int, *, own_only: bool) -> tuple["Seen", NDArray[np.bool_]]:
        """What the likelihood takes, as it was before this session; and which holds are at the own step."""
        use = (self.session < session) & ~self.declines
        if own_only:
            use &= self.step == 0
        ages = np.maximum(0, int((self.session < session).sum()) - 1 - np.flatnonzero(use))
        ago = (self.session[use] - session).astype(np.float64)
        others = [1.0 * (self.step[use] == n) for n in range(1, 1 if own_only else int(self.step.max()) + 1)]
        columns = np.column_stack([np.ones(len(ago)), ago, *others])
        log_t = np.log(np.maximum(self.holds.hold_s[use], STEP_S / 2))
        weights = 0.5 ** (ages / HALF_LIFE_REPS)
        return Seen(log_t, self.holds.broke[use], weights, columns), self.step[use] == 0

    @property
    def now(self) -> int:
        """The number the next session will have."""
        return int(self.session.max()) + 1

    def declined(self, session: int) -> float:
        """Share of reps left at once before this session, recent ones counting more."""
        known = self.session < session
        weights = 0.5 ** (np.arange(known.sum())[::-1] / HALF_LIFE_REPS)
        left = float(weights @ self.declines[known])
        return left / (float(weights.sum()) + 1) if left else 0.0


@dataclass(frozen=True, slots=True)
class _Learnt:
    """The shapes of one way of pooling, each with its share, and the scores of the dog's own sessions."""

    tops: tuple[Maximum, ...]
    scores: Floats
    own_only: bool
    others: OtherDogs
    trend_sd: float = MOVING_SD

    @property
    def total(self) -> float:
        """Log of the weight the shapes have together, foretelling the own sessions."""
        totals = self.scores.sum(axis=1)
        return float(totals.max() + np.log(np.exp(totals - totals.max()).mean()))


def pooled_hold_model(
    hold_s: Sequence[float],
    ended_by_dog: Sequence[bool | int],
    *,
    sessions: Sequence[str],
    steps: Sequence[str] | None = None,
    step: str | None = None,
    others: OtherDogs | None = None,
) -> HoldModel:
    """Learn how long the dog will hold in its next session, from all that helps to know it.

    Args:
        hold_s: Length of each hold of the dog, oldest first. [s]
        ended_by_dog: True or 1 where the dog ended it, False or 0 where the mark cut it short. [bool]
        sessions: The session of each hold.
        steps: The step of each hold; one and the same without them.
        step: The step to learn of; that of the last hold without it.
        others: What other dogs at this step teach.

    Raises:
        NotEnoughData: If there is no hold.
        OutOfRange: If lengths differ, a hold or an ending cannot be, or no hold is at the step.

    Examples:
        >>> held, broke = [5, 5, 3.2, 5, 5, 4.1, 5, 5, 2, 5], [0, 0, 1, 0, 0, 1, 0, 0, 1, 0]
        >>> model = pooled_hold_model(held, broke, sessions=["a"] * 5 + ["b"] * 5)
        >>> model.reps, model.averaged, 0 < model.ask() < 5
        (10, True, True)
    """
    past = _past_of(hold_s, ended_by_dog, sessions, steps, step)
    learnt, seen, foretold = _followed(past, _best_of(past, others))
    shares = shares_of(learnt.scores)
    order = np.argsort(-shares, kind="stable")
    fits = tuple(shape_of(learnt.tops[n]) for n in order)
    counts = tuple(float(shares[n]) for n in order)
    worth = seen + FORETOLD_DRAW
    own = Holds(*(part[past.step == 0] for part in (past.holds.hold_s, past.holds.broke, _ages(past))))
    borrowed = 0 if learnt.own_only else int((past.step > 0).sum())
    from_others = _from_others(learnt, past) if learnt.others.dogs else 0.0
    return HoldModel(
        shape=fits[0].name,
        reps=len(own.hold_s),
        breaks=own.breaks,
        cut_short=len(own.hold_s) - own.breaks,
        effective_reps=float(own.weights.sum()),
        longest_asked_s=own.longest_s,
        held_s=float(own.weights @ own.hold_s),
        observed=product_limit(own, 0.95),
        fits=fits,
        notes=_notes(own, past, learnt, shape_notes(fits, counts), from_others),
        shares=counts,
        declined=past.declined(past.now),
        averaged=True,
        per_foretold=float(np.clip(worth / (foretold + FORETOLD_DRAW), *PER_FORETOLD)),
        per_foretold_error=1 / sqrt(worth) if seen + foretold else 0.0,
        borrowed=borrowed,
        other_dogs=learnt.others.dogs,
        from_others=from_others,
    )


def _past_of(
    hold_s: Sequence[float],
    ended_by_dog: Sequence[bool | int],
    sessions: Sequence[str],
    steps: Sequence[str] | None,
    step: str | None,
) -> _Past:
    keys = ["" for _ in hold_s] if steps is None else list(steps)
    for name, given in (("endings", ended_by_dog), ("sessions", sessions), ("steps", keys)):
        if len(given) != len(hold_s):
            raise OutOfRange(
                f"There are {len(hold_s)} holds but {len(given)} {name}. Give one for each hold."
            )
    kept = checked_holds(hold_s[-LAST:], ended_by_dog[-LAST:], None)
    keys, names = keys[-LAST:], list(sessions)[-LAST:]
    own = keys[-1] if step is None else step
    if own not in keys:
        raise OutOfRange(f"None of the last {len(keys)} holds is at the step {own!r}. Name another step.")
    numbers = {key: n for n, key in enumerate(dict.fromkeys([own, *keys]))}
    days = {name: n for n, name in enumerate(dict.fromkeys(names))}
    return _Past(
        kept,
        declines_of(kept),
        np.asarray([days[name] for name in names]),
        np.asarray([numbers[key] for key in keys]),
    )


def _ages(past: _Past) -> Floats:
    """Weights by age, shrunk to their effective size, for all holds."""
    raw = np.asarray(0.5 ** (np.arange(len(past.step))[::-1] / HALF_LIFE_REPS))
    own = raw[past.step == 0]
    return np.asarray(raw * (own.sum() / (own**2).sum()))


def _best_of(past: _Past, others: OtherDogs | None) -> _Learnt:
    """The way of pooling that foretells the dog's own sessions best; the widest while none can be told."""
    elsewhere = bool((past.step > 0).any())
    best = _learn(past, not elsewhere, others or NO_OTHERS)
    comparable = best.scores.shape[1] > 1
    if elsewhere and comparable:
        best = max(best, _learn(past, True, others or NO_OTHERS), key=lambda way: way.total)
    if others is not None and comparable:
        best = max(best, _learn(past, best.own_only, NO_OTHERS), key=lambda way: way.total)
    return best


def _learn(past: _Past, own_only: bool, others: OtherDogs, trend_sd: float = MOVING_SD) -> _Learnt:
    seen, own = past.before(past.now, own_only=own_only)
    if len(seen.log_t) == 0:
        seen, own = _nothing_seen(seen), np.ones(1, dtype=bool)
    sessions = past.session[(past.step == 0) & ~past.declines]
    group = _groups(own, sessions)
    tops, scores = [], []
    start: Floats | None = None
    for form in RIVALS:
        prior = _prior(form, seen.columns.shape[1], others, trend_sd)
        top = largest(form, seen, prior, start)
        start = top.at
        tops.append(top)
        scores.append(_own_scores(form, seen, prior, top.at, group))
    return _Learnt(tuple(tops), np.asarray(scores), own_only, others, trend_sd)


def _nothing_seen(empty: Seen) -> Seen:
    """One hold of no weight, where every rep was declined: the priors speak alone."""
    columns = np.zeros((1, empty.columns.shape[1]))
    columns[0, 0] = 1
    return Seen(np.zeros(1), np.zeros(1, dtype=bool), np.full(1, 1e-9), columns)


def _groups(own: NDArray[np.bool_], sessions: Groups) -> Groups:
    """Number the latest own sessions from 0; all other holds are never left out: group -1."""
    latest = list(dict.fromkeys(int(s) for s in sessions))[-FORETOLD_SESSIONS:]
    numbers = {day: n for n, day in enumerate(latest)}
    group = np.full(len(own), -1)
    if len(sessions):
        group[own] = [numbers.get(int(s), -1) for s in sessions]
    return group


def _own_scores(form: float, seen: Seen, prior: Prior, at: Floats, group: Groups) -> Floats:
    if group.max() < 1:
        return np.zeros(1)
    return group_scores(form, seen, prior, at, group)


def _prior(form: float, effects: int, others: OtherDogs, trend_sd: float) -> Prior:
    (place, place_sd), (spread, spread_sd) = others.of(form)
    mean = np.asarray([place, *[0.0] * (effects - 1), spread])
    sds = np.asarray([place_sd, trend_sd, *[OFFSET_SD] * (effects - 2), spread_sd])
    return Prior(mean, sds**-2)


def _followed(past: _Past, learnt: _Learnt) -> tuple[_Learnt, float, float]:
    """The learnt as moving or as steady, whichever foretold better; breaks seen and foretold under it."""
    form = learnt.tops[int(np.argmax(learnt.scores.sum(axis=1)))].form
    moving, steady = (_against_foretold(past, learnt, form, sd) for sd in (MOVING_SD, STEADY_SD))
    if steady[2] > moving[2]:
        return _learn(past, learnt.own_only, learnt.others, STEADY_SD), steady[0], steady[1]
    return learnt, moving[0], moving[1]


def _against_foretold(
    past: _Past, learnt: _Learnt, form: float, trend_sd: float
) -> tuple[float, float, float]:
    """Breaks seen, breaks foretold before each of the dog's recent own sessions, and the foretelling's score.

    The score is the log likelihood of each session's holds under what was known before it.
    """
    own = np.unique(past.session[past.step == 0])
    recent = [int(day) for day in own if day >= FORETOLD_FROM][-FORETOLD_SESSIONS:]
    ages = np.arange(len(past.session))[::-1]
    start: Floats | None = None
    seen = foretold = score = 0.0
    for day in recent:
        known, _ = past.before(day, own_only=learnt.own_only)
        if len(known.log_t) == 0:
            continue
        prior = _prior(form, known.columns.shape[1], learnt.others, trend_sd)
        top = largest(form, known, prior, start)
        start = top.at
        today = (past.session == day) & (past.step == 0)
        broke = past.holds.broke[today]
        weights = 0.5 ** (ages[today] / FORETOLD_HALF_LIFE_REPS)
        held_s = np.maximum(past.holds.hold_s[today], STEP_S / 2)
        worn = _worn(top, held_s, past.declined(day))
        rate = np.maximum((_worn(top, held_s * NEARBY, past.declined(day)) - worn) / log(NEARBY), 1e-6)
        seen += float(weights @ broke)
        foretold += float(weights @ worn)
        score += float(weights @ (broke * np.log(rate) - worn))
    return seen, foretold, score


def _worn(top: Maximum, held_s: Floats, declined: float) -> Floats:
    """Breaks foretold up to each time: minus the logarithm of the chance of going in and holding it."""
    holding = Mixture((shape_of(top),), (1.0,), True).chances(held_s)
    return np.asarray(-np.log(np.clip((1 - declined) * holding, 1e-6, 1.0)))


def _from_others(learnt: _Learnt, past: _Past) -> float:
    """How much of what is known of the place other dogs decide: their precision in the whole."""
    lead = learnt.tops[int(np.argmax(learnt.scores.sum(axis=1)))]
    (_, sd), _ = learnt.others.of(lead.form)
    return float(min(1.0, lead.covariance[0, 0] / sd**2))


def _notes(
    own: Holds, past: _Past, learnt: _Learnt, shapes: list[str], from_others: float
) -> tuple[str, ...]:
    declines = past.declines[past.step == 0]
    return (
        *_borrowed_notes(own, past, learnt, from_others),
        *shapes,
        *decline_notes(int(declines.sum()), len(declines)),
        *(["The dog never broke here, so how long it can hold is a guess."] if own.breaks == 0 else []),
        f"Beyond {own.longest_s:.1f} s nothing was seen; figures there are extrapolated.",
    )


def _borrowed_notes(own: Holds, past: _Past, learnt: _Learnt, from_others: float) -> list[str]:
    """What was borrowed, or that nothing was though it could have been."""
    notes = []
    elsewhere = int((past.step > 0).sum())
    if elsewhere and learnt.own_only:
        notes.append("Holds at other steps were left out: without them its sessions are foretold better.")
    elif elsewhere:
        notes.append(
            f"{elsewhere} holds of its other steps help, each step with an offset of its own; "
            f"{len(own.hold_s)} are of this step."
        )
    if learnt.others.dogs:
        dogs, many = learnt.others.dogs, learnt.others.holds
        who = f"{dogs} other dog{'s' if dogs != 1 else ''} ({many} holds at this step)"
        how = "Mostly from" if from_others >= 0.5 else "Helped a little by"
        notes.append(f"{how} {who}: {len(own.hold_s)} holds are this dog's own.")
    return notes
