"""The gate over the wire: the real server on a network, asked from an address that is not loopback."""

import http.client
import socket
import threading
from collections.abc import Iterator

import pytest
from tests.web.fakes import FakeJobs
from tests.web.seated import DESK_SEATED, FakeSeats

from nares.web.server import make_server
from nares.web.settings import _own_addresses, is_loopback, seats_at

OWN = [one for one in _own_addresses(socket.gethostname().lower()) if not is_loopback(one)]


@pytest.fixture
def port(monkeypatch: pytest.MonkeyPatch, fake: FakeJobs) -> Iterator[int]:
    FakeSeats().put_in(monkeypatch)
    server = make_server(DESK_SEATED, host="0.0.0.0", port=0)
    thread = threading.Thread(target=server.serve)
    thread.start()
    assert isinstance(server.bind_addr, tuple)
    yield int(server.bind_addr[1])
    server.stop()
    thread.join()


def ask(
    host: str, port: int, target: str, headers: dict[str, str] | None = None, method: str = "GET"
) -> tuple[int, bytes]:
    line = http.client.HTTPConnection(host, port, timeout=10)
    line.putrequest(method, target, skip_host="Host" in (headers or {}), skip_accept_encoding=True)
    for name, value in (headers or {}).items():
        line.putheader(name, value)
    line.endheaders()
    answer = line.getresponse()
    said = answer.status, answer.read()
    line.close()
    return said


@pytest.mark.skipif(not OWN, reason="this machine has no address but loopback")
@pytest.mark.parametrize(
    "target",
    [
        "/",
        "/record/",
        "/record.json",
        "//record/",
        "/%72ecord/",
        "/seat/../record/",
        "/seat%2F..%2Frecord/",
        "/seat/%2e%2e/record/",
        "/record.json?/seat/",
        "/record/;/seat/",
        "http://127.0.0.1/record/",
        "/nowhere/",
        "/media/" + "0" * 64,
    ],
)
def test_from_the_network_only_the_seats_are_reached(port: int, target: str) -> None:
    for headers in ({}, {"X-Forwarded-For": "127.0.0.1"}, {"X-Real-IP": "127.0.0.1"}, {"Host": "127.0.0.1"}):
        for method in ("GET", "HEAD", "POST"):
            status, body = ask(OWN[0], port, target, headers, method)
            assert status in (400, 403, 411), (target, headers, method)
            assert b"Saltmarsh" not in body


@pytest.mark.skipif(not OWN, reason="this machine has no address but loopback")
def test_the_seats_and_static_files_are_reached_from_the_network(port: int) -> None:
    for target in ("/seat/", "/seat.json", "/static/css/seats.css", "/static/js/seats/page.js"):
        assert ask(OWN[0], port, target)[0] == 200
    status, body = ask(OWN[0], port, "/seat/placing.pdf")
    assert (status, b"%PDF" in body) == (403, False)


def test_the_workbench_stays_on_this_machine(port: int) -> None:
    status, body = ask("127.0.0.1", port, "/")
    assert status == 200
    assert b"Saltmarsh Kennels" in body


def test_where_others_find_the_seats() -> None:
    assert seats_at("127.0.0.1", 8431) == seats_at("localhost", 8431) == seats_at("::1", 8431) == []
    assert seats_at("192.168.7.20", 8431) == ["http://192.168.7.20:8431/seat/"]
    assert seats_at("fd00::7", 8431) == ["http://[fd00::7]:8431/seat/"]
    found = seats_at("0.0.0.0", 8431)
    assert found
    assert not any("127.0.0.1" in one or "localhost" in one for one in found)
