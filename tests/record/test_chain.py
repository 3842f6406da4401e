from dataclasses import replace

import pytest

from nares.record.chain import FIRST_PREVIOUS, Sealed, digest_of, entry_from, seal, verify_chain

SAID = {
    "kennel": "Saltmarsh Kennels",
    "site": "laptop",
    "kind": "dog_added",
    "happened_at": "2026-03-01T08:00:00.000Z",
    "entered_at": "2026-03-01T08:00:01.000Z",
    "by": "Runa Vell",
    "payload": {"dog": "Brine", "hold_s": 1.0},
}


def chain(length: int) -> list[Sealed]:
    sealed: list[Sealed] = []
    for number in range(1, length + 1):
        sealed.append(seal(number, sealed[-1].digest if sealed else FIRST_PREVIOUS, SAID))
    return sealed


def rules(stored: list[Sealed], head: str | None = None) -> list[tuple[str, str]]:
    return [(finding.rule, finding.where) for finding in verify_chain(stored, head=head)]


def test_a_whole_chain_has_no_findings() -> None:
    assert rules(chain(5)) == []


def test_an_empty_chain_holds_unless_a_head_is_asked_for() -> None:
    assert rules([]) == []
    assert rules([], head="a" * 64) == [("missing-head", "entry 1")]


def test_the_first_entry_links_to_zeros() -> None:
    assert entry_from(chain(1)[0]).previous == "0" * 64
    assert rules([seal(1, "1" * 64, SAID)]) == [("broken-link", "entry 1")]


def test_the_digest_is_that_of_everything_else() -> None:
    entry = entry_from(chain(1)[0])
    assert digest_of(entry) == entry.digest
    others = (
        replace(entry, kennel="x"),
        replace(entry, site="x"),
        replace(entry, kind="x"),
        replace(entry, happened_at="x"),
        replace(entry, entered_at="x"),
        replace(entry, by="x"),
        replace(entry, previous="x"),
    )
    assert entry.digest not in {digest_of(other) for other in others}
    assert digest_of(replace(entry, number=2)) != entry.digest
    assert digest_of(replace(entry, payload={"dog": "Brine", "hold_s": 1.1})) != entry.digest


@pytest.mark.parametrize("place", range(4))
def test_a_missing_entry_is_found_where_it_is_missing(place: int) -> None:
    stored = chain(5)
    del stored[place]
    where = f"entry {place + 2}"
    assert rules(stored) == [("numbering", where), ("broken-link", where)]


def test_the_last_entry_missing_is_found_only_with_its_digest() -> None:
    stored = chain(5)
    assert rules(stored[:4]) == []
    assert rules(stored[:4], head=stored[4].digest) == [("missing-head", "entry 5")]


def test_a_changed_entry_is_reported_once() -> None:
    stored = chain(5)
    stored[2] = replace(stored[2], body=stored[2].body.replace(b"Brine", b"Drine"))
    assert rules(stored) == [("changed", "entry 3")]


def test_an_entry_with_a_field_too_many_is_unreadable() -> None:
    stored = [seal(1, FIRST_PREVIOUS, {**SAID, "extra": 1})]
    assert rules(stored) == [("unreadable", "entry 1")]
