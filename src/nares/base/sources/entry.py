"""The shape of one published source."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Source:
    """One publication: a key, its full citation, and when it was last seen to be current."""

    key: str
    citation: str
    edition: str
    last_seen: str
