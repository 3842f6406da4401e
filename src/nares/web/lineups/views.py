"""The pages of line-ups: the list, one line-up, its call sheet, its opened key, and closing it."""

from dataclasses import replace

import msgspec
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.text import slugify
from django.views.decorators.http import require_POST, require_safe

from nares.app import jobs
from nares.app.lineups.values import LineupPage, LineupsPage
from nares.base.errors import NaresError, Refused
from nares.web.application import desk_of
from nares.web.lineups import rows
from nares.web.lineups.drawing import plan_of
from nares.web.lineups.forms import CloseForm
from nares.web.lineups.words import BLINDINGS, shape_words
from nares.web.shell.answers import JSON, done, wrapped_json
from nares.web.shell.errors import status_of
from nares.web.shell.person import person_of


@require_safe
def lineups(request: HttpRequest) -> HttpResponse:
    """Every line-up, newest first, or those of one dog."""
    page, dog = _asked(request)
    lines = [(line, shape_words(line.shape), BLINDINGS[line.aim][0].lower()) for line in page.lines]
    return render(request, "lineups/list.html", {"page": page, "lines": lines, "dog": dog})


@require_safe
def lineups_json(request: HttpRequest) -> HttpResponse:
    return wrapped_json("lineups/1", _asked(request)[0])


@require_safe
def lineup(request: HttpRequest, lineup: str) -> HttpResponse:
    return _page(request, _one(request, lineup))


@require_safe
def lineup_json(request: HttpRequest, lineup: str) -> HttpResponse:
    return wrapped_json("lineup/1", _one(request, lineup))


@require_safe
def calls_pdf(request: HttpRequest, lineup: str) -> HttpResponse:
    """The call sheet to print: runs and places, nothing of the key."""
    made = jobs.call_sheet(desk_of(request), lineup)
    answer = HttpResponse(made, content_type="application/pdf")
    answer.headers["Content-Disposition"] = f'inline; filename="calls-{slugify(lineup) or "line-up"}.pdf"'
    return answer


@require_safe
def key_json(request: HttpRequest, lineup: str) -> HttpResponse:
    """The opened key by itself, as a file to check."""
    page = _one(request, lineup)
    if page.key is None:
        raise Refused(f"The key of {page.lineup} is sealed. It is opened when the line-up is closed.")
    answer = HttpResponse(msgspec.json.format(msgspec.json.encode(page.key)), content_type=JSON)
    name = f"key-{slugify(page.lineup) or 'line-up'}.json"
    answer.headers["Content-Disposition"] = f'attachment; filename="{name}"'
    return answer


@require_POST
def close(request: HttpRequest, lineup: str) -> HttpResponse:
    """Open the whole key; runs that are left become void, with the reason given."""
    page = _one(request, lineup)
    form = CloseForm(request.POST, left=rows.left_of(page))
    if not form.is_valid():
        return _page(request, page, form, status=422)
    try:
        receipt = jobs.close_lineup(desk_of(request), form.asked(page.lineup, person_of(request)))
    except NaresError as error:
        form.add_error(None, str(error))
        return _page(request, page, form, status=status_of(error))
    return done(request, receipt, reverse("lineup", args=[page.lineup]))


def _asked(request: HttpRequest) -> tuple[LineupsPage, str]:
    """The list asked for, and the dog it is of; empty: all."""
    page = jobs.lineups_page(desk_of(request))
    dog = request.GET.get("dog", "")
    if not dog:
        return page, ""
    return replace(page, lines=tuple(line for line in page.lines if line.dog == dog)), dog


def _one(request: HttpRequest, lineup: str) -> LineupPage:
    """One line-up; what takes seconds to reckon only where it is asked for."""
    return jobs.lineup_page(desk_of(request), lineup, reckon=request.GET.get("guess") == "1")


def _page(
    request: HttpRequest, page: LineupPage, form: CloseForm | None = None, *, status: int = 200
) -> HttpResponse:
    left = rows.left_of(page)
    shown = {
        "page": page,
        "plan": plan_of(page.area),
        "facts": rows.facts_of(page),
        "runs": rows.rows_of(page),
        "guesses": [(guess, rows.guess_words(guess)) for guess in page.guesses],
        "seats": rows.seats_of(page),
        "left": left,
        "opened": sum(run.state == "open" for run in page.runs),
        "void": sum(run.state == "void" for run in page.runs),
        "form": form or CloseForm(left=left),
        "key": msgspec.json.format(msgspec.json.encode(page.key)).decode() if page.key else "",
    }
    return render(request, "lineups/page.html", shown, status=status)
