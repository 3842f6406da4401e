"""The page Marks: how people mark, chosen by person, dog and period."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from nares.app import jobs
from nares.app.marks_page import MarksPage
from nares.base.errors import NaresError
from nares.web.application import desk_of
from nares.web.marking.rows import rows_of
from nares.web.shell.answers import wrapped_json
from nares.web.shell.errors import status_of

CHOICES = ("dog", "person", "since", "until")


@require_safe
def marks(request: HttpRequest) -> HttpResponse:
    fault, status, asked = "", 200, _asked(request)
    try:
        page = _page(request)
    except NaresError as error:
        # The choice cannot be answered; the page shows everything, and what was typed stays in the form.
        page = jobs.marks_page(desk_of(request))
        fault, status = str(error), status_of(error)
    shown = {
        "page": page,
        "rows": rows_of(page),
        "asked": asked,
        "fault": fault,
        "query": request.GET.urlencode(),
    }
    return render(request, "marking/page.html", shown, status=status)


@require_safe
def marks_json(request: HttpRequest) -> HttpResponse:
    return wrapped_json("marks-page/1", _page(request))


def _page(request: HttpRequest) -> MarksPage:
    return jobs.marks_page(desk_of(request), **_asked(request))


def _asked(request: HttpRequest) -> dict[str, str]:
    return {name: request.GET.get(name, "").strip() for name in CHOICES}
