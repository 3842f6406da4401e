"""The session card: one rep after another, the whole plan below; taken, printed, and the handler's."""

from dataclasses import dataclass

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.text import slugify
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from nares.app import jobs
from nares.app.card_values import CardRep, SessionCard
from nares.app.deeds import TakeCard
from nares.base.errors import NaresError
from nares.web.application import desk_of
from nares.web.card.forms import RationForm
from nares.web.shell.answers import done, wrapped_json
from nares.web.shell.errors import status_of
from nares.web.shell.person import person_of


@dataclass(frozen=True, slots=True)
class Panel:
    """One rep as it is shown large, with the numbers before and after; after the last comes the end."""

    rep: CardRep
    before: int | None
    after: int
    now: bool


@require_safe
def card(request: HttpRequest, name: str) -> HttpResponse:
    page = jobs.card_page(desk_of(request), name)
    return _shown(request, page, RationForm(initial=_said(page)))


@require_safe
def card_json(request: HttpRequest, name: str) -> HttpResponse:
    return wrapped_json("card/1", jobs.card_page(desk_of(request), name))


@require_safe
def card_pdf(request: HttpRequest, name: str) -> HttpResponse:
    """The card on one page, to print."""
    made = jobs.printed_card(desk_of(request), name, paper=request.GET.get("paper", "a4"))
    answer = HttpResponse(made, content_type="application/pdf")
    answer.headers["Content-Disposition"] = f'inline; filename="card-{slugify(name) or "dog"}.pdf"'
    return answer


@require_safe
def handler(request: HttpRequest, name: str) -> HttpResponse:
    return render(request, "card/handler.html", {"page": jobs.handler_page(desk_of(request), name)})


@require_safe
def handler_json(request: HttpRequest, name: str) -> HttpResponse:
    return wrapped_json("handler-card/1", jobs.handler_page(desk_of(request), name))


@require_POST
def take(request: HttpRequest, name: str) -> HttpResponse:
    """Put the card on the record before the first rep."""
    seen = request.POST.get("seen", "")
    asked = TakeCard(name, person_of(request), int(seen) if seen.isdecimal() else None)
    try:
        receipt = jobs.take_card(desk_of(request), asked)
    except NaresError as error:
        page = jobs.card_page(desk_of(request), name)
        form = RationForm(initial=_said(page))
        return _shown(request, page, form, fault=str(error), status=status_of(error))
    return done(request, receipt, reverse("card", args=[name]))


@require_http_methods(["POST"])
def ration(request: HttpRequest, name: str) -> HttpResponse:
    """Say what the dog is fed today."""
    form = RationForm(request.POST)
    status = 422
    if form.is_valid():
        try:
            receipt = jobs.set_ration(desk_of(request), form.asked(name, person_of(request)))
            return done(request, receipt, reverse("card", args=[name]))
        except NaresError as error:
            form.add_error(None, str(error))
            status = status_of(error)
    return _shown(request, jobs.card_page(desk_of(request), name), form, status=status)


def _shown(
    request: HttpRequest, page: SessionCard, form: RationForm, *, fault: str = "", status: int = 200
) -> HttpResponse:
    at = _rep_asked(request, len(page.reps))
    panels = [
        Panel(rep, rep.rep - 1 if rep.rep > 1 else None, rep.rep + 1, rep.rep == at) for rep in page.reps
    ]
    shown = {
        "page": page,
        "panels": panels,
        "at": at,
        "ended": at > len(page.reps),
        "seen": page.call_entry or 0,
        "form": form,
        "fault": fault,
    }
    return render(request, "card/page.html", shown, status=status)


def _rep_asked(request: HttpRequest, reps: int) -> int:
    """The rep to show large, from 1; one past the last is the end. What is no number is the first."""
    asked = request.GET.get("rep", "")
    return min(max(int(asked), 1), reps + 1) if asked.isdecimal() and len(asked) < 6 else 1


def _said(page: SessionCard) -> dict[str, object]:
    """What was last said of today's food, to change a number of it."""
    food = page.food
    if food is None:
        return {"rewards_per_rep": 1}
    return {
        "ration_g": food.ration_g,
        "reward_g": food.reward_g,
        "bowl_g": food.bowl_g,
        "rewards": food.rewards,
        "rewards_per_rep": food.rewards_per_rep,
    }
