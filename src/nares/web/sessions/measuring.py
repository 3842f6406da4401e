"""Measuring in the background: one recording at a time, with a state that a page can ask for.

Conventions
-----------
A measurement is known by a random token and lives in this process only. What it leaves behind is on the
record; a restart forgets the progress, never an entry. An uploaded file is removed once the app has kept
it or refused it.
"""

import logging
import secrets
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace
from threading import Lock
from typing import Any

from nares.app import jobs
from nares.app.deeds import MeasureAgain, Receipt, RunSession
from nares.base.errors import NaresError, Unknown

KEPT_MOST = 200
WAITING = ("waiting", 0.0, "Waiting its turn")
Asked = RunSession | MeasureAgain

log = logging.getLogger("nares.web")


@dataclass(frozen=True, slots=True)
class Measuring:
    """How far one measurement is. ``state``: waiting, running, done or failed."""

    token: str
    dog: str
    name: str
    state: str
    done: float
    doing: str
    session: str | None = None
    said: str = ""


class Measurings:
    """Every measurement started since this process began, newest last."""

    def __init__(self, desk: Any) -> None:
        self._desk = desk
        self._lock = Lock()
        self._known: dict[str, Measuring] = {}
        # One thread: two decoders at once would only slow each other down on a small laptop.
        self._pool = ThreadPoolExecutor(max_workers=1, thread_name_prefix="measuring")

    def start(self, asked: RunSession, *, clean_up: Callable[[], None]) -> Measuring:
        """Queue one recording for measuring and say by which token to ask for it."""
        name = asked.name or asked.recording.name
        return self._queue(asked, Measuring(secrets.token_urlsafe(12), asked.dog, name, *WAITING), clean_up)

    def start_again(self, asked: MeasureAgain, *, dog: str) -> Measuring:
        """Queue a kept session for measuring with other regions."""
        return self._queue(
            asked, Measuring(secrets.token_urlsafe(12), dog, asked.session, *WAITING), _nothing
        )

    def _queue(self, asked: Asked, state: Measuring, clean_up: Callable[[], None]) -> Measuring:
        with self._lock:
            self._known[state.token] = state
            while len(self._known) > KEPT_MOST:
                del self._known[next(iter(self._known))]
        self._pool.submit(self._run, state.token, asked, clean_up)
        return state

    def state(self, token: str) -> Measuring:
        """How far the measurement is.

        Raises:
            Unknown: If there is none by that token since nares was started.
        """
        with self._lock:
            if token not in self._known:
                raise Unknown(
                    "No measurement is known at this address; nares may have been restarted since. "
                    "Look at the dog's page: if the session is not there, add the recording again."
                )
            return self._known[token]

    def _run(self, token: str, asked: Asked, clean_up: Callable[[], None]) -> None:
        self._note(token, state="running", doing="Opening the recording")
        try:
            receipt = self._measured(asked, lambda done, doing: self._step(token, done, doing))
            self._note(
                token, state="done", done=1.0, doing="Done", session=receipt.session, said=receipt.said
            )
        except NaresError as error:
            self._note(token, state="failed", doing="Stopped", said=str(error))
        except Exception:
            log.exception("Measuring stopped: %s", asked)
            said = "Measuring stopped on a fault in nares. Nothing was half written; the log has the details."
            self._note(token, state="failed", doing="Stopped", said=said)
        finally:
            clean_up()

    def _measured(self, asked: Asked, progress: Callable[[float, str], None]) -> Receipt:
        if isinstance(asked, MeasureAgain):
            return jobs.measure_again(self._desk, asked, progress)
        return jobs.run_session(self._desk, asked, progress)

    def _step(self, token: str, done: float, doing: str) -> None:
        self._note(token, done=min(max(done, 0.0), 1.0), doing=doing)

    def _note(self, token: str, **changed: Any) -> None:
        with self._lock:
            if token in self._known:
                self._known[token] = replace(self._known[token], **changed)


def _nothing() -> None:
    """Nothing to clean up: the recording is kept already."""
