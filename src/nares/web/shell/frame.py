"""What the frame around every page needs."""

from typing import Any

from django.http import HttpRequest

from nares import __version__
from nares.web.application import DESK
from nares.web.shell.person import person_of


def frame(request: HttpRequest) -> dict[str, Any]:
    """Version, who is acting, and the address to come back to."""
    here = request.get_full_path() if request.method == "GET" else "/"
    person = person_of(request) if DESK in request.META else "trainer"
    return {"version": __version__, "person": person, "here": here}
