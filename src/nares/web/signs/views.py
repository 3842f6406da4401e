"""The page Signs of one dog: what was seen, what stands, and that somebody looked into it."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from nares.app import jobs
from nares.app.signs import SignsPage
from nares.base.errors import NaresError
from nares.web.application import desk_of
from nares.web.sessions.views import seen_of
from nares.web.shell.answers import done, wrapped_json
from nares.web.shell.errors import status_of
from nares.web.shell.person import person_of
from nares.web.signs.forms import ClearForm, NoteForm

HEADS = {1: "Mild", 2: "Plain: step back", 3: "Strong: stop", 4: "Emergency"}


@require_http_methods(["GET", "HEAD", "POST"])
def signs(request: HttpRequest, name: str) -> HttpResponse:
    """Show what stands and every sign to choose from; write down what was chosen."""
    page = jobs.signs_page(desk_of(request), name)
    if request.method != "POST":
        return _page(request, page, note=NoteForm(page=page, initial={"session": page.session_now}))
    form = NoteForm(request.POST, page=page)
    if not form.is_valid():
        return _page(request, page, note=form, status=422)
    try:
        receipt = jobs.note_signs(desk_of(request), form.asked(page.dog, person_of(request)))
    except NaresError as error:
        form.add_error(None, str(error))
        return _page(request, page, note=form, status=status_of(error))
    return done(request, receipt, reverse("signs", args=[page.dog]))


@require_POST
def clear(request: HttpRequest, name: str) -> HttpResponse:
    """Say that what stands was looked into."""
    page = jobs.signs_page(desk_of(request), name)
    form = ClearForm(request.POST)
    if not form.is_valid():
        return _page(request, page, clear=form, status=422)
    try:
        receipt = jobs.clear_signs(
            desk_of(request), form.asked(page.dog, person_of(request), seen_of(request))
        )
    except NaresError as error:
        form.add_error(None, str(error))
        return _page(request, page, clear=form, status=status_of(error))
    return done(request, receipt, reverse("signs", args=[page.dog]))


@require_safe
def signs_json(request: HttpRequest, name: str) -> HttpResponse:
    return wrapped_json("signs/1", jobs.signs_page(desk_of(request), name))


def _page(
    request: HttpRequest,
    page: SignsPage,
    *,
    note: NoteForm | None = None,
    clear: ClearForm | None = None,
    status: int = 200,
) -> HttpResponse:
    form = note or NoteForm(page=page)
    groups = [
        (level, head, page.to_do[level], [sign for sign in page.choices if sign.level == level])
        for level, head in HEADS.items()
    ]
    shown = {
        "page": page,
        "groups": groups,
        "form": form if note else clear or form,
        "note": form,
        "chosen": form.chosen(),
        "clear": clear or ClearForm(),
    }
    return render(request, "signs/page.html", shown, status=status)
