"""The score of a line-up, and of a dog over its line-ups. Only runs that are open are in them."""

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from nares.app import jobs
from nares.app.lineups.score_pages import ScorePlot
from nares.app.lineups.scoring import Said, Score
from nares.web.application import desk_of
from nares.web.scoring.rows import lines_of, sides_of, timed
from nares.web.shell.answers import wrapped_json


@require_safe
def score(request: HttpRequest, lineup: str) -> HttpResponse:
    page = jobs.score_page(desk_of(request), lineup)
    shown = {"page": page.found, **_shown(page.found.score, page.found.said, page.plots)}
    return render(request, "scoring/lineup.html", shown)


@require_safe
def score_json(request: HttpRequest, lineup: str) -> HttpResponse:
    return wrapped_json("lineup-score/1", jobs.score_page(desk_of(request), lineup).found)


@require_safe
def dog_lineups(request: HttpRequest, name: str) -> HttpResponse:
    page = jobs.dog_lineups_page(desk_of(request), name)
    shown = {"page": page.found, "lines": lines_of(page.found)}
    shown |= _shown(page.found.score, page.found.said, page.plots)
    return render(request, "scoring/dog.html", shown)


@require_safe
def dog_lineups_json(request: HttpRequest, name: str) -> HttpResponse:
    return wrapped_json("dog-lineups/1", jobs.dog_lineups_page(desk_of(request), name).found)


def _shown(score: Score, said: Said, plots: tuple[ScorePlot, ...]) -> dict[str, Any]:
    """What both pages show of a score."""
    return {
        "score": score,
        "sides": sides_of(score, said),
        "timed": timed(score),
        "plots": {plot.of.replace("-", "_"): plot.svg for plot in plots},
    }
