"""The gate: which addresses a browser may open at all, decided before any page is made.

Conventions
-----------
A browser with a seat reaches the seat's pages; one on another machine without a seat reaches the page where a
code is typed; one on this machine without a seat reaches everything, as before. Static files hold nothing of
the record and are served before the gate.

What is open is told by the name of the address in `nares.web.urls`, never by comparing text: an address in
another spelling either leads to a page of the seats or is shut, and a page added tomorrow is shut until it is
named here. Where a request comes from is told by the connection alone. A header that says it was passed on
can only shut, never open: what a proxy on this machine passes on came from elsewhere.
"""

from collections.abc import Callable
from ipaddress import IPv6Address, ip_address

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import Resolver404, resolve

from nares.app.lineups.values import Seat
from nares.web.seats.cookie import COOKIE, HELD, drop_token, find_seat, has_cookie
from nares.web.shell.answers import wants_json, wrapped_json

SEATS = frozenset(
    {
        "seat",
        "seat-json",
        "seat-place",
        "seat-begin",
        "seat-call",
        "seat-observe",
        "seat-open",
        "seat-void",
        "seat-close",
        "seat-leave",
        "seat-placing",
    }
)
"""Names of the addresses a seat may open. Each checks the seat's role itself."""

PASSED_ON = ("HTTP_X_FORWARDED_FOR", "HTTP_FORWARDED", "HTTP_X_REAL_IP", "HTTP_VIA")
SEATED = "This browser holds a seat at a line-up: it opens the seat's own page and nothing else."
ELSEWHERE = "From another machine only the seats of a line-up can be reached."


class Gate:
    """Shuts every address but the seats' to a browser that holds a seat or comes from another machine."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        seat = find_seat(request)
        request.META[HELD] = seat
        response = self._answer(request, seat)
        if seat is None and has_cookie(request) and COOKIE not in response.cookies:
            drop_token(response)
        return response

    def _answer(self, request: HttpRequest, seat: Seat | None) -> HttpResponse:
        if (seat is None and is_from_here(request)) or is_seats(request.path_info):
            return self.get_response(request)
        if request.path_info == "/seat" and request.method in ("GET", "HEAD"):
            return redirect("seat")
        return shut(request, SEATED if seat else ELSEWHERE)


def is_seats(path: str) -> bool:
    """Whether this address leads to a page of the seats."""
    try:
        return resolve(path).url_name in SEATS
    except Resolver404:
        return False


def is_from_here(request: HttpRequest) -> bool:
    """Whether the connection was made on this machine, as far as the connection itself tells."""
    if any(name in request.META for name in PASSED_ON):
        return False
    try:
        address = ip_address(str(request.META.get("REMOTE_ADDR", "")))
    except ValueError:
        return False
    mapped = address.ipv4_mapped if isinstance(address, IPv6Address) else None
    return (mapped or address).is_loopback


def shut(request: HttpRequest, said: str) -> HttpResponse:
    """One sentence and a way back; the same whatever lies at the address."""
    if wants_json(request):
        return wrapped_json("error/1", {"status": 403, "error": said}, status=403)
    return render(request, "seats/shut.html", {"said": said}, status=403)
