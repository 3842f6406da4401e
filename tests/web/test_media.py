"""Recordings by range, as a player asks for them."""

import tracemalloc
from pathlib import Path

import pytest
from tests.web import samples
from tests.web.conftest import DeskClient
from tests.web.fakes import FakeJobs

from nares.web.media.ranges import Part, chunks

AT = f"/media/{samples.SHA}"
BYTES = bytes(range(256)) * 1000


@pytest.fixture
def film(fake: FakeJobs, tmp_path: Path) -> Path:
    fake.film = tmp_path / "film.mp4"
    fake.film.write_bytes(BYTES)
    return fake.film


def body(answer: object) -> bytes:
    return b"".join(answer.streaming_content)  # type: ignore[attr-defined]


def test_without_a_range_the_whole_is_sent(client: DeskClient, film: Path) -> None:
    answer = client.get(AT)
    assert answer.status_code == 200
    assert answer.headers["Accept-Ranges"] == "bytes"
    assert answer.headers["Content-Length"] == str(len(BYTES))
    assert answer.headers["Content-Type"] == "video/mp4"
    assert body(answer) == BYTES


@pytest.mark.parametrize(
    ("asked", "first", "last"),
    [
        ("bytes=0-0", 0, 0),
        ("bytes=100-199", 100, 199),
        ("bytes=255000-", 255000, 255999),
        ("bytes=-7", 255993, 255999),
        ("bytes=-999999999", 0, 255999),
        ("bytes=255990-999999999", 255990, 255999),
        ("bytes=65530-65545", 65530, 65545),
    ],
)
def test_a_range_is_sent_as_asked(client: DeskClient, film: Path, asked: str, first: int, last: int) -> None:
    answer = client.get(AT, headers={"Range": asked})
    assert answer.status_code == 206
    assert answer.headers["Content-Range"] == f"bytes {first}-{last}/{len(BYTES)}"
    assert answer.headers["Content-Length"] == str(last - first + 1)
    assert body(answer) == BYTES[first : last + 1]


@pytest.mark.parametrize("asked", ["bytes=256000-", "bytes=256000-256001", "bytes=-0"])
def test_a_range_outside_the_file_is_416(client: DeskClient, film: Path, asked: str) -> None:
    answer = client.get(AT, headers={"Range": asked})
    assert answer.status_code == 416
    assert answer.headers["Content-Range"] == f"bytes */{len(BYTES)}"


@pytest.mark.parametrize(
    "asked", ["bytes=", "bytes=-", "bytes=5-2", "pages=1-2", "bytes=0-1,5-6", "bytes=a-b"]
)
def test_a_range_that_is_not_understood_is_ignored(client: DeskClient, film: Path, asked: str) -> None:
    assert client.get(AT, headers={"Range": asked}).status_code == 200


def test_a_changed_file_is_sent_whole(client: DeskClient, film: Path) -> None:
    old = {"Range": "bytes=0-1", "If-Range": '"something else"'}
    assert client.get(AT, headers=old).status_code == 200
    same = {"Range": "bytes=0-1", "If-Range": client.get(AT).headers["ETag"]}
    assert client.get(AT, headers=same).status_code == 206


def test_head_sends_no_body(client: DeskClient, film: Path) -> None:
    answer = client.head(AT)
    assert answer.headers["Content-Length"] == str(len(BYTES))
    assert body(answer) == b""


def test_a_large_file_does_not_fill_the_memory(tmp_path: Path) -> None:
    film = tmp_path / "long.mp4"
    with film.open("wb") as file:
        file.truncate(64 * 2**20)
    tracemalloc.start()
    sent = sum(len(chunk) for chunk in chunks(film, Part(0, film.stat().st_size - 1)))
    _, most = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert sent == 64 * 2**20
    assert most < 2**20


@pytest.mark.parametrize(
    "address",
    [
        "/media/../record.sqlite3",
        "/media/..%2frecord.sqlite3",
        "/media/%2e%2e/%2e%2e/etc/passwd",
        "/media//etc/passwd",
        f"/media/{samples.SHA}/../../x",
        f"/media/{samples.SHA.upper()}",
        f"/media/{samples.SHA}.mp4",
        f"/media/{samples.SHA}%00",
        f"/media/{samples.SHA}%0a",
        "/static/../settings.py",
        "/static/%2e%2e/settings.py",
    ],
)
def test_no_path_leads_out_of_the_recordings(client: DeskClient, film: Path, address: str) -> None:
    assert client.get(address).status_code == 404


def test_an_unknown_recording_is_not_found(client: DeskClient, film: Path) -> None:
    assert client.get("/media/" + "0" * 64).status_code == 404


def test_a_missing_file_is_said_and_no_fault(client: DeskClient, film: Path) -> None:
    film.unlink()
    answer = client.get(AT)
    assert answer.status_code == 404
    assert "its file is gone" in answer.content.decode()


def test_a_kept_page_is_never_run_as_one(
    client: DeskClient, film: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("nares.app.jobs.media_file", lambda desk, sha256: (film, "text/html"))
    assert client.get(AT).headers["Content-Type"] == "application/octet-stream"


def test_peaks_are_sent_as_given(client: DeskClient) -> None:
    said = client.get(f"{AT}/peaks.json").json()
    assert said["rate_hz"] == 100
    assert len(said["peaks"]) == 1000
