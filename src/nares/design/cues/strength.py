"""How strongly each cue would foretell pay after a history, by the rule of Rescorla and Wagner.

Conventions
-----------
At every trial each cue that was there moves by ``salience x rate x (outcome - sum of strengths there)``;
the outcome is 1 for paid and 0 for unpaid. The place itself (`PLACE`) is a cue that is always there.
Strength 0 is nothing, 1 foretells pay alone, below 0 foretells that there is none.

Strength is a number of a model, not a measurement of a dog: nobody knows a dog's saliences and rates. So it
comes with a *band*: the lowest and highest strength over the parameters of `BAND`, every combination of them.
With more cues than ``1 / (salience x rate)`` at once the rule would overshoot the outcome; then all rates are
brought down together so that it does not, and that is told (``scaled``).

What it leaves out: attention that changes with experience, forgetting, the order within one rep, pay of
different size.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import product

import numpy as np

from nares.base.errors import OutOfRange
from nares.design.cues.trials import Counted, Numbers, Trial

PLACE = "place"
"""The cue that is always there: the place, the time, being at work. Not a name of any rep's cue."""


@dataclass(frozen=True, slots=True)
class Parameters:
    """Parameters of the rule, all between 0 and 1.

    ``salience``: how far one cue moves of the way, of every cue without its own in ``saliences``;
    ``place``: that of the place. ``rate``, ``rate_unpaid``: what that is multiplied by on a paid and on an
    unpaid rep. ``scaled``: by what the rates were brought down, 1 where they were not.
    """

    salience: float = 0.1
    place: float = 0.05
    rate: float = 1.0
    rate_unpaid: float = 1.0
    saliences: Mapping[str, float] = field(default_factory=dict)
    scaled: float = 1.0

    def __post_init__(self) -> None:
        said = {"salience": self.salience, "rate": self.rate, "rate_unpaid": self.rate_unpaid}
        for name, value in {**said, **self.saliences}.items():
            if not 0 < value <= 1:
                raise OutOfRange(f"{name} is {value:g}. Give more than 0 and at most 1, for example 0.1.")
        if not 0 <= self.place <= 1:
            raise OutOfRange(f"The salience of the place is {self.place:g}. Give 0 to 1, for example 0.05.")

    def of(self, name: str) -> float:
        """The salience of a cue."""
        return self.saliences.get(name, self.place if name == PLACE else self.salience)


USUAL = Parameters()
BAND_SALIENCES = (0.05, 0.1, 0.2, 0.3)
BAND_FAVOURED = 3.0
"""In the band every cue is once this many times as salient as all others, and once as many times less,
at both ends of `BAND_SALIENCES`."""
BAND_PLACES = (0.5, 1.0)
BAND_UNPAID = (0.5, 1.0)


@dataclass(frozen=True, slots=True)
class Course:
    """Strengths after each session. ``after``: one row a session, one column a cue, the place last."""

    names: tuple[str, ...]
    sessions: tuple[str, ...]
    after: Numbers
    parameters: Parameters

    def last(self, name: str) -> float:
        """Where a cue's strength stands now."""
        return float(self.after[-1, self.names.index(name)])


def course(trials: Sequence[Trial], names: Sequence[str], parameters: Parameters = USUAL) -> Course:
    """Strengths after each session of a history, from nothing.

    Sources:
        rescorla-wagner-1972: the rule.

    Examples:
        >>> twice = [Trial("s1", "2026-03-01T08:00:00Z", frozenset({"target"}), True)] * 2
        >>> round(course(twice, ["target"], Parameters(0.4, place=0.0)).last("target"), 2)
        0.64
    """
    used = within_bounds(parameters, trials)
    order = (*names, PLACE)
    places = {name: number for number, name in enumerate(order)}
    own = [used.of(name) for name in order]
    there = {
        cues: [*(places[cue] for cue in cues if cue in places), len(order) - 1]
        for cues in {trial.cues for trial in trials}
    }
    strengths = [0.0] * len(order)
    after, sessions = list[list[float]](), list[str]()
    for trial in trials:
        rate = used.rate if trial.paid else used.rate_unpaid
        columns = there[trial.cues]
        missing = rate * (float(trial.paid) - sum([strengths[one] for one in columns]))
        for one in columns:
            strengths[one] += own[one] * missing
        if sessions and sessions[-1] == trial.session:
            after[-1] = list(strengths)
        else:
            sessions.append(trial.session)
            after.append(list(strengths))
    table = np.array(after).reshape(len(sessions), len(order))
    return Course(order, tuple(sessions), table, used)


def within_bounds(parameters: Parameters, trials: Sequence[Trial]) -> Parameters:
    """The parameters, their rates brought down where so many cues at once would overshoot the outcome."""
    combinations = {trial.cues for trial in trials}
    own = {name: parameters.of(name) for name in frozenset().union(*combinations)}
    most = max((sum(own[name] for name in one) for one in combinations), default=0.0) + parameters.of(PLACE)
    down = max(1.0, most * max(parameters.rate, parameters.rate_unpaid))
    if down == 1.0:
        return parameters
    rates = (parameters.rate / down, parameters.rate_unpaid / down)
    return replace(parameters, rate=rates[0], rate_unpaid=rates[1], scaled=1 / down)


def band(
    trials: Sequence[Trial], names: Sequence[str], parameters: Parameters = USUAL
) -> dict[str, tuple[float, float]]:
    """Lowest and highest strength of each cue now, over every combination of the parameters of the band.

    The parameters asked for are always among them, also where they lie outside the band's.
    """
    used = within_bounds(parameters, trials)
    order = (*names, PLACE)
    sets = [_moves(used, order, used.salience, 1.0, used.rate_unpaid / used.rate)]
    for salience, place, unpaid in product(BAND_SALIENCES, BAND_PLACES, BAND_UNPAID):
        sets.append(_moves(parameters, order, salience, place, unpaid))
    ends = (BAND_SALIENCES[0], BAND_SALIENCES[-1])
    for salience, unpaid, favoured in product(ends, BAND_UNPAID, range(len(names))):
        for times in (BAND_FAVOURED, 1 / BAND_FAVOURED):
            sets.append(_moves(parameters, order, salience, 1.0, unpaid, favoured, times))
    paid = np.array([one[0] for one in sets])
    unpaid_moves = np.array([one[1] for one in sets])
    strengths = _run(trials, order, paid, unpaid_moves)
    low, high = strengths.min(axis=0), strengths.max(axis=0)
    return {name: (float(low[k]), float(high[k])) for k, name in enumerate(order)}


def _moves(
    parameters: Parameters,
    order: Sequence[str],
    salience: float,
    place: float,
    unpaid: float,
    favoured: int | None = None,
    times: float = 1.0,
) -> tuple[Numbers, Numbers]:
    size = salience / parameters.salience
    shares = np.array([parameters.of(name) * size for name in order])
    shares[-1] *= place
    if favoured is not None:
        shares[favoured] *= times
    return shares * parameters.rate, shares * parameters.rate * unpaid


def _run(trials: Sequence[Trial], order: Sequence[str], paid: Numbers, unpaid: Numbers) -> Numbers:
    """Strengths at the end under every set of moves; each set brought down where it would overshoot."""
    places = {name: number for number, name in enumerate(order)}
    columns = {
        cues: [*sorted(places[cue] for cue in cues if cue in places), len(order) - 1]
        for cues in {trial.cues for trial in trials}
    }
    most = np.max([paid[:, there].sum(axis=1) for there in columns.values()], axis=0)
    down = np.maximum(1.0, most)[:, None]
    # One row a cue, so that the cues that were there are taken as whole rows.
    won, lost = np.ascontiguousarray((paid / down).T), np.ascontiguousarray((unpaid / down).T)
    strengths = np.zeros_like(won)
    for trial in trials:
        there = columns[trial.cues]
        now = strengths[there]
        moves = won[there] if trial.paid else lost[there]
        strengths[there] = now + moves * (float(trial.paid) - now.sum(axis=0))
    return strengths.T


def equilibrium(table: Counted, parameters: Parameters = USUAL) -> dict[str, float]:
    """Where the strengths would settle if this history went on and on in small steps.

    Least squares of pay on presence, the place always present. Where cues cannot be told apart many values
    fit; given is the one that the rule comes to from nothing, which shares by salience.

    Sources:
        danks-2003: equilibria of the Rescorla-Wagner rule.
    """
    order = (*table.names, PLACE)
    design = np.column_stack([table.rows, np.ones(len(table.reps))])
    weight = np.sqrt(table.reps)[:, None]
    roots = np.sqrt([parameters.of(name) for name in order])
    pay = table.paid / np.sqrt(table.reps)
    # The rule never leaves the span of what was shown, each cue stretched by its salience: so the least norm.
    solved, *_ = np.linalg.lstsq(weight * design * roots, pay, rcond=1e-9)
    return {name: float(value) for name, value in zip(order, roots * solved, strict=True)}
