"""A score as tables to read: every number with what it is out of and both intervals.

Conventions
-----------
Where call and alert were the same in every run, one side is shown for both. Nothing
counted reads "never tried".
"""

from collections.abc import Iterator
from dataclasses import dataclass

from nares.app.lineups.score_pages import DogScore
from nares.app.lineups.scoring import (
    Compared,
    Falls,
    ForcedChoice,
    MaxRule,
    Rate,
    Said,
    Score,
    Scored,
    SideSaid,
    YesNo,
)
from nares.web.agreement.rows import Row
from nares.web.shell.measures import share

MINUS = "\u2212"
NEVER = "never tried"
WHOSE = {"call": "Handler's call", "alert": "Dog's alert"}
NOVEL = {None: "", True: ", new", False: ", used"}


@dataclass(frozen=True, slots=True)
class Head:
    """A count a trainer looks for first, in large: what, how many of how many, the interval."""

    what: str
    count: str
    interval: str


@dataclass(frozen=True, slots=True)
class SideRows:
    """One side's score, ready to show."""

    side: str
    name: str
    said: SideSaid
    heads: tuple[Head, ...]
    counts: tuple[Row, ...]
    fit: tuple[Row, ...]
    fit_head: tuple[str, ...]
    hits: tuple[Row, ...]
    falls: tuple[Row, ...]
    first: tuple[Row, ...]
    tests: tuple[Row, ...]
    smells: tuple[Row, ...]
    pairs: tuple[Row, ...]
    knowing: tuple[Row, ...]


@dataclass(frozen=True, slots=True)
class LineRow:
    """One line-up of a dog, with what it came to in words."""

    lineup: str
    sealed_at: str
    place: str
    said: str
    found: str
    false_alert: str


def sides_of(score: Score, said: Said) -> tuple[SideRows, ...]:
    """The sides to show: call first, the alert only where it tells something else."""
    sides = []
    if score.call and said.call:
        sides.append(_side(score.call, said.call))
    if score.alert and said.alert and not (score.call and _same(score)):
        sides.append(_side(score.alert, said.alert))
    return tuple(sides)


def lines_of(page: DogScore) -> tuple[LineRow, ...]:
    """A dog's line-ups, newest first."""
    return tuple(
        LineRow(
            line.lineup,
            line.sealed_at,
            line.place,
            f"{line.opened} of {line.runs} runs open"
            + (f", {line.void} void" if line.void else "")
            + (", closed" if line.closed else ""),
            _rate(line.found)[0] if line.found else "nothing open yet",
            _rate(line.false_alert)[0] if line.false_alert else "nothing open yet",
        )
        for line in page.lines
    )


def _same(score: Score) -> bool:
    both, call, alert = score.both, score.call, score.alert
    if both is None or call is None or alert is None:
        return False
    return not both.differ.k and both.differ.n == call.runs.runs == alert.runs.runs


def _side(scored: Scored, said: SideSaid) -> SideRows:
    runs, places, bias = scored.runs, scored.places, scored.bias
    return SideRows(
        side=scored.side,
        name=WHOSE[scored.side],
        said=said,
        heads=(
            _head("Found, of runs with a target", runs.found),
            _head("False alerts, of places without target", places.false_alert),
            _head("False alerts, of runs", runs.false_alert),
            _head("Clear, and rightly so", runs.clear_right),
        ),
        counts=tuple(_counts(scored)),
        fit=tuple(_fit(scored)),
        fit_head=_fit_head(scored),
        hits=tuple(Row(str(place), _rate(rate)) for place, rate in bias.hits.positions),
        falls=tuple(_falls(bias.false_alerts)),
        first=tuple(_falls(bias.first)) if bias.first else (),
        tests=tuple(_tests(scored)),
        smells=tuple(
            Row(
                line.smell or line.holds,
                (line.holds + NOVEL[line.novel], *_rate(line.rate)),
            )
            for line in scored.smells.lines
        ),
        pairs=tuple(_pairs(scored)),
        knowing=tuple(_knowing(scored)),
    )


def _head(what: str, rate: Rate) -> Head:
    if rate.rate is None:
        return Head(what, NEVER, "")
    return Head(what, f"{rate.k} of {rate.n}", share(rate.rate, rate.score_low, rate.score_high))


def _rate(rate: Rate) -> tuple[str, str]:
    """Count with the score interval, and the exact interval."""
    if rate.rate is None or rate.exact_low is None or rate.exact_high is None:
        return NEVER, ""
    said = share(rate.rate, rate.score_low, rate.score_high)
    return f"{rate.k} of {rate.n}, {said}", f"{100 * rate.exact_low:.0f} to {100 * rate.exact_high:.0f}"


def _counts(scored: Scored) -> Iterator[Row]:
    runs, places = scored.runs, scored.places
    for rate in (
        runs.found,
        runs.wrong,
        runs.unanswered,
        runs.false_alert,
        runs.blank_false,
        runs.blank_clear,
        runs.clear_right,
        runs.answer_right,
        places.hit,
        places.false_alert,
        *places.held,
    ):
        by = "place" if "place" in rate.what and "runs" not in rate.what else "run"
        yield Row(rate.what[:1].upper() + rate.what[1:], (by, *_rate(rate)))


def _fit_head(scored: Scored) -> tuple[str, ...]:
    return ("Runs", "Seen", "Expected") if scored.sensitivity.model == "max-rule" else ("What", "Value")


def _fit(scored: Scored) -> Iterator[Row]:
    """What the law of sensitivity rests on."""
    fit = scored.sensitivity.fit
    if isinstance(fit, MaxRule):
        for one in fit.forecasts:
            seen = one.seen
            name = f"{seen.places} places, {seen.targets} target{'' if seen.targets == 1 else 's'}"
            for what in ("right", "wrong", "clear"):
                if what == "right" and not seen.targets:
                    continue
                yield Row(f"{name}, {what}", (str(getattr(seen, what)), f"{getattr(one, what):.1f}"))
    elif isinstance(fit, YesNo):
        yield Row("Targets answered", (f"{fit.hits} of {fit.targets}, corrected {fit.hit_rate:.3f}",))
        false = f"{fit.false_alerts} of {fit.empties}, corrected {fit.false_rate:.3f}"
        yield Row("Empty places answered", (false,))
        yield Row("Log of the likelihood ratio at the bar", (f"{fit.ln_beta:.2f}".replace("-", MINUS),))
    elif isinstance(fit, ForcedChoice):
        yield Row("Right", (f"{fit.right} of {fit.runs} at {fit.places} places",))
        high = "no upper bound" if fit.exact_high is None else f"{fit.exact_high:.2f}"
        yield Row("d\u2032 by the exact interval of the share right", (f"{fit.exact_low:.2f} to {high}",))


def _falls(falls: Falls) -> Iterator[Row]:
    for one in falls.positions:
        yield Row(str(one.position), (str(one.chosen), f"{one.expected:.1f}", str(one.open_runs)))


def _tests(scored: Scored) -> Iterator[Row]:
    bias = scored.bias
    for falls in (bias.false_alerts, bias.first):
        if falls is not None and falls.test is not None:
            test = falls.test
            large = "" if test.p_large is None else f", by the chi-square law {_chance(test.p_large)}"
            yield Row(
                falls.what.capitalize(),
                (
                    f"exact multinomial, outcomes ordered by {test.ordering}, {test.how}"
                    + (f" (\u00b1 {test.error:.4f})" if test.error else ""),
                    f"{_chance(test.p_exact)}, mid-P {_chance(test.p_mid)}{large}; "
                    f"chi-square {test.chi_square:.2f} on {test.freedom}",
                ),
            )
    if bias.hits.test is not None:
        found = bias.hits.test
        more = f" (\u00b1 {found.error:.4f})" if found.error else ""
        yield Row(
            "Hits by position",
            (f"Fisher-Freeman-Halton, {found.how}{more}", _chance(found.p_exact)),
        )


def _chance(chance: float) -> str:
    return "below 0.0001" if chance < 0.0001 else f"{chance:.4f}"


def _pairs(scored: Scored) -> Iterator[Row]:
    carry, smells = scored.carry_over, scored.smells
    yield from _compared("Where the target lay the run before, against other places", carry.place)
    yield from _compared("Same place again, after a hit against after a false alert", carry.answer)
    yield from _compared("Distractors against blanks", smells.distractors_against_blanks)
    yield from _compared("New against used smells", smells.new_against_used)


def _knowing(scored: Scored) -> Iterator[Row]:
    found = scored.knowing
    yield from _compared("Found, known against blind", found.known_found)
    yield from _compared("Runs with a false alert, known against blind", found.known_false)
    yield from _compared("Found, single against double blind", found.double_found)
    yield from _compared("Runs with a false alert, single against double blind", found.double_false)


def _compared(name: str, pair: Compared | None) -> Iterator[Row]:
    if pair is None:
        yield Row(name, (NEVER, NEVER, "", ""))
        return
    apart = ""
    if pair.difference is not None and pair.low is not None and pair.high is not None:
        apart = f"{100 * pair.difference:+.0f} ({100 * pair.low:+.0f} to {100 * pair.high:+.0f})"
        apart = apart.replace("-", MINUS)
    yield Row(
        name,
        (
            _rate(pair.first)[0],
            _rate(pair.second)[0],
            apart,
            "" if pair.p_fisher is None else _chance(pair.p_fisher),
        ),
    )


def timed(score: Score) -> bool:
    """Whether any time was taken."""
    return any(one.n for one in (*score.timing.latency, *score.timing.stays))
