"""Dogs, and the programmes they work through."""

from typing import Any

from nares.record.chain import Entry
from nares.record.kinds import DogAdded, ProgrammeKept
from nares.record.tables import Cursor, Table

DOGS = Table(
    "dogs",
    {
        "dog": "text",
        "breed": "text",
        "born": "text?",
        "sex": "text?",
        "programme": "text",
        "note": "text",
        "entry": "integer",
    },
    key=("dog",),
)
PROGRAMMES = Table(
    "programmes",
    {"entry": "integer", "name": "text", "body": "text", "sha256": "text"},
    key=("entry",),
    lists=(("name", "entry"),),
)
TABLES = (DOGS, PROGRAMMES)
KINDS = frozenset({"dog_added", "programme_kept"})
_PUT_DOG, _PUT_PROGRAMME = DOGS.put(), PROGRAMMES.put()


def apply(cursor: Cursor, entry: Entry, said: Any) -> None:
    """Add or restate a dog; add a programme."""
    if isinstance(said, DogAdded):
        row = (said.dog, said.breed, said.born, said.sex, said.programme, said.note, entry.number)
        cursor.execute(_PUT_DOG, row)
    elif isinstance(said, ProgrammeKept):
        cursor.execute(_PUT_PROGRAMME, (entry.number, said.name, said.text, said.sha256))
