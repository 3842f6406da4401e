"""Attempts on a sealed key: to change it after the calls, to open another one, to guess what it holds."""

import copy
import hashlib
import json
from collections.abc import Callable
from typing import Any

import pytest
import rfc8785
from tests.design.keys.test_keys import key
from tests.design.lineups.briefs import brief

from nares.base.errors import Unusable
from nares.design.keys import (
    commitment_of,
    key_findings,
    read_key,
    run_commitment_of,
    run_commitments_of,
    runs_from,
)
from nares.design.keys.commitment import gives


def swapped(made: dict[str, Any]) -> None:
    first, second = made["runs"][0]["placed"][:2]
    first["holds"], second["holds"] = second["holds"], first["holds"]
    first["item"], second["item"] = second["item"], first["item"]


def look_alike(made: dict[str, Any]) -> None:
    made["asked"]["distractors"][0]["smell"] = "t\u0430pe"  # a Cyrillic letter that looks like a Latin one


def decomposed(made: dict[str, Any]) -> None:
    made["lineup"] = made["lineup"].replace("e", "e\u0301", 1)


ATTEMPTS: dict[str, Callable[[dict[str, Any]], object]] = {
    "moving what lay at one position to another": swapped,
    "swapping two runs": lambda made: made["runs"].insert(0, made["runs"].pop(1)),
    "leaving a run out": lambda made: made["runs"].pop(7),
    "adding a run": lambda made: made["runs"].append(made["runs"][0]),
    "another nonce": lambda made: made.update(nonce="00" * 32),
    "another nonce of one run": lambda made: made["runs"][2].update(nonce="00" * 32),
    "another seed": lambda made: made.update(seed="00" * 32),
    "another order of placing": lambda made: made["runs"][0]["placing"].reverse(),
    "another container": lambda made: made["runs"][0]["placed"][0].update(container="C99"),
    "a smell said to be novel": lambda made: made["asked"]["distractors"][0].update(novel=True),
    "a letter that looks alike": look_alike,
    "a letter taken apart": decomposed,
    "a member nobody looks at": lambda made: made.update(note=""),
}


@pytest.mark.parametrize("attempt", ATTEMPTS)
def test_a_key_changed_after_sealing_does_not_give_its_commitment(attempt: str) -> None:
    sealed = key()
    opened = copy.deepcopy(sealed)
    ATTEMPTS[attempt](opened)
    assert gives(sealed, commitment_of(sealed))
    assert not gives(opened, commitment_of(sealed))


def test_another_key_does_not_open_this_commitment() -> None:
    assert not gives(key(number=2), commitment_of(key(number=1)))
    assert not gives(key(), commitment_of(key())[:-1])
    assert not gives(key(), "")


def test_a_run_changed_after_sealing_does_not_give_its_own_commitment() -> None:
    sealed = key()
    commitments = run_commitments_of(sealed)
    swapped(sealed)
    now = run_commitments_of(sealed)
    assert now[0] != commitments[0]
    assert now[1:] == commitments[1:]


def test_a_run_opened_in_place_of_another_shows() -> None:
    runs = runs_from(key())
    assert run_commitment_of(runs[1]) != run_commitments_of(key())[0]


def test_a_name_that_comes_twice_is_not_read() -> None:
    """Two readers would take two keys from one text: the first of the names, or the last."""
    text = json.dumps(key())
    for at in ('"nonce": ', '"run": 1'):
        twice = text.replace(at, f'"nonce": "{"0" * 64}", {at}' if "nonce" in at else '"run": 2, "run": 1', 1)
        with pytest.raises(Unusable, match="comes twice in one object"):
            read_key(twice)


@pytest.mark.parametrize(
    ("spelled", "said"),
    [
        ("1.0", "spelled 1 in a key"),
        ("1e0", "spelled 1 in a key"),
        ("10E-1", "spelled 1 in a key"),
        ("-0", "spelled 0 in a key"),
        ("0.10", "spelled 0.1 in a key"),
        ("1e999", "too large"),
        ("9007199254740993", "too large"),
        ("NaN", "no number in JSON"),
        ("-Infinity", "no number in JSON"),
    ],
)
def test_a_number_spelled_otherwise_is_not_read(spelled: str, said: str) -> None:
    """The value is the same, and so is the commitment; a checker without a library would come to another."""
    text = json.dumps(key()).replace('"tries": 1', f'"tries": {spelled}')
    with pytest.raises(Unusable, match=said):
        read_key(text)


def test_a_name_spelled_with_escapes_is_the_same_name() -> None:
    text = json.dumps(key())
    assert read_key(text.replace('"nonce"', '"\\u006eonce"', 1)) == key()
    with pytest.raises(Unusable, match="comes twice"):
        read_key(text.replace('"nonce": ', f'"\\u006eonce": "{"0" * 64}", "nonce": ', 1))


def test_a_run_cannot_be_guessed_from_its_commitment_but_could_be_without_a_nonce() -> None:
    """Six positions and one target or none are seven ways a run can be. All are tried."""
    made = key(brief(distractors=(), controls=(), aids=("birch",)))
    sealed = made["runs"][0]
    bare = {name: value for name, value in sealed.items() if name in ("run", "placed")}
    for one in bare["placed"]:
        one["container"] = ""

    def digest(value: Any) -> str:
        return hashlib.sha256(rfc8785.dumps(value)).hexdigest()

    def ways() -> list[dict[str, Any]]:
        tried = []
        for target in range(7):
            placed = [
                {"position": n, "holds": "target", "item": "birch", "container": ""}
                if n == target
                else {"position": n, "holds": "blank", "item": "", "container": ""}
                for n in range(1, 7)
            ]
            tried.append({"run": 1, "placed": placed})
        return tried

    without = digest(bare)
    assert [way for way in ways() if digest(way) == without] == [bare], "without a nonce one guess fits"
    with_nonce = digest({**bare, "nonce": sealed["nonce"]})
    guesses = [digest({**way, "nonce": nonce}) for way in ways() for nonce in ("", "00" * 32, made["nonce"])]
    assert with_nonce not in [*guesses, *map(digest, ways())]


def test_an_opened_run_tells_nothing_of_the_next() -> None:
    """Nonces come one way from the seed: none is the digest of another, nor of what lay there."""
    runs = key()["runs"]
    shown = json.dumps(runs[0])
    for later in runs[1:]:
        assert later["nonce"] not in shown
        assert later["nonce"] != hashlib.sha256(bytes.fromhex(runs[0]["nonce"])).hexdigest()


def test_a_seed_tried_until_the_draw_pleases_is_not_found() -> None:
    """What is not caught: forty seeds, the one kept whose first run is blank. The key is the seed's own."""
    liked = next(made for n in range(1, 41) if not runs_from(made := key(brief(runs=3), number=n))[0].targets)
    assert key_findings(liked) == ()
