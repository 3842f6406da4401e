"""Listening: the one function that puts the application on a port and stays until stopped.

Conventions
-----------
Threads, not processes: every request shares the desk, which must be usable from any thread. Nothing is
printed here; the caller says where the pages are.
"""

import logging
import os
import threading
from typing import Any

from cheroot.wsgi import Server

from nares.app import jobs
from nares.base.errors import WrongUse
from nares.web.application import make_application
from nares.web.settings import EVERY_ADDRESS, is_loopback

THREADS = 10
UPLOAD_BYTES_MOST = 16 * 2**30
"""Largest request taken, far above an hour of phone video. [bytes]"""

log = logging.getLogger("nares.web")


class QuietServer(Server):
    """Sends its own complaints, such as a phone that hung up mid-film, to the log and not the screen."""

    def error_log(self, msg: str = "", level: int = logging.INFO, traceback: bool = False) -> None:
        log.log(level, msg, exc_info=traceback)


def serve(desk: Any, *, host: str = "127.0.0.1", port: int = 8431) -> None:
    """Serve the pages until interrupted, then return.

    Args:
        desk: See `nares.web.application.make_application`.
        host: Address to listen on. Any other than loopback can be reached by everybody on the network, who
            get the seats of line-ups and nothing else; this machine's own pages stay on loopback, where they
            are served too.
        port: Port to listen on.

    Raises:
        WrongUse: If the address cannot be listened on, for example because the port is taken.
    """
    server = make_server(desk, host=host, port=port)
    own = None
    if host not in EVERY_ADDRESS and not is_loopback(host):
        own = make_server(desk, host="127.0.0.1", port=port)
        threading.Thread(target=own.serve, name="own-pages", daemon=True).start()
    threading.Thread(target=jobs.warm_up, name="warm-up", daemon=True).start()
    try:
        server.serve()
    except KeyboardInterrupt:
        pass
    finally:
        server.stop()
        if own:
            own.stop()


def make_server(desk: Any, *, host: str, port: int) -> Server:
    """A server that listens already; ``serve()`` starts answering, ``bind_addr`` tells the port.

    Raises:
        WrongUse: If the address cannot be listened on.
    """
    server = QuietServer(
        (host, port), make_application(desk, host=host), numthreads=THREADS, server_name="nares"
    )
    server.max_request_body_size = UPLOAD_BYTES_MOST
    server.shutdown_timeout = 2
    try:
        server.prepare()
    except OSError as error:
        reason = os.strerror(error.errno) if error.errno else str(error)
        raise WrongUse(
            f"Cannot listen on {host} port {port}: {reason}. Give another --port, or stop the program that "
            "uses this one."
        ) from None
    return server
