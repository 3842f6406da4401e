"""Record: every entry newest first, what corrected what, and whether it all still holds together."""

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.http import urlencode
from django.views.decorators.http import require_POST, require_safe

from nares.app import jobs
from nares.app.pages import RecordPage
from nares.base.errors import NaresError, Unknown
from nares.web.application import desk_of
from nares.web.record.forms import AmendForm
from nares.web.shell.answers import done, wrapped_json
from nares.web.shell.errors import status_of
from nares.web.shell.person import person_of

LATE_S = 3600.0
"""An entry made this long after the fact is marked late. [s]"""


def _asked_page(request: HttpRequest) -> RecordPage:
    """The part of the record the address asks for."""
    number = request.GET.get("page", "1")
    if not (number.isascii() and number.isdigit() and 0 < int(number[:9]) and len(number) < 10):
        raise Unknown("There is no such page of the record. Pages count from 1.")
    verify = request.GET.get("verify") == "1"
    kind = request.GET.get("kind", "")
    return jobs.record_page(desk_of(request), page=int(number), kind=kind, verify=verify)


@require_safe
def record(request: HttpRequest) -> HttpResponse:
    page = _asked_page(request)
    amended = request.GET.get("amend", "")
    form = AmendForm(initial={"entry": amended}) if amended.isdigit() else AmendForm()
    return _show(request, page, form, opened=bool(amended))


@require_safe
def record_json(request: HttpRequest) -> HttpResponse:
    return wrapped_json("record/1", _asked_page(request))


@require_safe
def entry(request: HttpRequest, number: int) -> HttpResponse:
    """Go to the page of the record that holds this entry."""
    first = jobs.record_page(desk_of(request))
    if not 1 <= number <= first.total:
        raise Unknown(f"The record has no entry {number}; it ends at {first.total}. Look it up on Record.")
    page = (first.total - number) // max(len(first.entries), 1) + 1
    return redirect(f"{reverse('record')}?{urlencode({'page': page})}#entry-{number}")


@require_POST
def amend(request: HttpRequest) -> HttpResponse:
    """Correct one value of an entry in the open."""
    form = AmendForm(request.POST)
    status = 422
    if form.is_valid():
        try:
            receipt = jobs.amend(desk_of(request), form.asked(person_of(request)))
            return done(request, receipt, reverse("record"))
        except NaresError as error:
            form.add_error(None, str(error))
            status = status_of(error)
    return _show(request, jobs.record_page(desk_of(request)), form, opened=True, status=status)


def _show(
    request: HttpRequest, page: RecordPage, form: AmendForm, *, opened: bool, status: int = 200
) -> HttpResponse:
    shown: dict[str, Any] = {"page": page, "form": form, "opened": opened, "late_s": LATE_S}
    return render(request, "record/page.html", shown, status=status)
