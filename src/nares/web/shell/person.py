"""Who is acting: a name in a signed cookie, until people have accounts.

The name goes into every entry as ``by``. The signature only keeps it from being changed unseen; it is
no proof of who sat at the keyboard.
"""

from urllib.parse import quote, unquote

from django import forms
from django.contrib import messages
from django.core.signing import BadSignature
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils.http import url_has_allowed_host_and_scheme
from django.views.decorators.http import require_POST

from nares.web.application import desk_of

COOKIE = "nares_person"
YEAR_S = 365 * 24 * 3600
NAME_LONGEST = 80


class PersonForm(forms.Form):
    person = forms.CharField(max_length=NAME_LONGEST, strip=True)


def person_of(request: HttpRequest) -> str:
    """The name entries of this request are made by."""
    try:
        name = unquote(request.get_signed_cookie(COOKIE, default="") or "")
    except BadSignature:
        name = ""
    return str(name or getattr(desk_of(request), "person", "") or "trainer")


@require_POST
def change_person(request: HttpRequest) -> HttpResponse:
    """Take another name from now on, and go back to where the person was."""
    back = request.POST.get("next", "")
    if not url_has_allowed_host_and_scheme(back, allowed_hosts={request.get_host()}):
        back = "/"
    response = redirect(back)
    form = PersonForm(request.POST)
    if form.is_valid():
        # A cookie holds Latin letters only; quoting carries every other name through.
        name = quote(form.cleaned_data["person"])
        response.set_signed_cookie(COOKIE, name, max_age=YEAR_S, httponly=True, samesite="Lax")
    else:
        messages.error(request, f"Write your name, at most {NAME_LONGEST} letters.")
    return response
