"""The timeline page, its twin, and the address where changes arrive.

Conventions
-----------
The page hands its values to the scripts as JSON inside itself; changes come as JSON in small batches, each
change with an id of its own, and are answered with what became of each. Without scripts the page shows all
that stands, and reps are corrected on the session's page.
"""

import msgspec
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_POST, require_safe

from nares.app import jobs
from nares.app.pages import TimelinePage
from nares.web.application import desk_of
from nares.web.sessions.lanes import lanes_of
from nares.web.shell.answers import wrapped_json
from nares.web.shell.person import person_of
from nares.web.timeline.batches import asked_of, batch_from


@require_safe
def timeline(request: HttpRequest, session: str) -> HttpResponse:
    """The reading with everybody's corrections."""
    return _page(request, jobs.timeline_page(desk_of(request), session))


@require_safe
def own_sheet(request: HttpRequest, session: str) -> HttpResponse:
    """A sheet of one's own: the machine's reading is not shown, not even sent."""
    return _page(request, jobs.timeline_page(desk_of(request), session, own=person_of(request)))


@require_safe
def timeline_json(request: HttpRequest, session: str) -> HttpResponse:
    return wrapped_json("timeline/1", jobs.timeline_page(desk_of(request), session))


@require_safe
def own_sheet_json(request: HttpRequest, session: str) -> HttpResponse:
    return wrapped_json("timeline/1", jobs.timeline_page(desk_of(request), session, own=person_of(request)))


@require_POST
def edits_json(request: HttpRequest, session: str) -> HttpResponse:
    """Take a batch of changes and say what became of each, and what stands now."""
    batch, person = batch_from(request.body), person_of(request)
    done = jobs.correct_events(desk_of(request), asked_of(batch, session, person))
    own = person if batch.sheet == "own" else ""
    now = jobs.timeline_page(desk_of(request), session, own=own)
    answer = {
        "saved": done.saved,
        "refused": dict(done.refused),
        "reading_entry": now.reading_entry,
        "edits": now.edits,
        "reps": now.reps,
    }
    return wrapped_json("edits/1", answer)


def _page(request: HttpRequest, page: TimelinePage) -> HttpResponse:
    shown = {
        "page": page,
        "own": page.sheet == "own",
        "data": msgspec.to_builtins(page) | {"page": None, "person": person_of(request)},
        "lanes": lanes_of(page.page) if page.page else None,
    }
    return render(request, "timeline/page.html", shown)
