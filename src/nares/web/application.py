"""The WSGI application: the pages, the static files, and the desk handed to every request.

Conventions
-----------
The desk travels in the WSGI environment under ``nares.desk``, the running measurements under
``nares.measurings``: two applications in one process never see each other's.
"""

from collections.abc import Callable, Iterable
from typing import Any

from django.core.wsgi import get_wsgi_application
from django.http import HttpRequest
from whitenoise import WhiteNoise

from nares.web.sessions.measuring import Measurings
from nares.web.settings import WEB, configure
from nares.web.shell.headers import HEADERS

Environ = dict[str, Any]
StartResponse = Callable[..., Any]
Wsgi = Callable[[Environ, StartResponse], Iterable[bytes]]

DESK = "nares.desk"
MEASURINGS = "nares.measurings"


def make_application(desk: Any, *, host: str = "127.0.0.1") -> Wsgi:
    """Build the WSGI application that shows and keeps the record of this desk.

    Args:
        desk: What the jobs of `nares.app` take. Its ``secret`` signs the cookies, its ``person`` is who
            acts until somebody says otherwise; both may be absent.
        host: The address it will be reached at, besides loopback.
    """
    data = getattr(desk, "data", None)
    incoming = None if data is None else data / "incoming"
    configure(secret=getattr(desk, "secret", None), host=host, incoming=incoming)
    pages = get_wsgi_application()
    measurings = Measurings(desk)

    def with_desk(environ: Environ, start_response: StartResponse) -> Iterable[bytes]:
        environ[DESK] = desk
        environ[MEASURINGS] = measurings
        return pages(environ, start_response)

    return _with_static_files(with_desk)


def desk_of(request: HttpRequest) -> Any:
    """The desk this request is answered from."""
    return request.META[DESK]


def measurings_of(request: HttpRequest) -> Measurings:
    """The measurements running or just done in this process."""
    found: Measurings = request.META[MEASURINGS]
    return found


def _with_static_files(pages: Wsgi) -> Wsgi:
    static = WhiteNoise(pages, max_age=0, add_headers_function=_add_headers, autorefresh=False)
    static.add_files(str(WEB / "static"), prefix="static/")
    served: Wsgi = static
    return served


def _add_headers(headers: Any, path: str, url: str) -> None:
    for name, value in HEADERS.items():
        headers[name] = value
