"""A batch of changes as a page sends it, and what became of it as the page reads it.

``{"sheet": "reading" or "own", "reading": entry or null, "edits": [{"edit", "lane", "deed", "event", "was",
"now"}, …]}`` is answered with ``{"saved": [ids], "refused": {id: reason}, …}`` and what stands then.
"""

from dataclasses import dataclass

import msgspec

from nares.app.deeds import CorrectEvents, Edit
from nares.base.errors import Unusable

LARGEST_BYTES = 200_000


@dataclass(frozen=True, slots=True)
class Batch:
    """What a page sends. Edits name no author: that is whoever is acting."""

    sheet: str
    reading: int | None
    edits: tuple[Edit, ...]


def batch_from(body: bytes) -> Batch:
    """Read a batch.

    Raises:
        Unusable: If it is none, or larger than a page ever sends.
    """
    if len(body) > LARGEST_BYTES:
        raise Unusable(f"The changes sent are over {LARGEST_BYTES // 1000} kB. Send fewer at a time.")
    try:
        batch = msgspec.json.decode(body, type=Batch)
    except (msgspec.ValidationError, msgspec.DecodeError) as fault:
        raise Unusable(f"The changes sent cannot be read: {fault}. Reload the page and send again.") from None
    if batch.sheet not in ("reading", "own"):
        raise Unusable(f"There is no sheet {batch.sheet!r}. Reload the page and send again.")
    return batch


def asked_of(batch: Batch, session: str, by: str) -> CorrectEvents:
    """The request this batch is, made by the person acting whatever it says of authors."""
    edits = tuple(Edit(one.edit, one.lane, one.deed, one.event, one.was, one.now) for one in batch.edits)
    return CorrectEvents(session, by, edits, reading=batch.reading, own=batch.sheet == "own")
