"""Answers: a page as HTML, its twin as JSON, a receipt shown after the redirect."""

from typing import Any

import msgspec
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect

from nares import __version__
from nares.app.deeds import Receipt

JSON = "application/json; charset=utf-8"


def wants_json(request: HttpRequest) -> bool:
    """Whether this address is the JSON twin of a page."""
    return request.path.endswith(".json")


def wrapped_json(schema: str, page: Any, *, status: int = 200) -> HttpResponse:
    """A page's values as JSON, with the version and the name of the schema in front."""
    values = msgspec.to_builtins(page)
    body = msgspec.json.encode({"nares": __version__, "schema": schema, **values})
    return HttpResponse(body, content_type=JSON, status=status)


def done(request: HttpRequest, receipt: Receipt, to: str) -> HttpResponse:
    """Redirect after a deed, taking the receipt's sentence along."""
    messages.success(request, receipt.said)
    return redirect(to)
