"""The seat a browser holds: a random token in a signed cookie that scripts cannot read.

Conventions
-----------
The cookie ends with the browser and counts only as long as the record knows its token: until the line-up is
closed or the seat is left. The signature only keeps made-up tokens from being looked up at all.
"""

from django.core.signing import BadSignature
from django.http import HttpRequest, HttpResponse

from nares.app import jobs
from nares.app.lineups.values import Seat
from nares.web.application import desk_of

COOKIE = "nares_seat"
HELD = "nares.seat"
"""Where the gate leaves the seat it found, in the WSGI environment; no header can be called so."""
TOKEN_LONGEST = 200


def has_cookie(request: HttpRequest) -> bool:
    return COOKIE in request.COOKIES


def token_of(request: HttpRequest) -> str:
    """The token this browser holds; empty when there is none or it was not made here."""
    try:
        token = request.get_signed_cookie(COOKIE, default="", salt=COOKIE) or ""
    except BadSignature:
        return ""
    return token if len(token) <= TOKEN_LONGEST else ""


def find_seat(request: HttpRequest) -> Seat | None:
    """The seat the record knows by this browser's token."""
    token = token_of(request)
    return jobs.seat_of(desk_of(request), token) if token else None


def seat_here(request: HttpRequest) -> Seat | None:
    """The seat the gate found for this request."""
    found: Seat | None = request.META.get(HELD)
    return found


def keep_token(request: HttpRequest, response: HttpResponse, token: str) -> None:
    """Hand the browser its token."""
    response.set_signed_cookie(
        COOKIE, token, salt=COOKIE, httponly=True, samesite="Strict", secure=request.is_secure()
    )


def drop_token(response: HttpResponse) -> None:
    """Take the token away from the browser."""
    response.delete_cookie(COOKIE, samesite="Strict")
