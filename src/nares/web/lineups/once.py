"""One form draws one line-up: sent a second time (a reload, a double press), it draws nothing.

Conventions
-----------
A form carries a token that was given out with it and is remembered until the program ends. Nothing else is
remembered: the codes of the seats are in no list, so they cannot be shown again.
"""

import secrets
from collections import OrderedDict
from threading import Lock

MOST = 2000
"""Tokens remembered at a time; the oldest are let go. [count]"""


class Once:
    """Which forms were given out, and which line-up each of them drew."""

    def __init__(self) -> None:
        self._drew: OrderedDict[str, str | None] = OrderedDict()
        self._lock = Lock()

    def give(self) -> str:
        """A token for a new form."""
        token = secrets.token_urlsafe(18)
        with self._lock:
            self._drew[token] = None
            while len(self._drew) > MOST:
                self._drew.popitem(last=False)
        return token

    def claim(self, token: str) -> tuple[bool, str | None]:
        """Whether the form may draw now, and if not, which line-up it drew.

        None: it is unknown here; empty: it is drawing this moment. A claimed token is spent until `release`
        gives it back or `drew` names what came of it.
        """
        with self._lock:
            if token not in self._drew:
                return False, None
            drew = self._drew[token]
            if drew is not None:
                return False, drew
            self._drew[token] = ""
            return True, None

    def release(self, token: str) -> None:
        """Nothing was drawn: the form may be sent again."""
        with self._lock:
            self._drew[token] = None

    def drew(self, token: str, lineup: str) -> None:
        """The form drew this line-up."""
        with self._lock:
            self._drew[token] = lineup


ONCE = Once()
