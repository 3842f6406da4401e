"""A kept recording to play, and the peaks of its sound to draw."""

from pathlib import Path

import msgspec
from django.http import HttpRequest, HttpResponse, StreamingHttpResponse
from django.http.response import HttpResponseBase
from django.views.decorators.http import require_safe

from nares.app import jobs
from nares.base.errors import Unknown
from nares.web.application import desk_of
from nares.web.media.ranges import OutsideFile, Part, asked_part, chunks
from nares.web.shell.answers import JSON

FOREVER = "private, max-age=31536000, immutable"
PLAYABLE = ("video/", "audio/")


@require_safe
def media(request: HttpRequest, sha256: str) -> HttpResponseBase:
    """The recording with this digest, whole or the range asked for."""
    path, media_type = jobs.media_file(desk_of(request), sha256)
    if not path.is_file():
        raise Unknown(
            f"The recording {sha256[:12]} is on the record but its file is gone from the data folder."
        )
    size = path.stat().st_size
    tag = f'"{sha256}-{size}"'
    wanted = request.headers.get("Range", "")
    if request.headers.get("If-Range", tag) != tag:
        wanted = ""
    try:
        part = asked_part(wanted, size)
    except OutsideFile:
        return _answered(HttpResponse(status=416), tag, {"Content-Range": f"bytes */{size}"})
    response = _stream(path, part or Part(0, size - 1), media_type, head=request.method == "HEAD")
    if part:
        response.status_code = 206
        response.headers["Content-Range"] = f"bytes {part.first}-{part.last}/{size}"
    return _answered(response, tag, {"Cache-Control": FOREVER})


def _stream(path: Path, part: Part, media_type: str, *, head: bool) -> HttpResponseBase:
    # Only sound and pictures may claim their own type: nothing kept here is ever run as a page.
    shown = media_type if media_type.startswith(PLAYABLE) else "application/octet-stream"
    body = iter(()) if head else chunks(path, part)
    response = StreamingHttpResponse(body, content_type=shown)
    response.headers["Content-Length"] = str(part.length)
    return response


def _answered(response: HttpResponseBase, tag: str, more: dict[str, str]) -> HttpResponseBase:
    for name, value in {"Accept-Ranges": "bytes", "ETag": tag, **more}.items():
        response.headers[name] = value
    return response


@require_safe
def peaks(request: HttpRequest, sha256: str) -> HttpResponse:
    """Precomputed peaks, so that the browser never decodes the sound itself to draw it."""
    found = jobs.waveform(desk_of(request), sha256)
    return HttpResponse(msgspec.json.encode(found), content_type=JSON, headers={"Cache-Control": FOREVER})


@require_safe
def spectrogram(request: HttpRequest, sha256: str) -> HttpResponse:
    """How many pictures of the sound's pitches there are, and what they show."""
    found = jobs.spectrogram(desk_of(request), sha256)
    return HttpResponse(msgspec.json.encode(found), content_type=JSON, headers={"Cache-Control": FOREVER})


@require_safe
def spectrogram_tile(request: HttpRequest, sha256: str, number: str) -> HttpResponse:
    """One picture of the sound's pitches."""
    found = jobs.spectrogram_tile(desk_of(request), sha256, int(number))
    return HttpResponse(found, content_type="image/png", headers={"Cache-Control": FOREVER})
