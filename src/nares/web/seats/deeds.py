"""The deeds of the seats: one address each, open to the roles that may do it and to nobody else."""

from collections.abc import Callable
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_POST

from nares.app import jobs
from nares.app.lineups.values import EvaluatingPage, HandlingPage, Seat
from nares.base.errors import NaresError
from nares.base.lineups import Role
from nares.web.application import desk_of
from nares.web.seats.cookie import seat_here, token_of
from nares.web.seats.forms import (
    BeginForm,
    CallForm,
    CloseForm,
    ObserveForm,
    OpenForm,
    PlaceForm,
    VoidForm,
)
from nares.web.seats.gate import shut
from nares.web.seats.views import page_of, shown
from nares.web.shell.answers import done
from nares.web.shell.errors import status_of

OTHERS = "This deed belongs to another seat of the line-up."
NO_SEAT = "There is no seat in this browser. Type the code of your seat first."


@require_POST
def place(request: HttpRequest) -> HttpResponse:
    """The run is set, and the placer out of sight."""
    return _do(request, ("placer",), lambda held: PlaceForm(request.POST), jobs.place_run)


@require_POST
def begin(request: HttpRequest) -> HttpResponse:
    """The run begins, with these people present."""

    def form(held: Seat) -> BeginForm:
        page = page_of(request)
        assert isinstance(page, EvaluatingPage)
        return BeginForm(request.POST, page=page)

    return _do(request, ("evaluator",), form, jobs.begin_run)


@require_POST
def call(request: HttpRequest) -> HttpResponse:
    """The handler's call; sent twice it counts once."""

    def form(held: Seat) -> CallForm:
        page = page_of(request)
        assert isinstance(page, HandlingPage)
        return CallForm(request.POST, area=page.area)

    return _do(request, ("handler",), form, jobs.make_call)


@require_POST
def observe(request: HttpRequest) -> HttpResponse:
    """What was seen while the dog worked."""

    def form(held: Seat) -> ObserveForm:
        page = page_of(request)
        assert isinstance(page, EvaluatingPage)
        return ObserveForm(request.POST, area=page.area)

    return _do(request, ("evaluator", "recorder"), form, jobs.observe_run)


@require_POST
def open_run(request: HttpRequest) -> HttpResponse:
    """What lay there, once the call and the observation are in."""
    return _do(request, ("evaluator",), lambda held: OpenForm(request.POST), jobs.open_run)


@require_POST
def void(request: HttpRequest) -> HttpResponse:
    """The run does not count, for a reason."""
    return _do(request, ("evaluator",), lambda held: VoidForm(request.POST), jobs.void_run)


@require_POST
def close(request: HttpRequest) -> HttpResponse:
    """The whole key is opened; runs that are left are void."""
    return _do(request, ("evaluator",), lambda held: CloseForm(request.POST), jobs.close_lineup)


def _do(
    request: HttpRequest,
    roles: tuple[Role, ...],
    form_of: Callable[[Seat], Any],
    deed: Callable[[Any, Any], Any],
) -> HttpResponse:
    held = seat_here(request)
    if held is None:
        return shut(request, NO_SEAT)
    if held.role not in roles:
        return shut(request, OTHERS)
    form = form_of(held)
    if not form.is_valid():
        return shown(request, held, form=form, status=422)
    try:
        receipt = deed(desk_of(request), form.asked(token_of(request), held))
    except NaresError as error:
        form.add_error(None, str(error))
        return shown(request, held, form=form, status=status_of(error))
    return done(request, receipt, "/seat/")
