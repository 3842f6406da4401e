"""What every answer carries, and which hosts are answered."""

import re

import pytest
from tests.web import samples
from tests.web.conftest import DeskClient

ADDRESSES = [
    "/",
    "/today.json",
    "/record/",
    f"/sessions/{samples.SESSION}/",
    "/nowhere/",
    "/media/" + "0" * 64,
]


@pytest.mark.parametrize("address", ADDRESSES)
def test_every_answer_is_shut_to_the_outside(client: DeskClient, address: str) -> None:
    headers = client.get(address).headers
    policy = headers["Content-Security-Policy"]
    assert "default-src 'self'" in policy
    assert "unsafe" not in policy
    assert "frame-ancestors 'none'" in policy
    assert headers["X-Frame-Options"] == "DENY"
    assert headers["X-Content-Type-Options"] == "nosniff"
    assert headers["Referrer-Policy"] == "same-origin"


@pytest.mark.parametrize(
    "address", ["/", "/dogs/Bracken/", f"/sessions/{samples.SESSION}/", "/record/", "/add-dog/"]
)
def test_no_page_needs_inline_script_or_style(client: DeskClient, address: str) -> None:
    page = client.get(address).content.decode()
    assert not re.search(r"<script(?![^>]*\bsrc=)", page)
    assert not re.search(r"\sstyle=|<style|\son[a-z]+=|javascript:", page)


@pytest.mark.parametrize("address", ["/", "/dogs/Bracken/", f"/sessions/{samples.SESSION}/", "/record/"])
def test_no_page_names_another_host(client: DeskClient, address: str) -> None:
    page = client.get(address).content.decode().replace('xmlns="http://www.w3.org/2000/svg"', "")
    assert not re.search(r"https?://|//[a-z]+\.", page)


def test_another_host_name_is_not_answered(client: DeskClient) -> None:
    answer = client.get("/", SERVER_NAME="evil.example")
    assert answer.status_code == 400
    assert "Saltmarsh" not in answer.content.decode()


def test_pages_are_not_kept_by_the_browser_and_recordings_are(client: DeskClient) -> None:
    assert client.get("/").headers["Cache-Control"] == "no-store"
    assert "immutable" in client.get(f"/media/{samples.SHA}/peaks.json").headers["Cache-Control"]
