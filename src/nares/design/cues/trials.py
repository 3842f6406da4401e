"""Which cues were there in each rep, and whether what was there paid.

Conventions
-----------
- ``target`` comes from ``source`` alone, whatever the cues say.
- ``hand`` is taken from the column ``hand`` (inside, side, front) only where none of the dog's reps names
  ``hand`` or ``hand-in`` itself; otherwise the names are believed and the column is not.
- ``hand-in`` is taken from the column (inside) only where none of the dog's reps names it, and only where
  there was a hand. It implies ``hand``. Where the two never differed there is one cue, ``hand``.
- ``distractor`` comes from ``source`` where the rep names no ``distractor:…`` itself.
- A rep is *paid* for what was there where ``paid`` says so, except that pay for going on from a blank or a
  distractor, given away from the boxes, pays the going on: it counts as unpaid here, and how many is told.

Trials are in the order of time; sessions in the order of their first trial.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from nares.base.errors import NotEnoughData, Unknown
from nares.base.times import read_utc
from nares.base.vocab import Rep
from nares.design.cues.vocabulary import HAND, HAND_IN, TARGET, counted_as

Numbers = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Trial:
    """What was there once, and whether it paid. ``at``: ISO 8601 with a zone."""

    session: str
    at: str
    cues: frozenset[str]
    paid: bool


@dataclass(frozen=True, slots=True)
class History:
    """Everything a dog was shown, oldest first. ``notes``: what was read otherwise than it was written."""

    trials: tuple[Trial, ...]
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Counted:
    """A history as counts: every combination of cues that occurred, how often, how often paid.

    ``rows``: one a combination, one column a cue of ``names``, 0 or 1.
    """

    names: tuple[str, ...]
    rows: Numbers
    reps: Numbers
    paid: Numbers

    def column(self, name: str) -> Numbers:
        """Presence of one cue by combination."""
        return self.rows[:, self.names.index(name)]


def reps_of_dog(reps: Sequence[Rep], dog: str) -> tuple[Rep, ...]:
    """The reps of one dog.

    Raises:
        Unknown: If there are none of this dog, naming whose there are.
        NotEnoughData: If there is no rep at all.
    """
    if not reps:
        raise NotEnoughData("There are no reps, so nothing can be said about cues. Add one row for each rep.")
    own = tuple(rep for rep in reps if rep.dog == dog)
    if not own:
        known = ", ".join(dict.fromkeys(rep.dog for rep in reps))
        raise Unknown(f"There is no rep of a dog called {dog!r}. The dogs are: {known}.")
    return own


def history_of(reps: Sequence[Rep], also: Sequence[Trial] = ()) -> History:
    """Read the cues of one dog's reps; ``also``: trials from elsewhere, sorted in by time."""
    in_named = any(HAND_IN in rep.cues for rep in reps)
    named = in_named or any(HAND in rep.cues for rep in reps)
    trials = [_trial(rep, hand_named=named, in_named=in_named) for rep in _in_time(reps)]
    merged = sorted([*trials, *also], key=lambda one: read_utc(one.at)) if also else trials
    return History(_without_double_hand(merged), tuple(_notes(reps, hand_named=named)))


def counted(trials: Sequence[Trial], names: Sequence[str] | None = None) -> Counted:
    """Count a history by combination; ``names``: which cues, in this order; all of them when None."""
    order = tuple(names) if names is not None else names_of(trials)
    wanted = set(order)
    tally: dict[frozenset[str], list[int]] = {}
    for trial in trials:
        one = tally.setdefault(trial.cues & wanted, [0, 0])
        one[0] += 1
        one[1] += trial.paid
    rows = np.array([[name in cues for name in order] for cues in tally], dtype=float)
    counts = np.array(list(tally.values()), dtype=float).reshape(-1, 2)
    return Counted(order, rows.reshape(len(tally), len(order)), counts[:, 0], counts[:, 1])


def names_of(trials: Sequence[Trial]) -> tuple[str, ...]:
    """Every cue that was there at all: the target first, then as they first came up, names in order."""
    seen: dict[str, None] = {}
    for trial in trials:
        for name in sorted(trial.cues - seen.keys(), key=_usual_order):
            seen[name] = None
    return tuple(sorted(seen, key=lambda name: name != TARGET))


def _usual_order(name: str) -> tuple[bool, bool, bool, str]:
    return name != TARGET, name != HAND, name != HAND_IN, name


def _in_time(reps: Sequence[Rep]) -> list[Rep]:
    """Sessions by their first time, as written where times are the same; reps by number within each."""
    first: dict[str, tuple[float, int]] = {}
    for place, rep in enumerate(reps):
        at = read_utc(rep.started_at).timestamp()
        known = first.get(rep.session, (at, place))
        first[rep.session] = (min(at, known[0]), min(place, known[1]))
    return sorted(reps, key=lambda rep: (*first[rep.session], rep.rep))


def _trial(rep: Rep, *, hand_named: bool, in_named: bool) -> Trial:
    cues = {counted_as(name) for name in rep.cues} - {TARGET}
    if rep.source == TARGET:
        cues.add(TARGET)
    if rep.source == "distractor" and not any(name.startswith("distractor") for name in cues):
        cues.add("distractor")
    if not hand_named and rep.hand != "away":
        cues.add(HAND)
    if not in_named and rep.hand == "inside" and HAND in cues:
        cues.add(HAND_IN)
    if HAND_IN in cues:
        cues.add(HAND)
    return Trial(rep.session, rep.started_at, frozenset(cues), rep.paid and not _for_going_on(rep))


def _for_going_on(rep: Rep) -> bool:
    return rep.source != TARGET and rep.pay_place == "away"


def _without_double_hand(trials: Sequence[Trial]) -> tuple[Trial, ...]:
    """Where every hand was a hand in the box, the two are one cue."""
    if any(HAND in trial.cues and HAND_IN not in trial.cues for trial in trials):
        return tuple(trials)
    inside = frozenset({HAND_IN})
    return tuple(Trial(one.session, one.at, one.cues - inside, one.paid) for one in trials)


def _notes(reps: Sequence[Rep], *, hand_named: bool) -> list[str]:
    said = []
    going_on = sum(rep.paid and _for_going_on(rep) for rep in reps)
    if going_on:
        said.append(
            f"{going_on} {'rep was' if going_on == 1 else 'reps were'} paid away from the boxes for going on "
            "where there was no target: counted as not paying what was there."
        )
    names_target = any(TARGET in rep.cues for rep in reps)
    against = sum((TARGET in rep.cues) != (rep.source == TARGET) for rep in reps) if names_target else 0
    if against:
        said.append(
            f"{against} {'rep names' if against == 1 else 'reps name'} the target otherwise among the cues "
            "than in what the source held; the source is believed."
        )
    if not hand_named and any(rep.hand != "away" for rep in reps):
        said.append("No rep names the hand among its cues, so it is taken from where the hand was.")
    return said
