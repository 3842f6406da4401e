"""Peeking from a handler's browser, on a real record: ways to see what lies where before it is opened."""

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from tests.web.sealed import AID, Sealed, sealed, secrets_of
from tests.web.seated import ADDRESSES, PEOPLE, ROLES, SENT, SeatClient
from tests.web.test_seat_gate import OPEN, SHUT

from nares.app import jobs
from nares.base.lineups import Role
from nares.web.seats.cookie import COOKIE


@pytest.fixture
def found(tmp_path: Path) -> Iterator[Sealed]:
    with sealed(tmp_path / "data", runs=4) as made:
        yield made


@pytest.fixture
def placed(found: Sealed) -> Sealed:
    """Run 1 was shown to the placer and lies."""
    placer = found.client("placer")
    assert AID in placer.get("/seat/").content.decode() + placer.get("/seat.json").content.decode()
    assert placer.post("/seat/place/", {"run": "1"}).status_code == 302
    return found


def said(answer: Any) -> str:
    return str(answer.content.decode("utf-8", "replace")) + repr(dict(answer.headers)) + str(answer.cookies)


def holds_none(found: Sealed, answer: Any, *, opened: int = 0) -> bool:
    return not any(secret in said(answer) for secret in secrets_of(found.key(), opened))


@pytest.mark.parametrize("role", ["handler", "evaluator", "recorder"])
def test_trying_every_address_with_every_method(placed: Sealed, role: Role) -> None:
    client = placed.client(role)
    near = [
        f"/lineups/{placed.lineup}/",
        f"/lineups/{placed.lineup}.json",
        "/vault.sqlite3",
        "/data/vault.sqlite3",
    ]
    for address in (*SHUT, *OPEN, *near, "/static/../vault.sqlite3"):
        if address == "/seat/leave/":
            continue
        for method in ("get", "head", "options", "post", "put", "patch", "delete"):
            answer = getattr(client, method)(address)
            assert holds_none(placed, answer), (method, address)
            assert answer.status_code != 500, (method, address)


@pytest.mark.parametrize(
    "headers",
    [
        {},
        {"HTTP_RANGE": "bytes=0-99"},
        {"HTTP_RANGE": "bytes=-1"},
        {"HTTP_IF_NONE_MATCH": "*"},
        {"HTTP_IF_MODIFIED_SINCE": "Sat, 01 Jan 2000 00:00:00 GMT"},
        {"HTTP_IF_MATCH": "*"},
        {"HTTP_ACCEPT": "application/json"},
        {"HTTP_ACCEPT_ENCODING": "identity"},
        {"HTTP_X_HTTP_METHOD_OVERRIDE": "GET"},
    ],
)
@pytest.mark.parametrize("role", ["handler", "evaluator", "recorder"])
def test_the_sheets_for_placing_whatever_is_asked(
    placed: Sealed, role: Role, headers: dict[str, str]
) -> None:
    client = placed.client(role)
    for method in ("get", "head", "options"):
        answer = getattr(client, method)("/seat/placing.pdf", **headers)
        assert answer.status_code == (405 if method == "options" else 403)
        assert answer.headers["Cache-Control"] == "no-store"
        assert not {"ETag", "Last-Modified", "Content-Range", "Accept-Ranges"} & set(answer.headers)
        assert holds_none(placed, answer)
    seen = [one for one in placed.desk.store.key_seen(placed.lineup) if one.person != PEOPLE["placer"]]
    assert seen == []


def test_asking_for_the_head_of_the_sheets_as_placer_is_on_the_record_too(found: Sealed) -> None:
    found.client("placer").head("/seat/placing.pdf")
    assert found.desk.store.key_seen(found.lineup)


@pytest.mark.parametrize("role", ROLES)
def test_doing_the_deeds_of_other_seats(placed: Sealed, role: Role) -> None:
    client = placed.client(role)
    before = placed.desk.store.count()
    others = {
        "placer": ("begin_run", "make_call", "observe_run", "open_run", "void_run", "close_lineup"),
        "handler": ("place_run", "begin_run", "observe_run", "open_run", "void_run", "close_lineup"),
        "evaluator": ("place_run", "make_call"),
        "recorder": ("place_run", "begin_run", "make_call", "open_run", "void_run", "close_lineup"),
    }
    for name in others[role]:
        for claim in ("evaluator", "placer", "handler"):
            sent = {**SENT[name], "run": "1", "role": claim, "token": "x", "by": PEOPLE[claim]}
            answer = client.post(ADDRESSES[name], sent)
            assert answer.status_code == 403
            assert holds_none(placed, answer)
    assert placed.desk.store.count() == before


def test_opening_a_run_before_call_and_observation(placed: Sealed) -> None:
    evaluator = placed.client("evaluator")
    begun = {"run": "1", "present": [PEOPLE["handler"], PEOPLE["evaluator"]]}
    assert evaluator.post("/seat/begin/", begun).status_code == 302
    for run in ("1", "2", "4"):
        answer = evaluator.post("/seat/open/", {"run": run})
        assert answer.status_code == 409
        assert holds_none(placed, answer)
    assert evaluator.post("/seat/observe/", {"run": "1", "alerted_at": "clear"}).status_code == 302
    answer = evaluator.post("/seat/open/", {"run": "1"})
    assert answer.status_code == 409
    assert holds_none(placed, answer)


def test_a_call_cannot_be_changed_after_it_stands(placed: Sealed) -> None:
    evaluator, handler = placed.client("evaluator"), placed.client("handler")
    evaluator.post("/seat/begin/", {"run": "1", "present": [PEOPLE["handler"]]})
    assert handler.post("/seat/call/", {"run": "1", "position": "3"}).status_code == 302
    before = placed.desk.store.count()
    assert handler.post("/seat/call/", {"run": "1", "position": "3"}).status_code == 302  # sent twice
    assert handler.post("/seat/call/", {"run": "1", "position": "4"}).status_code == 409
    assert handler.post("/seat/call/", {"run": "2", "position": "4"}).status_code == 409
    assert placed.desk.store.count() == before


def test_a_cookie_replayed_after_leaving(placed: Sealed) -> None:
    client = placed.client("placer")
    copy = client.cookies[COOKIE].value
    client.post("/seat/leave/")
    thief = placed.client()
    thief.cookies[COOKIE] = copy
    for address in ("/seat/", "/seat.json", "/seat/placing.pdf", "/record/"):
        answer = thief.get(address)
        assert holds_none(placed, answer)
    thief.cookies[COOKIE] = copy
    assert thief.post("/seat/place/", {"run": "2"}).status_code == 403


def test_a_token_from_before_the_seat_was_taken_anew(placed: Sealed) -> None:
    old = placed.client("placer")
    new = placed.client("placer")
    assert AID not in said(old.get("/seat/"))
    assert old.get("/seat/placing.pdf").status_code == 403
    assert new.get("/seat/placing.pdf").status_code == 200


def test_a_token_signed_by_hand_or_shuffled(placed: Sealed) -> None:
    token = placed.client("handler").cookies[COOKIE].value
    value, stamp, signature = token.split(":")
    for forged in (
        value,
        f"{value}x:{stamp}:{signature}",
        f"{value}:{stamp}:{signature[::-1]}",
        token.swapcase(),
    ):
        thief = placed.client()
        thief.cookies[COOKIE] = forged
        assert thief.get("/seat.json").json()["role"] is None
    # A cookie of another name, signed by the same hand, is no seat either.
    person = placed.client(away=False)
    person.post("/person/", {"person": value, "next": "/"})
    thief = placed.client()
    thief.cookies[COOKIE] = person.cookies["nares_person"].value
    assert thief.get("/seat.json").json()["role"] is None


def test_a_cookie_from_another_line_up(tmp_path: Path) -> None:
    with sealed(tmp_path / "here", runs=3) as here, sealed(tmp_path / "there", runs=3) as there:
        copy = there.client("placer").cookies[COOKIE].value
        thief = here.client()
        thief.cookies[COOKIE] = copy
        assert thief.get("/seat/placing.pdf").status_code == 403
        assert thief.get("/seat.json").json()["role"] is None


def test_the_placer_of_one_line_up_sees_nothing_of_another(found: Sealed) -> None:
    from tests.web.sealed import asked

    other = jobs.draw_lineup(found.desk, asked(runs=3, aids=("fennel-lot-2",)))
    code = next(one.code for one in other.codes if one.role == "placer")
    client = SeatClient(desk=found.desk, away=True).sit(code)
    shown = (
        said(client.get("/seat/")) + said(client.get("/seat.json")) + said(client.get("/seat/placing.pdf"))
    )
    assert "fennel-lot-2" in shown
    assert AID not in shown


def test_the_placer_after_placing_is_shown_nothing_either(placed: Sealed) -> None:
    client = placed.client("placer")
    key = placed.key()
    shown = said(client.get("/seat/")) + said(client.get("/seat.json"))
    assert not any(run["nonce"] in shown for run in key["runs"])
    assert "plan-target" not in shown


def test_guessing_codes_makes_the_guesser_wait(found: Sealed) -> None:
    client = found.client()
    answers = [client.post("/seat/", {"code": f"AAAAAAAA{n:02d}"}) for n in range(8)]
    assert all(answer.status_code == 409 for answer in answers)
    assert re.search(r"Wait \d+ s", answers[-1].content.decode())
    assert client.post("/seat/", {"code": found.codes["placer"]}).status_code == 409


def test_pages_and_twins_are_kept_by_no_cache(placed: Sealed) -> None:
    for role in ROLES:
        client = placed.client(role)
        for address in ("/seat/", "/seat.json", "/seat/placing.pdf", "/nowhere/"):
            answer = client.get(address)
            assert answer.headers["Cache-Control"] == "no-store"
            assert not {"ETag", "Last-Modified", "Expires"} & set(answer.headers)


def test_on_this_machine_without_a_seat_no_page_holds_the_key(placed: Sealed) -> None:
    """Whoever opens the workbench itself, the trainer too, is not shown it."""
    client = placed.client(away=False)
    client.get("/")
    near = [
        f"/lineups/{placed.lineup}/",
        f"/lineups/{placed.lineup}.json",
        "/dogs/Teasel/",
        "/dogs/Teasel.json",
    ]
    last = placed.desk.store.count()
    entries = [f"/record/entries/{number}/" for number in range(1, last + 1)]
    key = placed.key()
    hidden = [key["seed"], key["nonce"], *(run["nonce"] for run in key["runs"])]
    for address in (*SHUT, *OPEN, *near, *entries):
        answer = client.get(address)
        assert not any(secret in said(answer) for secret in hidden), address
