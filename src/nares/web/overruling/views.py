"""Deciding otherwise than the call: the form, taking it back, and what came of every such decision."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from nares.app import jobs
from nares.app.overrulings_page import OverrulingsPage
from nares.base.errors import NaresError
from nares.web.application import desk_of
from nares.web.overruling.forms import OverruleForm, WithdrawForm
from nares.web.sessions.views import seen_of
from nares.web.shell.answers import done, wrapped_json
from nares.web.shell.errors import status_of
from nares.web.shell.person import person_of


@require_http_methods(["GET", "HEAD", "POST"])
def overrule(request: HttpRequest, name: str) -> HttpResponse:
    """Show the call and the dog's overrulings; decide otherwise."""
    page = jobs.overrulings_page(desk_of(request), dog=name)
    if request.method != "POST":
        return _page(request, page)
    form = OverruleForm(request.POST, page=page)
    if not form.is_valid():
        return _page(request, page, overrule=form, status=422)
    try:
        asked = form.asked(page.dog, person_of(request), seen_of(request))
        receipt = jobs.overrule_call(desk_of(request), asked)
    except NaresError as error:
        form.add_error(None, str(error))
        return _page(request, page, overrule=form, status=status_of(error))
    return done(request, receipt, reverse("dog", args=[page.dog]))


@require_POST
def withdraw(request: HttpRequest, name: str) -> HttpResponse:
    """Take the overruling that stands back."""
    page = jobs.overrulings_page(desk_of(request), dog=name)
    form = WithdrawForm(request.POST)
    if not form.is_valid():
        return _page(request, page, withdraw=form, status=422)
    try:
        asked = form.asked(page.dog, person_of(request), seen_of(request))
        receipt = jobs.withdraw_overruling(desk_of(request), asked)
    except NaresError as error:
        form.add_error(None, str(error))
        return _page(request, page, withdraw=form, status=status_of(error))
    return done(request, receipt, reverse("dog", args=[page.dog]))


@require_safe
def overrule_json(request: HttpRequest, name: str) -> HttpResponse:
    return wrapped_json("overrulings/1", jobs.overrulings_page(desk_of(request), dog=name))


@require_safe
def overrulings(request: HttpRequest) -> HttpResponse:
    """Every overruling of every dog."""
    return _page(request, jobs.overrulings_page(desk_of(request)))


@require_safe
def overrulings_json(request: HttpRequest) -> HttpResponse:
    return wrapped_json("overrulings/1", jobs.overrulings_page(desk_of(request)))


def _page(
    request: HttpRequest,
    page: OverrulingsPage,
    *,
    overrule: OverruleForm | None = None,
    withdraw: WithdrawForm | None = None,
    status: int = 200,
) -> HttpResponse:
    shown = {
        "page": page,
        "call": page.call,
        "overrule": overrule or OverruleForm(page=page),
        "withdraw": withdraw or WithdrawForm(),
        "form": overrule or withdraw or OverruleForm(page=page),
    }
    return render(request, "overruling/page.html", shown, status=status)
