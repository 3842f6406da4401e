"""The page of one session, and the deeds on its reps.

Conventions
-----------
A deed that succeeds answers with a redirect to the next rep that waits for a person, so that confirming
goes from rep to rep. A deed that fails answers with the whole page, the sentence beside the form and
everything that was typed.
"""

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_POST, require_safe

from nares.app import jobs
from nares.app.deeds import ConfirmReps, FollowEvents, SetAside
from nares.app.pages import RepLine, SessionPage
from nares.base.errors import NaresError, Refused, Unknown
from nares.web.application import desk_of
from nares.web.sessions.forms import CorrectForm, SetAsideForm, initial_of, unrounded
from nares.web.sessions.lanes import lanes_of, read_lanes_of
from nares.web.sessions.readings import HEADS, rep_views
from nares.web.shell.answers import done, wrapped_json
from nares.web.shell.errors import status_of
from nares.web.shell.person import person_of

SEEN_DIGITS = 16
CHANGED = "Rep {} was changed since this page was opened; it now stands as shown."


@require_safe
def session(request: HttpRequest, session: str, rep: int | None = None) -> HttpResponse:
    """The session with one rep opened: the one asked for, else the first that waits, else the first."""
    return _page(request, jobs.session_page(desk_of(request), session), rep)


@require_safe
def session_json(request: HttpRequest, session: str) -> HttpResponse:
    return wrapped_json("session/1", jobs.session_page(desk_of(request), session))


@require_POST
def confirm_all(request: HttpRequest, session: str) -> HttpResponse:
    """Stand by every rep that is only measured, as proposed."""
    asked = ConfirmReps(session, person_of(request))
    try:
        receipt = jobs.confirm_reps(desk_of(request), asked)
    except NaresError as error:
        return _failed(request, session, None, error)
    return done(request, receipt, reverse("session", args=[session]))


@require_POST
def confirm(request: HttpRequest, session: str, rep: int) -> HttpResponse:
    """Stand by one rep as proposed."""
    page = jobs.session_page(desk_of(request), session)
    proposed = line_of(page, rep).proposed
    try:
        if proposed is None:
            raise Refused(f"Rep {rep} has nothing to confirm. Correct it, or set it aside with a reason.")
        asked = ConfirmReps(session, person_of(request), (proposed,), seen=seen_of(request))
        receipt = jobs.confirm_reps(desk_of(request), asked)
    except NaresError as error:
        return _failed(request, session, rep, error)
    return done(request, receipt, _next_open(request, session, rep))


@require_POST
def follow(request: HttpRequest, session: str, rep: int) -> HttpResponse:
    """Let a rep people stand by follow its events, which were corrected since."""
    asked = FollowEvents(session, rep, person_of(request), seen_of(request))
    try:
        receipt = jobs.follow_events(desk_of(request), asked)
    except NaresError as error:
        return _failed(request, session, rep, error)
    return done(request, receipt, reverse("session-rep", args=[session, rep]))


@require_POST
def correct(request: HttpRequest, session: str, rep: int) -> HttpResponse:
    """Stand by one rep with other values than proposed, or change what was kept, with the reason."""
    page = jobs.session_page(desk_of(request), session)
    line = line_of(page, rep)
    before = line.start
    form = CorrectForm(request.POST)
    if _is_stale(request, line):
        return _page(request, page, rep, failed=_typed_before(form, line), status=409)
    if not form.is_valid():
        return _page(request, page, rep, correct=form, status=422)
    row, why = unrounded(form.corrected(before), before), form.cleaned_data["why"].strip()
    settled = line.state != "measured"
    if settled and line.state != "set aside" and row == line.kept:
        form.add_error(None, f"Rep {rep} already stands with these values. Change one, or leave it as it is.")
    elif not why and (settled or row != line.proposed):
        form.add_error("why", "Say why this differs; the reason stays beside the old value.")
    if form.errors:
        return _page(request, page, rep, correct=form, status=422)
    try:
        asked = ConfirmReps(session, person_of(request), (row,), why, seen_of(request))
        receipt = jobs.confirm_reps(desk_of(request), asked)
    except NaresError as error:
        form.add_error(None, str(error))
        return _page(request, page, rep, correct=form, status=status_of(error))
    return done(request, receipt, reverse("session-rep", args=[session, rep]))


@require_POST
def set_aside(request: HttpRequest, session: str, rep: int) -> HttpResponse:
    """Say that a rep was none, or cannot be used, and why."""
    page = jobs.session_page(desk_of(request), session)
    form = SetAsideForm(request.POST)
    if _is_stale(request, line_of(page, rep)):
        said = f"{CHANGED.format(rep)} Set it aside again if you still mean it."
        return _page(request, page, rep, failed=said, status=409)
    if not form.is_valid():
        return _page(request, page, rep, aside=form, status=422)
    asked = SetAside(session, rep, person_of(request), form.cleaned_data["why"], seen_of(request))
    try:
        receipt = jobs.set_aside(desk_of(request), asked)
    except NaresError as error:
        form.add_error(None, str(error))
        return _page(request, page, rep, aside=form, status=status_of(error))
    return done(request, receipt, _next_open(request, session, rep))


def _is_stale(request: HttpRequest, line: RepLine) -> bool:
    """Whether something newer is said of the rep than the page showed."""
    seen = seen_of(request)
    return seen is not None and line.seen > seen


def _typed_before(form: CorrectForm, line: RepLine) -> str:
    """Say that the rep changed meanwhile and what had been typed, so that nothing is lost."""
    said = CHANGED.format(line.rep)
    if not form.is_valid():
        return said
    now, typed = initial_of(line.start), initial_of(form.corrected(line.start))
    other = [f"{name} {typed[name]}" for name in now if typed[name] != now[name]]
    return f"{said} You had typed: {', '.join(other)}. Correct it again if you still mean it."


def seen_of(request: HttpRequest) -> int | None:
    """The newest entry about the rep that the page showed; None where it did not say."""
    said = request.POST.get("seen", "")
    return int(said) if said.isascii() and said.isdigit() and len(said) < SEEN_DIGITS else None


def line_of(page: SessionPage, rep: int) -> RepLine:
    """The line of one rep.

    Raises:
        Unknown: If the session has no such rep.
    """
    for line in page.reps:
        if line.rep == rep:
            return line
    raise Unknown(f"Session {page.line.session} has no rep {rep}. Its reps are listed on its page.")


def _next_open(request: HttpRequest, session: str, rep: int) -> str:
    """The address of the next rep that waits for a person; after the last one, of the one just done."""
    waiting = [line.rep for line in _waiting(jobs.session_page(desk_of(request), session))]
    later = [number for number in waiting if number > rep] or waiting or [rep]
    return reverse("session-rep", args=[session, later[0]])


def _failed(request: HttpRequest, session: str, rep: int | None, error: NaresError) -> HttpResponse:
    page = jobs.session_page(desk_of(request), session)
    return _page(request, page, rep, failed=str(error), status=status_of(error))


def _page(
    request: HttpRequest,
    page: SessionPage,
    rep: int | None,
    *,
    correct: CorrectForm | None = None,
    aside: SetAsideForm | None = None,
    failed: str = "",
    status: int = 200,
) -> HttpResponse:
    opened = _opened(page, rep)
    shown: dict[str, Any] = {
        "page": page,
        "views": rep_views(page.reps, page.reading),
        "heads": HEADS,
        "lanes": lanes_of(page),
        "read_lanes": read_lanes_of(page),
        "failed": failed,
        "sure": sum(line.proposed is not None and not line.low_certainty for line in _waiting(page)),
        "unsure": sum(line.low_certainty for line in _waiting(page)),
    }
    if opened is not None:
        place = page.reps.index(opened)
        shown["opened"] = shown["views"][place]
        shown["earlier"] = page.reps[place - 1].rep if place else None
        shown["later"] = page.reps[place + 1].rep if place + 1 < len(page.reps) else None
        shown["correct"] = correct or CorrectForm(initial=initial_of(opened.start))
        shown["aside"] = aside or SetAsideForm()
    return render(request, "sessions/page.html", shown, status=status)


def _opened(page: SessionPage, rep: int | None) -> RepLine | None:
    if rep is not None:
        return line_of(page, rep)
    return next(iter(_waiting(page)), page.reps[0] if page.reps else None)


def _waiting(page: SessionPage) -> list[RepLine]:
    """The reps that wait for a person."""
    return [line for line in page.reps if line.state == "measured"]
