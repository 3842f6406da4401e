"""What a dog's history says about cues and pay, from the record or from a rep table alone.

The order of planned reps and the starts of their choice come from a digest of the history and the question,
so that the same question has the same answer on every page. It is no secret order: for blind work a line-up
is drawn.
"""

import hashlib
from collections.abc import Sequence
from dataclasses import asdict, replace
from pathlib import Path
from typing import Any

from nares.app.answers import answer, rounded
from nares.app.cues.naming import own_cues
from nares.app.cues.values import AskCues, CuesPage, Rule, Strengths
from nares.app.desk import Desk
from nares.app.files import read_text
from nares.base.errors import NaresError, NotEnoughData
from nares.base.vocab import Rep
from nares.decide import read_rep_table
from nares.design.chance import Stream
from nares.design.cues.at_position import trials_of_runs
from nares.design.cues.cells import ban_of
from nares.design.cues.links import Links, links_of
from nares.design.cues.planning import USUAL_REPS, NextReps, next_reps
from nares.design.cues.strength import USUAL, Parameters
from nares.design.cues.trials import History, Trial, history_of, reps_of_dog
from nares.design.cues.verdict import verdict_of
from nares.design.cues.vocabulary import TARGET, in_words
from nares.report.cue_plots import CueLine, strengths_svg

NAME_DRAWN = 22
"""Longer names are cut in the picture, never in the tables. [characters]"""


def cues_page(desk: Desk, asked: AskCues) -> CuesPage:
    """The cues of a dog on the record: its confirmed reps and the places of its line-up runs, oldest first.

    Raises:
        Unknown: If there is no such dog.
        OutOfRange: If a parameter of the rule cannot be.
    """
    dog = desk.store.dog(asked.dog).dog
    reps = [row.rep for row in desk.store.reps(dog=dog)]
    runs = trials_of_runs(desk.store.run_results(dog=dog))
    history = history_of(reps, runs)
    if runs:
        history = replace(history, notes=(*history.notes, _runs_note(len(runs))))
    page = _page(replace(asked, dog=dog), history) if history.trials else _empty(dog, parameters_of(asked))
    return replace(page, own=own_cues(desk), course_svg=_drawn(page))


def cues_table(table: Path, asked: AskCues) -> CuesPage:
    """The cues of a dog by a rep table alone.

    Raises:
        Unusable: If the table has a fault, naming every one.
        NotEnoughData: If it holds no reps.
        Unknown: If it has no rep of this dog, or a ban or a question names a cue that never was there.
        OutOfRange: If a parameter or the number of reps cannot be.
    """
    reps = read_rep_table(read_text(table)).reps
    if not reps:
        raise NotEnoughData(f"The rep table {table.name} holds no reps. Add one row for each rep.")
    return cues_of_reps(reps, asked)


def cues_of_reps(reps: Sequence[Rep], asked: AskCues, *, drawn: bool = False) -> CuesPage:
    """The cues of a dog by these reps alone; ``drawn``: with the picture.

    Raises:
        Unknown: If none of them is of this dog, or a ban or a question names a cue that never was there.
        NotEnoughData: If there are none.
        OutOfRange: If a parameter or the number of reps cannot be.
    """
    page = _page(asked, history_of(reps_of_dog(reps, asked.dog)), strict=True)
    return replace(page, course_svg=_drawn(page)) if drawn else page


def parameters_of(asked: AskCues) -> Parameters:
    """The parameters of the rule as asked, the usual ones where nothing is said."""
    said = {"salience": asked.salience, "place": asked.place, "rate_unpaid": asked.rate_unpaid}
    given = {name: value for name, value in said.items() if value is not None}
    return replace(USUAL, **given, saliences=dict(asked.saliences))


def _page(asked: AskCues, history: History, *, strict: bool = False) -> CuesPage:
    links = links_of(history, parameters_of(asked))
    planned, fault = None, ""
    try:
        planned = _planned(asked, links, history.trials)
    except NaresError as error:
        if strict:
            raise
        fault = str(error)
    used = links.course.parameters
    return CuesPage(
        asked.dog,
        links.reps,
        links.sessions,
        verdict_of(links),
        links.cues,
        links.place,
        links.apart,
        links.together,
        planned,
        fault,
        _rule(used),
        Strengths(links.course.names, links.course.sessions, tuple(map(tuple, links.course.after.tolist()))),
        links.notes,
        (),
    )


def _planned(asked: AskCues, links: Links, trials: Sequence[Trial]) -> NextReps:
    return next_reps(
        links,
        reps=USUAL_REPS if asked.reps is None else asked.reps,
        banned=[ban_of(ban) for ban in asked.bans if ban.strip()],
        questioned=asked.about,
        draws=Stream(_seed(asked, trials)),
    )


def _seed(asked: AskCues, trials: Sequence[Trial]) -> bytes:
    last = trials[-1]
    said = (asked.dog, asked.reps, sorted(asked.bans), asked.about, len(trials), last.session, last.at)
    return hashlib.sha256(repr(said).encode()).digest()


def _drawn(page: CuesPage) -> str:
    """The picture of the strengths: the target, then the strongest other cues."""
    if not page.strengths.sessions:
        return ""
    places = {name: number for number, name in enumerate(page.strengths.sessions, start=1)}
    columns = dict(zip(page.strengths.cues, zip(*page.strengths.after, strict=True), strict=True))
    order = sorted(page.cues, key=lambda one: (one.cue != TARGET, -abs(one.strength)))
    lines = [
        CueLine(
            _short(in_words(one.cue)),
            columns[one.cue],
            places[one.first],
            None if one.first_apart is None else places[one.first_apart],
        )
        for one in order
    ]
    return strengths_svg(lines, page.strengths.sessions)


def _runs_note(places: int) -> str:
    are = "place of a line-up run counts as a rep" if places == 1 else "places of line-up runs count as reps"
    return f"{places} {are}: an alert at a target counts as paid, every other visit as unpaid."


def _short(name: str) -> str:
    return name if len(name) <= NAME_DRAWN else f"{name[: NAME_DRAWN - 1]}…"


def _rule(used: Parameters) -> Rule:
    return Rule(used.salience, used.place, used.rate, used.rate_unpaid, dict(used.saliences), used.scaled)


def _empty(dog: str, parameters: Parameters) -> CuesPage:
    nothing = Strengths((), (), ())
    return CuesPage(
        dog, 0, 0, None, (), (0.0, 0.0, 0.0), None, (), None, "", _rule(parameters), nothing, (), ()
    )


def cues_answer(page: CuesPage) -> dict[str, Any]:
    """Lay the links out as ``cues/1``; the drawing stays on the page."""
    tangled, planned = page.apart, page.next_reps
    body = {
        "dog": page.dog,
        "reps": page.reps,
        "sessions": page.sessions,
        "verdict": None if page.verdict is None else asdict(page.verdict),
        "cues": [_link(asdict(one)) for one in page.cues],
        "inseparable": [] if tangled is None else [list(pair) for pair in tangled.inseparable],
        "opposites": [] if tangled is None else [list(pair) for pair in tangled.opposites],
        "always": [] if tangled is None else list(tangled.always),
        "tied_sets": [] if tangled is None else [list(one) for one in tangled.sets],
        "nearly": [] if tangled is None else [asdict(one) for one in tangled.nearly],
        "pairs": [] if tangled is None else [asdict(one) for one in tangled.pairs],
        "condition_indices": [] if tangled is None else [asdict(one) for one in tangled.indices],
        "together": [asdict(one) for one in page.together],
        "next_reps": [] if planned is None else [asdict(one) for one in planned.reps],
        "next": None if planned is None else _next(planned),
        "next_fault": page.next_fault,
        "place": list(page.place),
        "rule": asdict(page.rule),
        "strengths": asdict(page.strengths),
        "notes": list(page.notes),
        "own": [asdict(one) for one in page.own],
    }
    laid_out: dict[str, Any] = rounded(body)
    return answer("cues/1", laid_out)


def _link(link: dict[str, Any]) -> dict[str, Any]:
    overall = link.pop("overall")
    there, missing = overall["with_it"], overall["without_it"]
    name = link.pop("cue")
    return {
        "cue": name,
        "reps_with": there["reps"],
        "reps_without": missing["reps"],
        "pay_with": there["rate"],
        "pay_without": missing["rate"],
        "delta_p": overall["delta_p"],
        "strength": link.pop("strength"),
        "pay_with_interval": [there["low"], there["high"]],
        "pay_without_interval": [missing["low"], missing["high"]],
        "delta_p_interval": [overall["low"], overall["high"]],
        **link,
    }


def _next(planned: NextReps) -> dict[str, Any]:
    body = asdict(planned)
    del body["reps"]
    body["pairs"] = [{**asdict(one), "comes_apart": one.comes_apart} for one in planned.pairs]
    return body
