"""The page of one dog, and the form that adds one."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_safe

from nares.app import jobs
from nares.app.pages import DogPage, RiskPoint
from nares.base.errors import NaresError
from nares.web.application import desk_of
from nares.web.dogs.forms import AddDogForm
from nares.web.shell.answers import done, wrapped_json
from nares.web.shell.errors import status_of
from nares.web.today.plans import plan_of


@require_safe
def dog(request: HttpRequest, name: str) -> HttpResponse:
    page = jobs.dog_page(desk_of(request), name, page=_page(request))
    return render(request, "dogs/page.html", {"page": page, "plan": plan_of(page.card.call), **_ends(page)})


def _ends(page: DogPage) -> dict[str, RiskPoint | None]:
    """What the test does to a dog at each of its two rates, picked from the points told."""
    at = {} if page.risk is None else {point.rate: point for point in page.risk.points}
    ends = (None, None) if page.risk is None else (page.risk.not_ready, page.risk.ready)
    return {"risk_first": at.get(ends[0] or 0.0), "risk_last": at.get(ends[1] or 0.0)}


@require_safe
def dog_json(request: HttpRequest, name: str) -> HttpResponse:
    return wrapped_json("dog/1", jobs.dog_page(desk_of(request), name, page=_page(request)))


def _page(request: HttpRequest) -> int:
    """Which page of the list of sessions is asked for; the first where that is no number."""
    asked = request.GET.get("sessions", "1")
    return int(asked) if asked.isascii() and asked.isdigit() else 1


@require_http_methods(["GET", "HEAD", "POST"])
def add_dog(request: HttpRequest) -> HttpResponse:
    """Ask for a dog's name and breed; put it on the record."""
    if request.method != "POST":
        return _form(request, AddDogForm())
    form = AddDogForm(request.POST)
    if not form.is_valid():
        return _form(request, form, status=422)
    try:
        receipt = jobs.add_dog(desk_of(request), form.asked())
    except NaresError as error:
        form.add_error(None, str(error))
        return _form(request, form, status=status_of(error))
    return done(request, receipt, reverse("dog", args=[form.cleaned_data["name"]]))


def _form(request: HttpRequest, form: AddDogForm, status: int = 200) -> HttpResponse:
    return render(request, "dogs/add.html", {"form": form}, status=status)
