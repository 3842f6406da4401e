"""The pages that set two observers side by side: of one session, and over all sessions both have seen."""

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from nares.app import jobs
from nares.app.agreement_page import AgreementPage
from nares.base.errors import NaresError
from nares.web.agreement.rows import rows_of
from nares.web.application import desk_of
from nares.web.shell.answers import wrapped_json
from nares.web.shell.errors import status_of


@require_safe
def of_session(request: HttpRequest, session: str) -> HttpResponse:
    return _shown(request, session=session)


@require_safe
def of_session_json(request: HttpRequest, session: str) -> HttpResponse:
    return wrapped_json("agreement-page/1", _page(request, session=session))


@require_safe
def over_sessions(request: HttpRequest) -> HttpResponse:
    return _shown(request, dog=request.GET.get("dog", "").strip() or None)


@require_safe
def over_sessions_json(request: HttpRequest) -> HttpResponse:
    return wrapped_json("agreement-page/1", _page(request, dog=request.GET.get("dog", "").strip() or None))


def _page(request: HttpRequest, **narrowed: str | None) -> AgreementPage:
    first, second = (request.GET.get(name, "").strip() for name in ("first", "second"))
    return jobs.agreement_page(desk_of(request), first=first, second=second, **narrowed)


def _shown(request: HttpRequest, **narrowed: str | None) -> HttpResponse:
    fault, status = "", 200
    try:
        page = _page(request, **narrowed)
    except NaresError as error:
        # The choice cannot be answered, the page can: unless there is no such session at all.
        page = jobs.agreement_page(desk_of(request), session=narrowed.get("session"))
        fault, status = str(error), status_of(error)
    shown: dict[str, Any] = {
        "page": page,
        "rows": rows_of(page),
        "fault": fault,
        "dogs": [card.name for card in jobs.today_page(desk_of(request)).dogs] if not page.session else [],
        "query": request.GET.urlencode(),
    }
    return render(request, "agreement/page.html", shown, status=status)
