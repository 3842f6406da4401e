"""The rules of training orders, each one named predicate with its source.

Conventions
-----------
What a rule looks at is said in `nares.design.orders.scores`: blank runs are passed
over by rules about places, and with a single position the two kinds of run take the place of two positions.
Rules that were published for two sides hold here for any number of positions and mean the published thing
at two. `several`: whether a rule means anything where a run may hold several targets.

A rule about habits needs eight runs with a target (`least`): below that, hardly any order is at chance for
every habit, and one that is gives itself away. Gellermann's series have ten.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

from nares.base.errors import Unknown
from nares.design.orders.order import Runs
from nares.design.orders.scores import (
    Score,
    changes,
    going_on,
    held,
    longest,
    longest_run,
    places_of,
    same_place,
    same_side,
    tours,
)

LONGEST = 3
LONGEST_BLANKS = 3
LEAST = 8
TOUR_PAYS = 0.2
"""With more than two places a tour may be right in so many runs above chance, as a share of all (ours)."""


@dataclass(frozen=True, slots=True)
class Rule:
    """One rule: its key, what it says, where it comes from, whether an order keeps it.

    ``source``: a key of `nares.base.sources`, or ``ours``. ``several``: it means something with several
    targets in a run. ``least``: runs with a target (single position: runs) from which on it can be asked.
    """

    key: str
    says: str
    source: str
    holds: Callable[[Runs, int], bool]
    several: bool = True
    least: int = 1


def balanced(order: Runs, positions: int) -> bool:
    """Every place holds the target equally often; once more or less where it does not divide."""
    counts = held(order, positions)
    return max(counts) - min(counts) <= 1


def longest_run_3(order: Runs, positions: int) -> bool:
    """No place holds a target in more than three runs in succession."""
    return longest_run(order, positions) <= LONGEST


def halves(order: Runs, positions: int) -> bool:
    """Each half holds each place about as often as the other: of ten runs of two sides, twice at least.

    Two places: a fifth of all runs at least (Jadoul et al. 2023 write Gellermann's two of ten so); more: half
    of the even share, for a fifth would leave hardly any order. Both rounded down. In an odd number of runs
    the middle one is in neither half.
    """
    runs, places = places_of(order, positions)
    half = len(runs) // 2
    targets = sum(map(len, runs))
    least = targets // 5 if places == 2 else targets // (4 * places)
    return all(
        sum(place in run for run in part) >= least
        for part in (runs[:half], runs[len(runs) - half :])
        for place in range(1, places + 1)
    )


def _usual_changes(order: Runs, positions: int) -> int:
    runs, places = places_of(order, positions)
    return len(runs) * (places - 1) // places


def reversals_half(order: Runs, positions: int) -> bool:
    """The place changes in exactly half as many runs as there are: five times in ten."""
    return changes(order, positions) == _usual_changes(order, positions)


def reversals_at_most_half(order: Runs, positions: int) -> bool:
    """The place changes in at most half as many runs as there are: five times in ten."""
    return changes(order, positions) <= _usual_changes(order, positions)


def _no_tour_pays(scores: Sequence[Score]) -> bool:
    """Two places: every tour at chance, for less is the mirror tour. More: there are many, none pays well."""
    if len(scores) == 2:
        return all(score.at_chance() for score in scores)
    return all(score.right <= score.expected + TOUR_PAYS * score.judged for score in scores)


def single_alternation(order: Runs, positions: int) -> bool:
    """Left, right, left, right is right in half of the runs; in general, going round is right by chance."""
    return _no_tour_pays(tours(order, positions, stay=1))


def double_alternation(order: Runs, positions: int) -> bool:
    """Left, left, right, right is right in half of the runs; in general, going round by twos."""
    return _no_tour_pays(tours(order, positions, stay=2))


def double_alternation_late(order: Runs, positions: int) -> bool:
    """Left, right, right, left is right in half of the runs; in general, by twos, begun at the second."""
    return _no_tour_pays(tours(order, positions, stay=2, late=1))


def last_target(order: Runs, positions: int) -> bool:
    """Going where the target was last is right by chance."""
    return same_place(order, positions).at_chance()


def win_stay_lose_shift(order: Runs, positions: int) -> bool:
    """Staying after a right run and going elsewhere after a wrong one is right by chance."""
    return going_on(order, positions, after="wrong").at_chance()


def win_shift_lose_stay(order: Runs, positions: int) -> bool:
    """Going elsewhere after a right run and staying after a wrong one is right by chance."""
    return going_on(order, positions, after="right").at_chance()


def side_of_previous(order: Runs, positions: int) -> bool:
    """Going to the half of the line-up where the target was last is right by chance."""
    return same_side(order, positions).at_chance()


def longest_blanks_3(order: Runs, positions: int) -> bool:
    """No more than three blank runs in succession."""
    return longest([not run for run in order]) <= LONGEST_BLANKS


def blanks_in_halves(order: Runs, positions: int) -> bool:
    """Each half holds four fifths of its even share of blank runs at least."""
    half = len(order) // 2
    least = 2 * sum(not run for run in order) // 5
    return all(sum(not run for run in part) >= least for part in (order[:half], order[len(order) - half :]))


_GELLERMANN, _JADOUL, _FELLOWS = "gellermann-1933", "jadoul-2023", "fellows-1967"

_ALL = (
    Rule(
        "balanced", "Every position holds the target equally often, give or take one.", _GELLERMANN, balanced
    ),
    Rule("longest_run_3", "At most three times running at the same position.", _GELLERMANN, longest_run_3),
    Rule("halves", "Each half holds each position about as often as the other half.", _GELLERMANN, halves),
    Rule(
        "reversals_half",
        "The position changes exactly half as often as there are runs (two sides; more positions: as often "
        "as chance has it).",
        _GELLERMANN,
        reversals_half,
        several=False,
    ),
    Rule(
        "single_alternation",
        "A dog that goes round from place to place is right by chance.",
        _GELLERMANN,
        single_alternation,
        least=LEAST,
    ),
    Rule(
        "double_alternation",
        "A dog that goes round by twos is right by chance.",
        _GELLERMANN,
        double_alternation,
        least=LEAST,
    ),
    Rule(
        "double_alternation_late",
        "A dog that goes round by twos, begun at the second, is right by chance.",
        _JADOUL,
        double_alternation_late,
        least=LEAST,
    ),
    Rule(
        "reversals_at_most_half",
        "The position changes at most half as often as there are runs (two sides; more positions: at most as "
        "often as chance has it).",
        _JADOUL,
        reversals_at_most_half,
        several=False,
    ),
    Rule(
        "last_target",
        "A dog that goes where the target was last is right by chance.",
        _FELLOWS,
        last_target,
        least=LEAST,
    ),
    Rule(
        "win_stay_lose_shift",
        "A dog that stays after pay and goes elsewhere without is right by chance.",
        _FELLOWS,
        win_stay_lose_shift,
        least=LEAST,
    ),
    Rule(
        "win_shift_lose_stay",
        "A dog that goes elsewhere after pay and stays without is right by chance.",
        _FELLOWS,
        win_shift_lose_stay,
        least=LEAST,
    ),
    Rule(
        "side_of_previous",
        "A dog that keeps to the half of the line-up where the target was last is right by chance.",
        "ours",
        side_of_previous,
        several=False,
        least=LEAST,
    ),
    Rule("longest_blanks_3", "At most three blank runs running.", "ours", longest_blanks_3),
    Rule("blanks_in_halves", "Each half holds about as many blank runs.", "ours", blanks_in_halves),
)

RULES: Mapping[str, Rule] = MappingProxyType({rule.key: rule for rule in _ALL})
"""Every rule by its key."""

USUAL_RULES: tuple[str, ...] = (
    "balanced",
    "longest_run_3",
    "halves",
    "single_alternation",
    "double_alternation",
    "last_target",
    "win_stay_lose_shift",
    "win_shift_lose_stay",
    "side_of_previous",
    "longest_blanks_3",
    "blanks_in_halves",
)
"""The rules of a training order where none are named. Exact counts of changes are not among them: they make
an order more guessable than they keep a dog from a habit."""


def rules_named(keys: Sequence[str]) -> tuple[Rule, ...]:
    """The rules of these names, each once, in the order named.

    Raises:
        Unknown: If there is no such rule.
    """
    for key in keys:
        if key not in RULES:
            raise Unknown(f"There is no rule {key!r}. There are: {', '.join(RULES)}.")
    return tuple(RULES[key] for key in dict.fromkeys(keys))
