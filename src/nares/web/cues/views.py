"""The page Cues of one dog: what predicts pay, what it cannot tell apart, which reps would show it."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_POST, require_safe

from nares.app import jobs
from nares.app.answers import json_text
from nares.app.cues.cues_page import cues_answer
from nares.app.cues.values import CUES, AskCues, CuesPage
from nares.base.errors import NaresError, OutOfRange
from nares.web.application import desk_of
from nares.web.cues.forms import NameCueForm, asked_of
from nares.web.cues.rows import rows_of
from nares.web.shell.answers import JSON, done
from nares.web.shell.errors import status_of
from nares.web.shell.person import person_of


@require_safe
def cues(request: HttpRequest, name: str) -> HttpResponse:
    """Show the pay links of a dog and the reps that would break what goes together."""
    fault, status = "", 200
    try:
        page = jobs.cues_page(desk_of(request), asked_of(request, name))
    except OutOfRange as error:
        page, fault, status = jobs.cues_page(desk_of(request), AskCues(name)), str(error), 422
    return _page(request, page, NameCueForm(), fault=fault, status=status)


@require_safe
def cues_json(request: HttpRequest, name: str) -> HttpResponse:
    page = jobs.cues_page(desk_of(request), asked_of(request, name))
    return HttpResponse(json_text(cues_answer(page)), content_type=JSON)


@require_POST
def name_cue(request: HttpRequest, name: str) -> HttpResponse:
    """Give a cue a name; back to the dog's page of cues."""
    page = jobs.cues_page(desk_of(request), AskCues(name))
    form = NameCueForm(request.POST)
    if not form.is_valid():
        return _page(request, page, form, status=422)
    try:
        receipt = jobs.name_cue(desk_of(request), form.asked(person_of(request)))
    except NaresError as error:
        form.add_error("cue", str(error))
        return _page(request, page, form, status=status_of(error))
    return done(request, receipt, reverse("cues", args=[page.dog]) + "#own")


def _page(
    request: HttpRequest, page: CuesPage, form: NameCueForm, *, fault: str = "", status: int = 200
) -> HttpResponse:
    shown = {
        "page": page,
        "rows": rows_of(page),
        "form": form,
        "fault": fault or page.next_fault,
        "reps": request.GET.get("reps", "") or (len(page.next_reps.reps) if page.next_reps else 8),
        "query": request.GET.urlencode(),
        "vocabulary": CUES,
    }
    return render(request, "cues/page.html", shown, status=status)
