"""A spreadsheet on the record: what is refused, what is looked up, what is never amended."""

from pathlib import Path
from typing import Any

import pytest
from tests.record.kennel import opened, session, sheet, write

from nares.base.errors import Refused
from nares.record.store import Store


def kennel(store: Store) -> None:
    write(store, "kennel_founded", {"kennel": store.kennel, "site": store.site})
    write(store, "dog_added", {"dog": "Brine", "breed": "English Springer Spaniel"})


@pytest.mark.parametrize(
    ("other", "words"),
    [
        ({"name": " "}, "The file's name ' ' is empty"),
        ({"sha256": "12"}, "'12' is no SHA-256"),
        ({"bytes": -1}, "The size in bytes is -1"),
        ({"lines": {}}, "without a rep is not brought in"),
        ({"kept_as": "a" * 201}, "The mapping's name has 201 characters"),
        ({"lines": {"b1": [(1, 2)]}}, "There is already a session called 'b1'"),
    ],
)
def test_a_sheet_that_cannot_be_is_refused(tmp_path: Path, other: dict[str, Any], words: str) -> None:
    with opened(tmp_path) as store:
        kennel(store)
        write(store, "session_run", session("b1"))
        before = store.head()
        with pytest.raises(Refused, match=words):
            write(store, "sheet_imported", sheet(**other))
        assert store.head() == before


def test_the_newest_sheet_comes_first_and_a_session_knows_its_lines(tmp_path: Path) -> None:
    with opened(tmp_path) as store:
        kennel(store)
        write(store, "sheet_imported", sheet(kept_as="own log"))
        write(store, "sheet_imported", sheet(lines={"b10": [(1, 7)]}))
        assert [(one.entry, one.kept_as) for one in store.sheets()] == [(4, ""), (3, "own log")]
        found = store.sheet_of("b9")
        assert found is not None
        assert (found[0].entry, found[0].mapping, found[1]) == (3, {"order": ""}, {1: 2, 2: 3})
        assert store.sheet_of("b1") is None


def test_where_reps_came_from_is_not_amended(tmp_path: Path) -> None:
    with opened(tmp_path) as store:
        kennel(store)
        write(store, "sheet_imported", sheet())
        said = {"entry": 3, "field": "/name", "old": "log.csv", "new": "other.csv", "why": "Misnamed."}
        with pytest.raises(Refused, match="It says where reps came from"):
            write(store, "amended", said)
