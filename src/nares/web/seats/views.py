"""The page of a seat: the code is typed here, and afterwards it is what this seat may see, by its role.

Conventions
-----------
The role comes from the seat the gate found and never from the request. A deed of another role is shut like
any other address; the jobs refuse it too.
"""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from nares.app import jobs
from nares.app.lineups.requests import LeaveSeat, TakeSeat
from nares.app.lineups.values import EvaluatingPage, HandlingPage, PlacingPage, Seat, SeatPage
from nares.base.errors import NaresError
from nares.web.application import desk_of
from nares.web.seats.cookie import drop_token, has_cookie, keep_token, seat_here, token_of
from nares.web.seats.forms import BeginForm, CloseForm, CodeForm, ObserveForm, PlaceForm, VoidForm
from nares.web.seats.gate import shut
from nares.web.seats.plan import plan_of
from nares.web.seats.rows import steps_of, times_at, twin_of, without_containers
from nares.web.shell.answers import wrapped_json
from nares.web.shell.errors import status_of
from nares.web.shell.fields import Form

OVER = "The seat this browser held is over: it was left, taken anew elsewhere, or its line-up is closed."
TAKEN = "This browser holds a seat already. Leave it before you take another."


@require_http_methods(["GET", "HEAD", "POST"])
def seat(request: HttpRequest) -> HttpResponse:
    """The seat's own page, or the field for its code."""
    held = seat_here(request)
    if held:
        if request.method == "POST":
            return shown(request, held, fault=TAKEN, status=409)
        return shown(request, held)
    if request.method != "POST":
        return _code(request, CodeForm(), over=has_cookie(request))
    form = CodeForm(request.POST)
    if not form.is_valid():
        return _code(request, form, status=422)
    try:
        taken = jobs.take_seat(desk_of(request), TakeSeat(form.cleaned_data["code"]))
    except NaresError as error:
        form.add_error(None, str(error))
        return _code(request, form, status=status_of(error))
    response = redirect("seat")
    keep_token(request, response, taken.token)
    return response


@require_safe
def seat_json(request: HttpRequest) -> HttpResponse:
    """What the seat's page shows, for a program and for the page that asks again."""
    held = seat_here(request)
    if held is None:
        return wrapped_json("seat/1", {"role": None, "seen": ""})
    return wrapped_json("seat/1", twin_of(held.role, page_of(request)))


@require_POST
def leave(request: HttpRequest) -> HttpResponse:
    """Stand up: the token counts no more, whoever else may hold a copy of it."""
    if seat_here(request):
        jobs.leave_seat(desk_of(request), LeaveSeat(token_of(request)))
    response = redirect("seat")
    drop_token(response)
    return response


@require_safe
def placing_pdf(request: HttpRequest) -> HttpResponse:
    """The placer's sheets, to print."""
    held = seat_here(request)
    if held is None or held.role != "placer":
        return shut(request, "The sheets for placing are for the placer's seat alone.")
    answer = HttpResponse(
        jobs.placing_sheet(desk_of(request), token_of(request)), content_type="application/pdf"
    )
    answer.headers["Content-Disposition"] = 'inline; filename="placing.pdf"'
    return answer


def page_of(request: HttpRequest) -> SeatPage:
    """What this request's seat sees."""
    return without_containers(jobs.seat_page(desk_of(request), token_of(request)))


def shown(
    request: HttpRequest, held: Seat, *, form: Form | None = None, fault: str = "", status: int = 200
) -> HttpResponse:
    """The page of a seat, with a form that was not taken and why, if there is one."""
    page = page_of(request)
    faults = [fault] if fault else []
    if form is not None:
        faults += [str(said) for said in form.non_field_errors()]
        faults += [
            f"{form[name].label}: {said}"
            for name, all_said in form.errors.items()
            if name != "__all__"
            for said in all_said
        ]
    told = {
        "seat": held,
        "page": page,
        "seen": twin_of(held.role, page)["seen"],
        "faults": faults,
        "typed": type(form).__name__ if form else "",
    }
    template, more = _by_role(request, page, form)
    return render(request, template, {**told, **more}, status=status)


def _by_role(request: HttpRequest, page: SeatPage, form: Form | None) -> tuple[str, dict[str, object]]:
    if isinstance(page, PlacingPage):
        return "seats/placer.html", _placing(request, page, form)
    if isinstance(page, HandlingPage):
        return "seats/handler.html", {"plan": plan_of(page.area)}
    return "seats/evaluator.html", _evaluating(request, page, form)


def _placing(request: HttpRequest, page: PlacingPage, form: Form | None) -> dict[str, object]:
    hidden = "hide" in request.GET
    steps = () if hidden else steps_of(page)
    asked = request.GET.get("step", "")
    at = min(max(int(asked), 1), len(steps) + 1) if asked.isdecimal() and len(asked) < 5 else 1
    run = page.run if steps else None
    return {
        "hidden": hidden and bool(steps_of(page)),
        "steps": steps,
        "at": at,
        "plan": plan_of(page.area, run.placed if run else ()),
        "place": form if isinstance(form, PlaceForm) else PlaceForm(),
        "run": run.run if run else page.run.run if page.run else None,
    }


def _evaluating(request: HttpRequest, page: EvaluatingPage, form: Form | None) -> dict[str, object]:
    last = page.last
    return {
        "plan": plan_of(page.area),
        "now": desk_of(request).now().isoformat(timespec="milliseconds"),
        "begin": form if isinstance(form, BeginForm) else BeginForm(page=page),
        "observe": form if isinstance(form, ObserveForm) else ObserveForm(area=page.area),
        "void": form if isinstance(form, VoidForm) else VoidForm(),
        "close": form if isinstance(form, CloseForm) else CloseForm(),
        "opened": plan_of(page.area, last.placed) if last and last.placed else None,
        "times": times_at(page.observed),
        "last_times": times_at(last.observed) if last else (),
        "asked_present": form.ticked() if isinstance(form, BeginForm) else (),
        "open_now": page.called and page.state == "observed",
    }


def _code(request: HttpRequest, form: CodeForm, *, over: bool = False, status: int = 200) -> HttpResponse:
    return render(request, "seats/code.html", {"form": form, "over": OVER if over else ""}, status=status)
