"""The one table of settings of the web door, in code: no settings module, no environment.

Conventions
-----------
The web framework keeps its settings once per process; `configure` may be called again and then only
replaces the secret and adds hosts, so that tests and a second application in one process both work.
The desk is not a setting: it travels with each request (see `nares.web.application`).
"""

import secrets
import socket
from contextlib import suppress
from ipaddress import ip_address
from pathlib import Path
from typing import Any

import django
from django import conf

WEB = Path(__file__).resolve().parent
LOOPBACK = ("127.0.0.1", "localhost", "[::1]")
EVERY_ADDRESS = ("", "0.0.0.0", "::")
FORM_FIELDS_MOST = 2000
FORM_BYTES_MOST = 2_000_000
"""Size of the typed part of a form; an uploaded file streams to disk and is not counted. [bytes]"""

SETTINGS: dict[str, Any] = {
    "DEBUG": False,
    "ROOT_URLCONF": "nares.web.urls",
    "INSTALLED_APPS": [],
    "DATABASES": {},
    "MIDDLEWARE": [
        "nares.web.shell.headers.SecurityHeaders",
        "django.middleware.common.CommonMiddleware",
        "nares.web.shell.errors.ReadableErrors",
        "django.middleware.csrf.CsrfViewMiddleware",
        "django.contrib.messages.middleware.MessageMiddleware",
        "nares.web.seats.gate.Gate",
    ],
    "MESSAGE_STORAGE": "django.contrib.messages.storage.cookie.CookieStorage",
    "TEMPLATES": [
        {
            "BACKEND": "django.template.backends.django.DjangoTemplates",
            "DIRS": [WEB],
            "OPTIONS": {
                "context_processors": [
                    "django.template.context_processors.csrf",
                    "django.template.context_processors.request",
                    "django.contrib.messages.context_processors.messages",
                    "nares.web.shell.frame.frame",
                ],
                "libraries": {"words": "nares.web.shell.words"},
                "builtins": ["nares.web.shell.words"],
            },
        }
    ],
    "CSRF_FAILURE_VIEW": "nares.web.shell.errors.no_token",
    "CSRF_COOKIE_HTTPONLY": True,
    "CSRF_COOKIE_SAMESITE": "Lax",
    "CSRF_COOKIE_NAME": "nares_form",
    "FILE_UPLOAD_HANDLERS": ["django.core.files.uploadhandler.TemporaryFileUploadHandler"],
    "DATA_UPLOAD_MAX_MEMORY_SIZE": FORM_BYTES_MOST,
    "DATA_UPLOAD_MAX_NUMBER_FIELDS": FORM_FIELDS_MOST,
    "DATA_UPLOAD_MAX_NUMBER_FILES": 4,
    "APPEND_SLASH": True,
    "USE_I18N": False,
    "USE_TZ": True,
    "TIME_ZONE": "UTC",
    "LOGGING_CONFIG": None,
    "DEFAULT_CHARSET": "utf-8",
    "SECURE_CONTENT_TYPE_NOSNIFF": True,
}


def configure(*, secret: str | None = None, host: str = "127.0.0.1", incoming: Path | None = None) -> None:
    """Settle the framework's settings for an application that answers on ``host``.

    Args:
        secret: Signs the cookies; a new one for each start when None.
        host: The address it will listen on; loopback is always allowed too.
        incoming: Folder for uploads while they arrive; the system's own, often small, when None.
    """
    if incoming is not None:
        incoming.mkdir(parents=True, exist_ok=True)
    hosts = [*LOOPBACK, *_names_of(host)]
    key = secret or secrets.token_urlsafe(48)
    # Asked of the module each time: the lazy settings object itself must not be found by a collector.
    held = conf.settings
    if held.configured:
        held.SECRET_KEY = key
        held.ALLOWED_HOSTS = sorted({*held.ALLOWED_HOSTS, *hosts})
        held.FILE_UPLOAD_TEMP_DIR = incoming
        return
    held.configure(**SETTINGS, SECRET_KEY=key, ALLOWED_HOSTS=hosts, FILE_UPLOAD_TEMP_DIR=incoming)
    django.setup(set_prefix=False)


def seats_at(host: str, port: int) -> list[str]:
    """Where others on the network find the seats; nowhere when only this machine is listened to."""
    if is_loopback(host):
        return []
    own = _own_addresses(socket.gethostname().lower()) if host in EVERY_ADDRESS else _names_of(host)
    others = [name for name in own if not is_loopback(name)]
    return [f"http://{name}:{port}/seat/" for name in others or [socket.gethostname().lower()]]


def is_loopback(host: str) -> bool:
    """Whether this address can be reached from this machine only."""
    if host.lower() == "localhost":
        return True
    with suppress(ValueError):
        return ip_address(host.strip("[]")).is_loopback
    return False


def _names_of(host: str) -> list[str]:
    """The names a browser may use for this address; never a wildcard, so no foreign name can point here."""
    if host not in EVERY_ADDRESS:
        return [f"[{host}]" if ":" in host else host]
    name = socket.gethostname().lower()
    return [name, f"{name}.local", *_own_addresses(name)]


def _own_addresses(name: str) -> list[str]:
    """The addresses of this machine on its networks, as far as they can be told without a packet sent."""
    found: set[str] = set()
    with suppress(OSError):
        found.update(str(info[4][0]) for info in socket.getaddrinfo(name, None, socket.AF_INET))
    with suppress(OSError), socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        # Connecting a datagram socket only asks the routing table; nothing leaves the machine.
        probe.connect(("192.0.2.1", 9))
        found.add(str(probe.getsockname()[0]))
    return sorted(found)
