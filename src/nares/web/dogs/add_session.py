"""Adding a recorded session: the form, the upload, and the page that shows the measuring.

Conventions
-----------
The upload streams to disk while it arrives and is then moved, not copied, into a folder of its own under
the name it came with; that folder goes once the app has kept or refused the recording.
"""

import os
import re
import shutil
import tempfile
from pathlib import Path
from typing import Any

from django import conf
from django.core.files.uploadedfile import TemporaryUploadedFile, UploadedFile
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_safe

from nares.app import jobs
from nares.app.pages import DogPage
from nares.base.errors import NaresError
from nares.web.application import desk_of, measurings_of
from nares.web.dogs.forms import SessionForm
from nares.web.sessions.measuring import Measuring
from nares.web.shell.answers import wrapped_json
from nares.web.shell.person import person_of


@require_http_methods(["GET", "HEAD", "POST"])
def add_session(request: HttpRequest, name: str) -> HttpResponse:
    """Take a recording of this dog and start measuring it."""
    page = jobs.dog_page(desk_of(request), name)
    steps = [(step.key, step.name) for step in page.steps]
    cues = jobs.session_cues(desk_of(request), page.card.name)
    if request.method != "POST":
        return _form(request, page, SessionForm(steps=steps, cues=cues, initial=_usual(request, page)))
    form = SessionForm(request.POST, request.FILES, steps=steps, cues=cues)
    if not form.is_valid():
        return _form(request, page, form, status=422)
    measuring = _start(request, page.card.name, form)
    return redirect(reverse("measuring", args=[measuring.token]))


def _start(request: HttpRequest, dog: str, form: SessionForm) -> Measuring:
    folder = Path(tempfile.mkdtemp(prefix="nares-upload-", dir=conf.settings.FILE_UPLOAD_TEMP_DIR))
    recording = moved(form.cleaned_data["recording"], folder)
    clicker = form.cleaned_data["clicker"]
    asked = form.asked(
        dog,
        person_of(request),
        recording=recording,
        clicker=moved(clicker, folder, "clicker-") if clicker else None,
    )
    return measurings_of(request).start(asked, clean_up=lambda: shutil.rmtree(folder, ignore_errors=True))


def moved(upload: "UploadedFile[Any]", folder: Path, prefix: str = "") -> Path:
    """Move an upload into the folder under a name that can do no harm; its ending is kept."""
    to = folder / (prefix + safe_name(upload.name or "recording"))
    if isinstance(upload, TemporaryUploadedFile):
        if upload.file is not None:
            upload.file.flush()
        shutil.move(upload.temporary_file_path(), to)
        return to
    with to.open("wb") as out:
        for chunk in upload.chunks():
            out.write(chunk)
    return to


def safe_name(name: str) -> str:
    """The letters, digits, dots and dashes of a file's own name, without any folder.

    >>> safe_name("../../etc/Träining 1.MP4")
    'Tr-ining-1.MP4'
    """
    last = os.path.basename(name.replace("\\", "/"))  # noqa: PTH119 - a name, not a path of this machine
    return re.sub(r"[^A-Za-z0-9.]+", "-", last).strip("-.")[-100:] or "recording"


def _usual(request: HttpRequest, page: DogPage) -> dict[str, Any]:
    """What is likely the same as last time: where the openings are, and the asks that were planned."""
    usual: dict[str, Any] = {}
    if page.card.call:
        usual["asks"] = " ".join(
            f"{rep.ask_s:g}" for rep in page.card.call.next_session if rep.ask_s is not None
        )
    if page.card.last_session:
        try:
            last = jobs.session_page(desk_of(request), page.card.last_session)
        except NaresError:
            return usual
        usual["front"] = _region_text(last.front)
        usual["side"] = _region_text(last.side)
    return usual


def _region_text(region: tuple[float, float, float, float] | None) -> str:
    return ",".join(f"{part:g}" for part in region) if region else ""


def _form(request: HttpRequest, page: DogPage, form: SessionForm, status: int = 200) -> HttpResponse:
    return render(request, "dogs/add_session.html", {"page": page, "form": form}, status=status)


@require_safe
def measuring(request: HttpRequest, token: str) -> HttpResponse:
    """How far the measuring is; goes on to the session by itself."""
    state = measurings_of(request).state(token)
    if state.state == "done" and state.session:
        return redirect(reverse("session", args=[state.session]))
    status = 422 if state.state == "failed" else 200
    return render(request, "dogs/measuring.html", {"state": state}, status=status)


@require_safe
def measuring_json(request: HttpRequest, token: str) -> HttpResponse:
    return wrapped_json("measuring/1", measurings_of(request).state(token))
