"""The real server: static files, ranges over the wire, a port that is taken."""

import http.client
import socket
import threading
from collections.abc import Iterator
from pathlib import Path
from types import SimpleNamespace

import pytest
from tests.web import samples
from tests.web.fakes import FakeJobs

from nares.base.errors import WrongUse
from nares.web.server import make_server


@pytest.fixture
def port(fake: FakeJobs, tmp_path: Path) -> Iterator[int]:
    fake.film = tmp_path / "film.mp4"
    fake.film.write_bytes(b"0123456789" * 100_000)
    server = make_server(SimpleNamespace(person="Mara Quill"), host="127.0.0.1", port=0)
    thread = threading.Thread(target=server.serve)
    thread.start()
    assert isinstance(server.bind_addr, tuple)
    yield int(server.bind_addr[1])
    server.stop()
    thread.join()


def ask(port: int, address: str, headers: dict[str, str] | None = None) -> tuple[int, bytes, dict[str, str]]:
    line = http.client.HTTPConnection("127.0.0.1", port, timeout=10)
    line.request("GET", address, headers=headers or {})
    answer = line.getresponse()
    said = answer.status, answer.read(), dict(answer.getheaders())
    line.close()
    return said


def test_a_page_is_served_over_the_wire(port: int) -> None:
    status, body, headers = ask(port, "/")
    assert status == 200
    assert b"Saltmarsh Kennels" in body
    assert headers["X-Frame-Options"] == "DENY"


@pytest.mark.parametrize(
    "address", ["/static/css/frame.css", "/static/js/session.js", "/static/mark.svg", "/static/font/OFL.txt"]
)
def test_static_files_are_served_with_the_same_headers(port: int, address: str) -> None:
    status, _, headers = ask(port, address)
    assert status == 200
    assert headers["X-Content-Type-Options"] == "nosniff"
    assert "default-src 'self'" in headers["Content-Security-Policy"]


@pytest.mark.parametrize(
    "address",
    [
        "/static/../settings.py",
        "/static/%2e%2e/settings.py",
        "/static/css/../../settings.py",
        "/static//etc/passwd",
        "/media/../../etc/passwd",
        f"/media/{samples.SHA}/../../../etc/passwd",
    ],
)
def test_no_path_leads_out(port: int, address: str) -> None:
    status, body, _ = ask(port, address)
    assert status in (400, 404)
    assert b"root:" not in body
    assert b"SECRET_KEY" not in body


def test_a_range_arrives_as_asked(port: int) -> None:
    status, body, headers = ask(port, f"/media/{samples.SHA}", {"Range": "bytes=500003-500007"})
    assert status == 206
    assert body == b"34567"
    assert headers["Content-Range"] == "bytes 500003-500007/1000000"


def test_another_host_name_is_refused(port: int) -> None:
    status, body, _ = ask(port, "/", {"Host": "evil.example"})
    assert status == 400
    assert b"Saltmarsh" not in body


# The server library drops the socket it could not bind without closing it.
@pytest.mark.filterwarnings("ignore::pytest.PytestUnraisableExceptionWarning", "ignore::ResourceWarning")
def test_a_taken_port_is_said_in_a_sentence(fake: FakeJobs) -> None:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        with pytest.raises(WrongUse, match=r"Cannot listen on 127.0.0.1 port \d+: .*another --port"):
            make_server(SimpleNamespace(), host="127.0.0.1", port=taken.getsockname()[1])
