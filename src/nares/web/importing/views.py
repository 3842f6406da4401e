"""Bringing in a spreadsheet: choose a file, say what its columns mean, look at the reps, keep them.

Conventions
-----------
Between the steps the file waits in the data folder under its digest, which is in the address; nothing else
is remembered. The form sends everything it shows, so that what is kept is what was looked at: the digest of
the mapping goes along, and a form that was changed since is shown again instead of kept.
"""

import shutil
import tempfile
from dataclasses import replace
from pathlib import Path

from django import conf
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.http import urlencode
from django.views.decorators.http import require_http_methods, require_safe

from nares.app import jobs
from nares.app.deeds import ImportSheet, LookAtSheet
from nares.app.sheets_page import SheetPage
from nares.base.errors import NaresError, Refused, Unusable
from nares.web.application import desk_of
from nares.web.dogs.add_session import moved
from nares.web.importing.asked import header_line_of, mapping_of
from nares.web.importing.rows import REP_HEADS, rows_of
from nares.web.shell.answers import done, wrapped_json
from nares.web.shell.errors import status_of
from nares.web.shell.person import person_of

NAME_LONGEST = 200


@require_http_methods(["GET", "HEAD", "POST"])
def choose(request: HttpRequest) -> HttpResponse:
    """Ask for a file and go on to its columns."""
    fault, status = "", 200
    if request.method == "POST":
        try:
            return redirect(_taken(request))
        except NaresError as error:
            fault, status = str(error), status_of(error)
    page = jobs.sheets_page(desk_of(request))
    return render(request, "importing/choose.html", {"page": page, "fault": fault}, status=status)


@require_safe
def choose_json(request: HttpRequest) -> HttpResponse:
    return wrapped_json("sheets/1", jobs.sheets_page(desk_of(request)))


def _taken(request: HttpRequest) -> str:
    """Let the file that was sent wait, and say where to look at it."""
    upload = request.FILES.get("file")
    if upload is None:
        raise Unusable("No file was sent. Choose a spreadsheet and send it again.")
    folder = Path(tempfile.mkdtemp(prefix="nares-sheet-", dir=conf.settings.FILE_UPLOAD_TEMP_DIR))
    try:
        sha256 = jobs.keep_waiting(desk_of(request), moved(upload, folder))
    finally:
        shutil.rmtree(folder, ignore_errors=True)
    query = {"name": file_name(upload.name or "")}
    if request.POST.get("use"):
        query["use"] = request.POST["use"]
    return f"{reverse('sheet', args=[sha256])}?{urlencode(query)}"


def file_name(name: str) -> str:
    r"""A file's own name, without any folder and without what cannot be seen.

    >>> file_name("C:\\Logs\\Bracken 2026.xlsx"), file_name("\n")
    ('Bracken 2026.xlsx', 'spreadsheet')
    """
    last = name.replace("\\", "/").rpartition("/")[2]
    seen = "".join(letter for letter in last if letter.isprintable()).strip()
    return seen[-NAME_LONGEST:] or "spreadsheet"


@require_http_methods(["GET", "HEAD", "POST"])
def sheet(request: HttpRequest, sha256: str) -> HttpResponse:
    """Show a waiting spreadsheet as the form says it is read; keep it when asked."""
    look = _look(request, sha256)
    if request.method != "POST":
        return _page(request, *_seen(request, look))
    try:
        look, faults = _as_said(request, look)
    except NaresError as error:
        return _page(request, jobs.sheet_page(desk_of(request), look), [str(error)])
    if request.POST.get("do") != "keep" or faults:
        page, more = _seen(request, look)
        return _page(request, page, faults + more)
    try:
        asked = ImportSheet(
            look, person_of(request), request.POST.get("seen", "-"), request.POST.get("keep_as", "")
        )
        dogs = jobs.sheet_page(desk_of(request), look).dogs_in_it
        receipt = jobs.import_sheet(desk_of(request), asked)
    except NaresError as error:
        page, _ = _seen(request, look)
        shown = str(error) if isinstance(error, Refused) else ""
        return _page(request, page, [shown] if shown else [], status_of(error))
    jobs.let_go(desk_of(request), sha256)
    return done(request, receipt, reverse("dog", args=[dogs[0]]) if len(dogs) == 1 else reverse("today"))


@require_safe
def sheet_json(request: HttpRequest, sha256: str) -> HttpResponse:
    return wrapped_json("sheet/1", jobs.sheet_page(desk_of(request), _look(request, sha256)))


def _look(request: HttpRequest, sha256: str) -> LookAtSheet:
    said = request.POST if request.method == "POST" else request.GET
    return LookAtSheet(
        path=jobs.waiting(desk_of(request), sha256),
        sheet=said.get("sheet", ""),
        use=request.GET.get("use", ""),
        name=file_name(request.GET.get("name", "")),
        add_dogs=bool(said.get("add_dogs")),
        only_new=bool(said.get("only_new")),
    )


def _as_said(request: HttpRequest, look: LookAtSheet) -> tuple[LookAtSheet, list[str]]:
    """The sheet with the mapping of the form; anew where another sheet or header line was chosen."""
    form = request.POST
    line = header_line_of(form)
    if form.get("sheet", "") != form.get("was-sheet", ""):
        return replace(look, use=""), []
    if str(line) != form.get("was-header_line", ""):
        return replace(look, use="", header_line=line), []
    fields = jobs.sheets_page(desk_of(request)).fields
    mapping, faults = mapping_of(form, fields)
    return replace(look, mapping=mapping, use=""), faults


def _seen(request: HttpRequest, look: LookAtSheet) -> tuple[SheetPage, list[str]]:
    """The page; where the mapping cannot be, what is proposed instead and the reason."""
    try:
        return jobs.sheet_page(desk_of(request), look), []
    except NaresError as error:
        if look.mapping is None and not look.use and not look.sheet:
            raise
        if look.mapping is not None and look.mapping.get("zone"):
            page, more = _seen(request, replace(look, mapping={**look.mapping, "zone": ""}))
        else:
            page, more = _seen(
                request, replace(look, mapping=None, use="", sheet=look.sheet if look.use else "")
            )
        return page, [str(error), *(one for one in more if one != str(error))]


def _page(
    request: HttpRequest, page: SheetPage, faults: list[str] | None = None, status: int = 200
) -> HttpResponse:
    """The form with everything that was said, and what it gives."""
    shown = {
        "page": page,
        "rows": rows_of(page),
        "rep_heads": REP_HEADS,
        "faults": faults or [],
        "can_keep": page.sound and not faults,
        "new": [one for one in page.sessions if not one.known],
        "form": request.POST,
    }
    if status == 200 and faults:
        status = 422
    return render(request, "importing/sheet.html", shown, status=status)
