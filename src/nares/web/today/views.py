"""Today: every dog, what to do next and why."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from nares.app import jobs
from nares.web.application import desk_of
from nares.web.shell.answers import wrapped_json
from nares.web.today.plans import plan_of


@require_safe
def today(request: HttpRequest) -> HttpResponse:
    page = jobs.today_page(desk_of(request))
    cards = [(card, plan_of(card.call)) for card in page.dogs]
    return render(request, "today/page.html", {"page": page, "cards": cards})


@require_safe
def today_json(request: HttpRequest) -> HttpResponse:
    return wrapped_json("today/1", jobs.today_page(desk_of(request)))
