"""The gate: every address of the site against browsers with a seat and from another machine."""

import re
from collections.abc import Iterator
from types import SimpleNamespace
from typing import Any

import pytest
from django.test import RequestFactory
from django.urls import URLPattern, get_resolver
from tests.web.fakes import FakeJobs
from tests.web.seated import CODES, ROLES, FakeSeats, SeatClient

from nares.web.seats.cookie import COOKIE
from nares.web.seats.gate import SEATS, is_from_here
from nares.web.settings import configure

METHODS = ("get", "head", "options", "post", "put", "patch", "delete", "trace")
SAMPLES = {"int": "1", "str": "x", "name": "Teasel", "slug": "x", "uuid": "0" * 8, "path": "x"}


@pytest.fixture
def seats(monkeypatch: pytest.MonkeyPatch, fake: FakeJobs) -> FakeSeats:
    made = FakeSeats()
    made.put_in(monkeypatch)
    return made


def code_of(role: str) -> str:
    return next(code for code, its in CODES.items() if its == role)


def patterns() -> Iterator[URLPattern]:
    configure(secret="a secret of the tests only")
    for found in get_resolver().url_patterns:
        assert isinstance(found, URLPattern)  # an included list would need a walk of its own
        yield found


def address_of(found: URLPattern) -> str:
    """An address that leads to this pattern, made from its own text."""
    text = str(found.pattern)
    text = re.sub(r"<(\w+):\w+>", lambda part: SAMPLES[part[1]], text)
    text = re.sub(r"\(\?P<sha256>\[0-9a-f\]\{64\}\)", "0" * 64, text)
    text = re.sub(r"\(\?P<number>\[0-9\]\{1,4\}\)", "1", text)
    return "/" + text.removeprefix("^").removesuffix("$").replace("(?:today|index)?", "today").replace(
        "\\", ""
    )


SHUT = [address_of(found) for found in patterns() if found.name not in SEATS]
OPEN = [address_of(found) for found in patterns() if found.name in SEATS]


def test_the_list_is_the_whole_site() -> None:
    assert len(SHUT) + len(OPEN) == len(get_resolver().url_patterns)
    assert len(SHUT) > 50
    assert len(OPEN) == len(SEATS)
    for address in (*SHUT, *OPEN):
        get_resolver().resolve(address)  # every address made up here leads somewhere


def test_every_open_address_is_one_of_the_seats() -> None:
    assert all(address == "/seat.json" or address.startswith("/seat/") for address in OPEN)
    for found in patterns():
        if found.name in SEATS:
            assert found.callback.__module__ in ("nares.web.seats.views", "nares.web.seats.deeds")


def is_shut(answer: Any, address: str, method: str) -> bool:
    if answer.status_code != 403:
        return False
    if method == "head":
        return bool(answer.content == b"")
    if address.endswith(".json"):
        return bool(
            answer.json()["schema"] == "error/1"
            and set(answer.json()) == {"nares", "schema", "status", "error"}
        )
    return b'href="/seat/"' in answer.content


@pytest.mark.parametrize("method", METHODS)
def test_a_seat_opens_no_other_address(seats: FakeSeats, method: str) -> None:
    for role in ROLES:
        client = SeatClient().sit(code_of(role))
        assert [a for a in SHUT if not is_shut(getattr(client, method)(a), a, method)] == []


@pytest.mark.parametrize("method", METHODS)
def test_another_machine_opens_no_other_address(seats: FakeSeats, method: str) -> None:
    client = SeatClient(away=True)
    assert [a for a in SHUT if not is_shut(getattr(client, method)(a), a, method)] == []


SPELLINGS = [
    "//", "//record/", "/record", "/record//", "/RECORD/", "/Record.json", "/seat/../record/", "/seat/../../",
    "/seat//record/", "/seat/record/", "/./record/", "/record/.", "/%72ecord/", "/seat/%2e%2e/record/",
    "/seat%2F..%2Frecord/", "/seat;/record/", "/record/?seat/", "/record/#seat", "/dogs/seat/", "/seat.json/",
    "/seat.json/../record.json", "/SEAT/", "/seat/placing.PDF", "/seat/placing.pdf/", "/record.json%00.seat",
    "/seat/\u202e/", "/nowhere/", "/nowhere.json", "/today.json", "/.json", "/dogs/x/../../seat/",
    "/record/entries/1/?next=/seat/", "/media/" + "0" * 64, "/static/../record/", "/seat /", "/seat%0A/",
]  # fmt: skip


@pytest.mark.parametrize("address", SPELLINGS)
def test_no_other_spelling_opens_anything(seats: FakeSeats, address: str) -> None:
    for client in (SeatClient(away=True), SeatClient().sit(code_of("handler"))):
        for method in ("get", "head", "post", "options"):
            answer = getattr(client, method)(address)
            assert answer.status_code == 403, (address, method, answer.status_code)
            assert b"Saltmarsh" not in answer.content


def test_the_answer_is_the_same_whether_there_is_a_page_or_not(seats: FakeSeats) -> None:
    client = SeatClient().sit(code_of("handler"))
    pages = {
        re.sub(rb'value="\w{64}"', b"", client.get(a).content) for a in ("/record/", "/nowhere/", "/dogs/x/")
    }
    assert len(pages) == 1


def test_on_this_machine_without_a_seat_everything_is_as_before(seats: FakeSeats) -> None:
    client = SeatClient()
    assert client.get("/").status_code == 200
    assert client.get("/record/").status_code == 200
    assert client.get("/nowhere/").status_code == 404
    assert b"Type the code" in client.get("/seat/").content


def test_the_way_to_the_seat_is_open(seats: FakeSeats) -> None:
    away = SeatClient(away=True)
    assert away.get("/seat/").status_code == 200
    assert away.get("/seat.json").json()["role"] is None
    assert away.get("/seat").headers["Location"] == "/seat/"
    assert away.sit(code_of("handler")).get("/seat/").status_code == 200


@pytest.mark.parametrize("away", [False, True])
def test_a_token_that_counts_no_more_is_taken_away(seats: FakeSeats, away: bool) -> None:
    client = SeatClient(away=away).sit(code_of("handler"))
    seats.tokens.clear()
    answer = client.get("/seat/")
    assert answer.cookies[COOKIE].value == ""
    assert b"is over" in answer.content
    assert client.get("/").status_code == (403 if away else 200)


@pytest.mark.parametrize(
    "value",
    ["", "x", "token-Teasel-7-placer-0", "token-Teasel-7-placer-0:1abcde:x", "a" * 9000, "token%00", '"";'],
)
def test_a_made_up_token_is_no_seat_and_is_taken_away(seats: FakeSeats, value: str) -> None:
    seats.seated("placer")
    client = SeatClient(away=True)
    client.cookies[COOKIE] = value
    answer = client.get("/seat/placing.pdf")
    assert (answer.status_code, seats.sheets) == (403, 0)
    assert answer.cookies[COOKIE].value == ""


def test_a_token_signed_elsewhere_is_no_seat(seats: FakeSeats) -> None:
    client = SeatClient().sit(code_of("placer"))
    stolen = client.cookies[COOKIE].value
    other = SeatClient(desk=SimpleNamespace(person="Mara Quill", secret="of another folder"), away=True)
    other.cookies[COOKIE] = stolen
    assert other.get("/seat/placing.pdf").status_code == 403
    assert seats.sheets == 0


@pytest.mark.parametrize(
    ("header", "value"),
    [
        ("HTTP_X_FORWARDED_FOR", "127.0.0.1"),
        ("HTTP_FORWARDED", "for=127.0.0.1"),
        ("HTTP_X_REAL_IP", "::1"),
        ("HTTP_X_FORWARDED_HOST", "127.0.0.1"),
        ("HTTP_CLIENT_IP", "127.0.0.1"),
        ("HTTP_NARES_SEAT", "x"),
        ("HTTP_X_ORIGINAL_URL", "/seat/"),
        ("HTTP_X_HTTP_METHOD_OVERRIDE", "GET"),
    ],
)
def test_no_header_opens_the_gate(seats: FakeSeats, header: str, value: str) -> None:
    assert SeatClient(away=True).saying(header, value).get("/record/").status_code == 403
    assert SeatClient().saying(header, value).sit(code_of("handler")).get("/record/").status_code == 403


@pytest.mark.parametrize("header", ["HTTP_X_FORWARDED_FOR", "HTTP_FORWARDED", "HTTP_X_REAL_IP", "HTTP_VIA"])
def test_what_a_proxy_on_this_machine_passes_on_came_from_elsewhere(seats: FakeSeats, header: str) -> None:
    assert SeatClient().saying(header, "127.0.0.1").get("/record/").status_code == 403


@pytest.mark.parametrize(
    ("address", "here"),
    [
        ("127.0.0.1", True),
        ("127.8.9.1", True),
        ("::1", True),
        ("::ffff:127.0.0.1", True),
        ("::ffff:192.168.7.20", False),
        ("192.168.7.20", False),
        ("10.0.0.1", False),
        ("0.0.0.0", False),
        ("::", False),
        ("fe80::1%eth0", False),
        ("", False),
        ("localhost", False),
        ("127.0.0.1, 10.0.0.1", False),
    ],
)
def test_where_a_connection_comes_from(address: str, here: bool) -> None:
    configure(secret="a secret of the tests only")
    assert is_from_here(RequestFactory().get("/", REMOTE_ADDR=address)) is here


def test_an_answer_without_an_origin_is_from_elsewhere() -> None:
    request = RequestFactory().get("/")
    del request.META["REMOTE_ADDR"]
    assert not is_from_here(request)
