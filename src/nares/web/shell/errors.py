"""Errors as pages: the sentence of the error, in the style of every page, with the right status.

Conventions
-----------
Unknown is 404, Refused 409, every other error a person is meant to read 422. An address that asks for
JSON gets the same sentence as ``{"schema": "error/1"}``. Anything else is a fault of the program: 500
with one calm sentence, the traceback only in the log.
"""

import logging
from collections.abc import Callable

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render

from nares.base.errors import NaresError, Refused, Unknown
from nares.web.shell.answers import wants_json, wrapped_json

log = logging.getLogger("nares.web")

TITLES = {
    400: "Not understood",
    403: "Not sent",
    404: "Not found",
    405: "Not possible here",
    409: "The record refuses",
    413: "Too large",
    422: "Cannot be used",
    500: "A fault in nares",
}


def status_of(error: NaresError) -> int:
    """The HTTP status that says the same as this error.

    >>> status_of(Unknown("No dog is called Rex.")), status_of(Refused("Already on the record."))
    (404, 409)
    """
    if isinstance(error, Unknown):
        return 404
    return 409 if isinstance(error, Refused) else 422


def error_page(request: HttpRequest, status: int, said: str) -> HttpResponse:
    """A whole page (or JSON) that says what went wrong and where to go on."""
    if wants_json(request):
        return wrapped_json("error/1", {"status": status, "error": said}, status=status)
    return render(
        request, "shell/error.html", {"title": TITLES.get(status, "Error"), "said": said}, status=status
    )


class ReadableErrors:
    """Turns errors that no view caught into pages."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        return self.get_response(request)

    def process_exception(self, request: HttpRequest, error: Exception) -> HttpResponse | None:
        if isinstance(error, NaresError):
            return error_page(request, status_of(error), str(error))
        return None


def not_found(request: HttpRequest, exception: Http404 | None = None) -> HttpResponse:
    return error_page(request, 404, "There is no page at this address. Start again from Today.")


def bad_request(request: HttpRequest, exception: Exception | None = None) -> HttpResponse:
    return error_page(request, 400, "The request could not be understood. Go back and try again.")


def server_fault(request: HttpRequest) -> HttpResponse:
    log.exception("No answer to %s", request.path)
    said = "nares could not answer this; the fault is its own. Nothing was half written; the log says more."
    return error_page(request, 500, said)


def no_token(request: HttpRequest, reason: str = "") -> HttpResponse:
    said = (
        "This form was opened too long ago, or in another window. Go back, reload the page and send it again."
    )
    return error_page(request, 403, said)
