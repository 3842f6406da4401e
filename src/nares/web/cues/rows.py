"""The tables of the page Cues, ready to show: shares in per cent, differences in points, strengths bare."""

from collections.abc import Iterator
from dataclasses import dataclass

from nares.app.cues.values import CueLink, CuesPage, NextReps, Together, in_words
from nares.web.shell.measures import MINUS, NBSP, between, share

NEVER = "never tested"
TIED = "cannot be told apart"


@dataclass(frozen=True, slots=True)
class Row:
    """One line of a table: its name, then its cells."""

    name: str
    cells: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Planned:
    """One planned rep: what is there of the cues in question, and what is left out."""

    says: str
    left_out: str
    paid: str


@dataclass(frozen=True, slots=True)
class Rows:
    """Everything of the page that is laid out."""

    links: tuple[Row, ...]
    apart: tuple[Row, ...]
    pairs: tuple[Row, ...]
    indices: tuple[Row, ...]
    strengths: tuple[Row, ...]
    strength_names: tuple[str, ...]
    planned: tuple[Planned, ...]
    choices: tuple[tuple[str, str, bool], ...]
    changes: tuple[Row, ...]
    foreseen: tuple[Row, ...]
    about: str


def rows_of(page: CuesPage) -> Rows:
    """Lay the page out."""
    planned = page.next_reps
    return Rows(
        links=tuple(_link(one) for one in page.cues),
        apart=tuple(_apart(one, page.together) for one in page.cues),
        pairs=tuple(_pairs(page)),
        indices=tuple(_indices(page)),
        strengths=tuple(
            Row(session, tuple(_number(value) for value in row))
            for session, row in zip(page.strengths.sessions, page.strengths.after, strict=True)
        ),
        strength_names=tuple(_named(name) for name in page.strengths.cues),
        planned=() if planned is None else tuple(_planned(planned)),
        choices=() if planned is None else tuple(_choices(planned)),
        changes=() if planned is None else tuple(_changes(planned)),
        foreseen=() if planned is None else tuple(_foreseen(planned)),
        about="" if planned is None else _and([in_words(name) for name in planned.in_question]),
    )


def _link(one: CueLink) -> Row:
    overall = one.overall
    return Row(
        in_words(one.cue),
        (
            _of(overall.with_it.paid, overall.with_it.reps, overall.with_it),
            _of(overall.without_it.paid, overall.without_it.reps, overall.without_it),
            points(overall.delta_p, overall.low, overall.high, NEVER),
            points(one.effect.effect, one.effect.low, one.effect.high, TIED),
            between(one.strength, one.strength_low, one.strength_high),
        ),
    )


def _apart(one: CueLink, together: tuple[Together, ...]) -> Row:
    same = "the target itself"
    inside, outside = one.with_target, one.without_target
    return Row(
        in_words(one.cue),
        (
            same if inside is None else points(inside.delta_p, inside.low, inside.high, NEVER),
            same if outside is None else points(outside.delta_p, outside.low, outside.high, NEVER),
            next((_together(both) for both in together if both.cue == one.cue), same),
            "infinite" if one.effect.vif is None else f"{one.effect.vif:.2f}",
            _number(one.settles_at) + ("" if one.settles_surely else " (one of many)"),
            one.first,
            one.first_apart or "never",
        ),
    )


def _together(both: Together) -> str:
    if both.difference is None:
        return NEVER
    told = f"{_signed(both.difference)}{NBSP}points"
    hidden = _and([in_words(name) for name in both.hidden_in]) if both.hidden_in else ""
    return f"{told}, the same as {hidden}" if hidden else told


def _of(paid: int, reps: int, said: object) -> str:
    if reps == 0:
        return NEVER
    return f"{paid} of {reps}, {share(paid / reps, getattr(said, 'low', None), getattr(said, 'high', None))}"


def points(value: float | None, low: float | None, high: float | None, instead: str) -> str:
    r"""A difference of two shares in points, with its interval.

    >>> points(0.5, 0.25, 0.75, "never tested"), points(None, None, None, "never tested")
    ('+50\xa0points (+25 to +75)', 'never tested')
    """
    if value is None or low is None or high is None:
        return instead
    return f"{_signed(value)}{NBSP}points ({_signed(low)} to {_signed(high)})"


def _signed(value: float) -> str:
    whole = round(100 * value)
    return "0" if whole == 0 else f"{whole:+d}".replace("-", MINUS)


def _number(value: float) -> str:
    return f"{value:.2f}".replace("-0.00", "0.00").replace("-", MINUS)


def _named(name: str) -> str:
    return "the place itself" if name == "place" else in_words(name)


def _pairs(page: CuesPage) -> Iterator[Row]:
    """Pairs that are tied or nearly, and every pair with the target."""
    if page.apart is None:
        return
    tied = {*page.apart.inseparable, *page.apart.opposites}
    near = {(one.first, one.second) for one in page.apart.nearly}
    for one in page.apart.pairs:
        both = (one.first, one.second)
        if both not in tied | near and "target" not in both:
            continue
        phi = "never changed" if one.phi is None else _number(one.phi)
        vif = "infinite" if one.vif is None else f"{one.vif:.1f}"
        counts = (str(one.both), str(one.first_only), str(one.second_only), str(one.neither))
        word = "inseparable" if both in tied else "hardly" if both in near else "yes"
        yield Row(f"{in_words(one.first)} and {in_words(one.second)}", (*counts, phi, vif, word))


def _indices(page: CuesPage) -> Iterator[Row]:
    for one in () if page.apart is None else page.apart.indices[:5]:
        told = ", ".join(f"{_named(name)} {100 * share:.0f}{NBSP}%" for name, share in one.shares.items())
        yield Row(f"{one.index:.1f}", (told,))


def _planned(planned: NextReps) -> Iterator[Planned]:
    for rep in planned.reps:
        missing = [in_words(name) for name in planned.in_question if name not in rep.cues]
        left_out = f"without {_and(missing)}" if missing else ""
        yield Planned(_cell(rep.cues), left_out, "paid" if rep.paid else "not paid")


def _cell(cues: tuple[str, ...]) -> str:
    return _and([in_words(name) for name in cues]) if cues else "none of them"


def _ban(cues: tuple[str, ...], asked: tuple[str, ...]) -> str:
    return " ".join([*sorted(cues), *(f"!{name}" for name in sorted(set(asked) - set(cues)))])


def _choices(planned: NextReps) -> Iterator[tuple[str, str, bool]]:
    """Combinations that can be banned: those banned already, then those planned."""
    for ban in planned.banned:
        yield ban, _said(ban), True
    for cues in dict.fromkeys(rep.cues for rep in planned.reps):
        yield _ban(cues, planned.in_question), _cell(cues), False


def _said(ban: str) -> str:
    there = [in_words(name) for name in ban.split() if not name.startswith("!")]
    missing = [in_words(name[1:]) for name in ban.split() if name.startswith("!")]
    told = _and(there) if there else "none of them" if missing else ""
    return f"{told} without {_and(missing)}" if there and missing else told


def _changes(planned: NextReps) -> Iterator[Row]:
    for one in planned.pairs:
        before, after = one.before, one.after
        phis = ["never changed" if pair.phi is None else _number(pair.phi) for pair in (before, after)]
        vifs = ["infinite" if pair.vif is None else f"{pair.vif:.1f}" for pair in (before, after)]
        apart = "comes apart" if one.comes_apart else "told apart" if vifs[1] != "infinite" else "still tied"
        yield Row(
            f"{in_words(before.first)} and {in_words(before.second)}",
            (phis[0], phis[1], vifs[0], vifs[1], apart),
        )


def _foreseen(planned: NextReps) -> Iterator[Row]:
    for one in planned.foreseen:
        faded = "not within 2000 reps" if one.faded_after is None else f"{one.faded_after} reps"
        stands = "not within 2000 reps" if one.stands_after is None else f"{one.stands_after} reps"
        yield Row(one.way, (faded if one.faded_after != 0 else "already below", stands))


def _and(words: list[str]) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"
