"""The page Progress: how a dog comes on at a step, and how its mastered steps stand."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from nares.app import jobs
from nares.app.progress_page import ProgressPage
from nares.web.application import desk_of
from nares.web.progress.rows import rows_of
from nares.web.shell.answers import wrapped_json


@require_safe
def progress(request: HttpRequest, name: str) -> HttpResponse:
    page = _page(request, name)
    shown = {"page": page, "rows": rows_of(page), "query": request.GET.urlencode()}
    return render(request, "progress/page.html", shown)


@require_safe
def progress_json(request: HttpRequest, name: str) -> HttpResponse:
    return wrapped_json("progress-page/1", _page(request, name))


def _page(request: HttpRequest, name: str) -> ProgressPage:
    return jobs.progress_page(desk_of(request), name, step=request.GET.get("step", "").strip())
