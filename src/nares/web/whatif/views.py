"""The page What if of one dog: a form of sliders that asks for itself again. It writes nothing."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from nares.app import jobs
from nares.app.deeds import WhatIf
from nares.app.what_if_page import WhatIfPage
from nares.base.errors import NaresError, OutOfRange, Unknown
from nares.web.application import desk_of
from nares.web.shell.answers import wrapped_json
from nares.web.shell.errors import status_of
from nares.web.whatif.rows import NAMES, per_of, rows_of


@require_safe
def what_if(request: HttpRequest, name: str) -> HttpResponse:
    """Show the levels that were asked for; the programme's own beside a sentence where they cannot be."""
    fault, status = "", 200
    try:
        page = _page(request, name)
    except Unknown:
        raise
    except NaresError as error:
        page = jobs.what_if_page(desk_of(request), WhatIf(name))
        fault, status = str(error), status_of(error)
    shown = {"page": page, "rows": rows_of(page), "fault": fault, "query": request.GET.urlencode()}
    return render(request, "whatif/page.html", shown, status=status)


@require_safe
def what_if_json(request: HttpRequest, name: str) -> HttpResponse:
    return wrapped_json("what-if/1", _page(request, name))


def _page(request: HttpRequest, name: str) -> WhatIfPage:
    said = {level: _number(request.GET.get(level, ""), level) for level in NAMES}
    cap = said.pop("cap")
    return jobs.what_if_page(desk_of(request), WhatIf(name, **said, cap=None if cap is None else int(cap)))


def _number(text: str, name: str) -> float | None:
    if not text.strip():
        return None
    try:
        return int(text) if name == "cap" else round(float(text) / per_of(name), 6)
    except (ValueError, OverflowError):
        label = NAMES[name][0]
        raise OutOfRange(
            f"{label} is {text!r}. Give a number, {'in reps' if name == 'cap' else 'in per cent'}."
        ) from None
