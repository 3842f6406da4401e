"""The pages of scores: one line-up, and all line-ups of one dog. Only runs that are open are on them."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from nares.app.desk import Desk
from nares.app.lineups.scoring import CONFIDENCE, LineupScore, novelty, score_lineup
from nares.base.lineups import RunResult
from nares.design.scoring import Score, score_runs
from nares.design.scoring.answers import answers_of
from nares.design.scoring.counts import by_place, by_run
from nares.design.scoring.rates import Rate
from nares.design.scoring.score import Scored
from nares.design.scoring.words import WHOSE, Said, said_of
from nares.report.score_plots import FallBar, ShareBar, dprime_svg, falls_svg, shares_svg


@dataclass(frozen=True, slots=True)
class ScorePlot:
    """One drawing. ``of``: dprime, hits, false-alerts, lineups."""

    of: str
    svg: str


@dataclass(frozen=True, slots=True)
class ScorePage:
    """The score of one line-up, and its drawings, which are those of the first side scored."""

    found: LineupScore
    plots: tuple[ScorePlot, ...]


@dataclass(frozen=True, slots=True)
class DogLineupLine:
    """One line-up of a dog. ``found``, ``false_alert``: of the first side scored; None: nothing open yet."""

    lineup: str
    sealed_at: str
    place: str
    positions: int
    runs: int
    opened: int
    void: int
    closed: bool
    found: Rate | None
    false_alert: Rate | None


@dataclass(frozen=True, slots=True)
class DogScore:
    """All open runs of a dog together. Line-ups are newest first."""

    dog: str
    lines: tuple[DogLineupLine, ...]
    score: Score
    said: Said


@dataclass(frozen=True, slots=True)
class DogLineupsPage:
    """The score of a dog over its line-ups, and its drawings."""

    found: DogScore
    plots: tuple[ScorePlot, ...]


def score_page(desk: Desk, lineup: str) -> ScorePage:
    """The score of one line-up, as far as it is open.

    Raises:
        Unknown: If there is no such line-up.
    """
    kept = desk.store.lineup(lineup)
    sealed = kept.sealed
    found = score_lineup(
        sealed.lineup,
        sealed.dog,
        desk.store.run_results(lineup=sealed.lineup),
        commitment=sealed.commitment,
        runs=len(sealed.run_commitments),
        novel=novelty(sealed.lineup, sealed.asked),
    )
    return laid_out(found)


def dog_lineups_page(desk: Desk, dog: str) -> DogLineupsPage:
    """The score of a dog over all its line-ups, as far as they are open.

    Raises:
        Unknown: If there is no such dog.
    """
    name = desk.store.dog(dog).dog
    results = desk.store.run_results(dog=name)
    kept = desk.store.lineups(dog=name)
    novel = {key: new for one in kept for key, new in novelty(one.sealed.lineup, one.sealed.asked).items()}
    lines = tuple(
        with_counts(
            DogLineupLine(
                lineup=one.sealed.lineup,
                sealed_at=one.sealed_at,
                place=one.sealed.area.place,
                positions=len(one.sealed.area.spots),
                runs=len(one.sealed.run_commitments),
                opened=0,
                void=0,
                closed=one.closed_at is not None,
                found=None,
                false_alert=None,
            ),
            [result for result in results if result.lineup == one.sealed.lineup],
        )
        for one in kept
    )
    return dog_laid_out(name, lines, results, novel)


def laid_out(found: LineupScore) -> ScorePage:
    """A score with its drawings."""
    return ScorePage(found, tuple(_plots(found.score)))


def dog_laid_out(
    dog: str,
    lines: tuple[DogLineupLine, ...],
    results: Sequence[RunResult],
    novel: Mapping[tuple[str, str], bool | None],
) -> DogLineupsPage:
    """The score of a dog's runs with its drawings."""
    score = score_runs(results, confidence=CONFIDENCE, novel=novel)
    bars = _bars((line.lineup, line.found) for line in reversed(lines) if line.found)
    plots = []
    if bars:
        drawn = shares_svg(bars, title="Targets found in each line-up", along="line-up", up="targets found")
        plots.append(ScorePlot("lineups", drawn))
    return DogLineupsPage(DogScore(dog, lines, score, said_of(score)), (*plots, *_plots(score)))


def with_counts(line: DogLineupLine, results: Sequence[RunResult]) -> DogLineupLine:
    """A line with what the open runs of its line-up came to."""
    answers = answers_of(results, "call") or answers_of(results, "alert")
    void = sum(bool(one.void) for one in results)
    return replace(
        line,
        opened=len(results) - void,
        void=void,
        found=by_run(answers, confidence=CONFIDENCE).found if answers else None,
        false_alert=by_place(answers, confidence=CONFIDENCE).false_alert if answers else None,
    )


def _plots(score: Score) -> list[ScorePlot]:
    scored = score.call or score.alert
    return [] if scored is None else [ScorePlot(of, svg) for of, svg in _drawn(scored)]


def _drawn(scored: Scored) -> list[tuple[str, str]]:
    found, bias = scored.sensitivity, scored.bias
    drawn = []
    if found.model is not None:
        drawn.append(("dprime", dprime_svg(WHOSE[scored.side], found.d_prime, found.d_low, found.d_high)))
    if bars := _bars((str(place), rate) for place, rate in bias.hits.positions):
        title = "Targets found by position"
        drawn.append(("hits", shares_svg(bars, title=title, along="position", up="targets found")))
    if bias.false_alerts.choices:
        falls = [FallBar(str(one.position), one.chosen, one.expected) for one in bias.false_alerts.positions]
        drawn.append(("false-alerts", falls_svg(falls, title="False alerts by position", up="false alerts")))
    return drawn


def _bars(rates: Iterable[tuple[str, Rate]]) -> list[ShareBar]:
    return [
        ShareBar(name, rate.k, rate.n, rate.rate, rate.score_low, rate.score_high)
        for name, rate in rates
        if rate.rate is not None and rate.score_low is not None and rate.score_high is not None
    ]
