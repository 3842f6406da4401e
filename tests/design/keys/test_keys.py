"""A key written, committed to, read back and held against its seed."""

import hashlib
import json
from typing import Any

import pytest
import rfc8785
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.design.lineups.briefs import brief, seed
from tests.design.lineups.test_draw import briefs

from nares.base.errors import Unusable
from nares.design.keys import (
    brief_from,
    commitment_of,
    key_findings,
    key_of,
    read_key,
    run_commitment_of,
    run_commitments_of,
    runs_from,
)
from nares.design.keys.commitment import canonical
from nares.design.lineups import Brief, draw_lineup


def key(asked: Brief | None = None, number: int = 1, name: str = "Teasel 1") -> dict[str, Any]:
    asked = asked or brief()
    return key_of(name, asked, draw_lineup(asked, seed(number)), seed(number))


WRITTEN = key()


def plain_digest(value: Any) -> str:
    """As somebody would take it who has no library for RFC 8785."""
    text = json.dumps(value, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
    return hashlib.sha256(text.encode()).hexdigest()


def test_a_key_holds_what_others_rely_on() -> None:
    made = key()
    assert (made["schema"], made["lineup"], made["seed"]) == ("lineup-key/1", "Teasel 1", seed(1).hex())
    assert len(bytes.fromhex(made["nonce"])) == 32
    assert len(made["runs"]) == 20
    assert made["nonce"] not in {run["nonce"] for run in made["runs"]}


def test_the_same_seed_gives_the_same_key_to_the_byte() -> None:
    assert json.dumps(key()) == json.dumps(key())
    assert commitment_of(key()) != commitment_of(key(number=2))
    assert commitment_of(key()) != commitment_of(key(name="Teasel 2"))


def test_a_commitment_is_the_digest_of_the_canonical_json() -> None:
    made = key()
    assert commitment_of(made) == hashlib.sha256(rfc8785.dumps(made)).hexdigest()
    for run, value in zip(runs_from(made), made["runs"], strict=True):
        assert run_commitment_of(run) == hashlib.sha256(rfc8785.dumps(value)).hexdigest()
    assert run_commitments_of(made) == tuple(run_commitment_of(run) for run in runs_from(made))
    assert len(set(run_commitments_of(made))) == 20


@given(asked=briefs(), number=st.integers(0, 2**64))
def test_a_key_comes_back_and_needs_no_library_to_be_checked(asked: Brief, number: int) -> None:
    drawn = draw_lineup(asked, seed(number))
    made = key_of("Bracken 4", asked, drawn, seed(number))
    assert read_key(json.dumps(made)) == made
    assert runs_from(made) == drawn.runs
    assert brief_from(made) == asked
    assert plain_digest(made) == commitment_of(made)
    assert [plain_digest(run) for run in made["runs"]] == list(run_commitments_of(made))
    assert key_findings(made) == ()


@pytest.mark.parametrize(
    "asked",
    [
        brief(blank_runs=0.0001),
        brief(blank_runs=1 / 3),
        brief(set_time_min=0.01),
        brief(set_time_min=99_999.9),
        brief(set_time_min=None, blank_runs=None, rules=("no-such-rule-is-looked-at",)),
        brief(aids=("Čeněk №\u00a07 🜁\u2028", 'a "quoted" \\ \t name')),
        brief(10, 4, shape="room", warm=(2,)),
        brief(13, 4, shape="ring"),
        brief(blinding="known"),
    ],
)
def test_awkward_values_are_written_canonically_without_a_library_too(asked: Brief) -> None:
    made = key(asked)
    assert plain_digest(made) == commitment_of(made)
    assert read_key(json.dumps(made, indent=2)) == made
    assert key_findings(made) == ()


def test_a_chosen_place_shows_against_the_seed() -> None:
    """The key of somebody who moved one target, by hand, and called it drawn."""
    made = key()
    placed = next(run for run in made["runs"] if any(one["holds"] == "target" for one in run["placed"]))[
        "placed"
    ]
    here = next(one for one in placed if one["holds"] == "target")
    there = next(one for one in placed if one["holds"] == "blank")
    for name in ("holds", "item", "container"):
        here[name], there[name] = there[name], here[name]
    [found] = key_findings(read_key(json.dumps(made)))
    assert (found.rule, found.where[:4], found.text) == (
        "not-from-seed",
        "run ",
        "It is not what the seed gives.",
    )


@pytest.mark.parametrize(
    ("change", "where"),
    [
        (lambda made: made.update(seed=seed(2).hex()), "nonce"),
        (lambda made: made.update(nonce="00" * 32), "nonce"),
        (lambda made: made["runs"][3].update(nonce="00" * 32), "run 4"),
        (lambda made: made.update(tries=7), "tries"),
        (lambda made: made.update(drawing="constrained"), "drawing"),
        (lambda made: made["asked"].update(blank_runs=0.9), "run 1"),
        (lambda made: made["asked"].update(runs=0), "asked"),
    ],
)
def test_every_part_that_does_not_follow_is_named(change: Any, where: str) -> None:
    made = key()
    change(made)
    assert where in {finding.where for finding in key_findings(made)}


def test_a_key_of_another_version_still_follows_from_its_seed() -> None:
    assert key_findings({**key(), "nares": "9.9.9"}) == ()


def changed(change: Any) -> str:
    made = key()
    change(made)
    return json.dumps(made)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "no JSON"),
        ("[1]", "holds no object"),
        ("{}", "'asked' is missing"),
        ("[" * 100_000, "no JSON"),
        (changed(lambda made: made.pop("nonce")), "key: 'nonce' is missing"),
        (changed(lambda made: made.update(by="Joss")), "'by' does not belong here"),
        (changed(lambda made: made.update(nonce="ab")), "nonce is not 32 bytes in hex"),
        (changed(lambda made: made.update(seed="AB" * 32)), "seed is not 32 bytes in hex"),
        (changed(lambda made: made.update(schema="lineup-key/2")), "reads 'lineup-key/1'"),
        (changed(lambda made: made.update(runs=made["runs"][1:])), "run 1: It says it is run 2"),
        (changed(lambda made: made["runs"].pop()), "19 runs are there and 20 were asked for"),
        (changed(lambda made: made["runs"].__setitem__(4, made["runs"][3])), "same nonce"),
        (changed(lambda made: made["runs"][4].update(placing=[1, 2, 3, 4, 5, 5])), "order of placing"),
        (changed(lambda made: made["runs"][4].update(placing=["1"])), "run 5 placing: Each"),
        (changed(lambda made: made["runs"][4]["placed"].pop()), "positions 1 to 6"),
        (changed(lambda made: made["runs"][4]["placed"][0].update(holds="treat")), "holds is 'treat'"),
        (changed(lambda made: made["runs"][4]["placed"][0].update(holds="blank", item="x")), "names 'x'"),
        (changed(lambda made: made["runs"][4]["placed"][0].update(position=True)), "must be a whole number"),
        (changed(lambda made: made["asked"].update(area=[])), "'area' must be an object"),
        (changed(lambda made: made["asked"]["area"]["spots"][0].pop("name")), "spot 1: 'name' is missing"),
        (changed(lambda made: made["asked"].update(aids=[1])), "aids: Each of them must be text"),
        (changed(lambda made: made["asked"].update(controls=["hat"])), "control is 'hat'"),
        (changed(lambda made: made["asked"].update(controls=[["hat"]])), "control is"),
        (changed(lambda made: made.update(lineup="\ud800")), "cannot be written as JSON"),
        (changed(lambda made: made.update(runs=[3])), "run 1: It is no object"),
    ],
)
def test_every_fault_of_a_key_file_is_named(text: str, said: str) -> None:
    with pytest.raises(Unusable, match=said):
        read_key(text)


def test_faults_come_back_all_at_once() -> None:
    def spoil(made: dict[str, Any]) -> None:
        made.update(nonce="", seed="", drawing="by hand")
        made["runs"][2]["nonce"] = "zz"

    with pytest.raises(Unusable) as refused:
        read_key(changed(spoil))
    assert len(str(refused.value).splitlines()) == 5


@settings(max_examples=30)
@given(st.recursive(st.none() | st.booleans() | st.floats() | st.text(), lambda inner: st.lists(inner)))
def test_any_json_at_all_is_refused_in_words(value: Any) -> None:
    for name in ("runs", "asked", "nonce", "rules"):
        with pytest.raises(Unusable):
            read_key(json.dumps({**WRITTEN, name: value, "extra": 1}))


def test_the_recipe_of_a_salt_before_canonical_json() -> None:
    """A worked commitment reckoned elsewhere, salt first: it pins the canonical form and the digest."""
    salt = bytes.fromhex("00112233445566778899aabbccddeeff")
    digest = hashlib.sha256(salt + canonical({"v": 1, "seq": "RLRRLLRLLR", "n": 10})).hexdigest()
    assert digest == "6b78823b596a4143cb43816b458e42ec1c71a6d0dbe8e498f2f8a8c31a8ca0c0"


def test_this_seed_gives_this_commitment() -> None:
    """Regression: a recipe that changes makes keys of old line-ups look as if somebody had chosen them."""
    made = {**key(brief(), 7), "nares": ""}
    assert commitment_of(made) == "d7a0879d9fc725ccb6d26636c8bc32f86c67fe37cb31468b3c920a28df3ba5ce"
