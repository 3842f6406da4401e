"""Where the openings lie in a kept session's pictures: draw, move, take what is proposed, measure again."""

from typing import Any

from django import forms
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods

from nares.app import jobs
from nares.app.deeds import MeasureAgain
from nares.app.pages import TimelinePage
from nares.base.errors import NaresError
from nares.base.vocab import Region
from nares.web.application import desk_of, measurings_of
from nares.web.dogs.forms import region_of
from nares.web.shell.errors import status_of
from nares.web.shell.fields import Form
from nares.web.shell.person import person_of

NONE_DRAWN = "Draw at least one opening, or leave the reading as it is."


class RegionsForm(Form):
    front = forms.CharField(label="Front opening (nose)", required=False, max_length=80)
    side = forms.CharField(label="Side opening (hand)", required=False, max_length=80)

    def clean_front(self) -> Region | None:
        return region_of(self.cleaned_data["front"])

    def clean_side(self) -> Region | None:
        return region_of(self.cleaned_data["side"])

    def clean(self) -> dict[str, Any]:
        said = dict(super().clean() or {})
        if not self.errors and not (said.get("front") or said.get("side")):
            raise forms.ValidationError(NONE_DRAWN)
        return said


@require_http_methods(["GET", "HEAD", "POST"])
def regions(request: HttpRequest, session: str) -> HttpResponse:
    """Show the film with the regions it was measured with, or measure again with others."""
    page = jobs.timeline_page(desk_of(request), session)
    if request.method != "POST":
        if "propose" in request.GET:
            return _proposed(request, page)
        return _page(
            request, page, RegionsForm(initial={"front": _text(page.front), "side": _text(page.side)})
        )
    form = RegionsForm(request.POST)
    if not form.is_valid():
        return _page(request, page, form, status=422)
    asked = MeasureAgain(session, person_of(request), form.cleaned_data["front"], form.cleaned_data["side"])
    measuring = measurings_of(request).start_again(asked, dog=page.dog)
    return redirect(reverse("measuring", args=[measuring.token]))


def _proposed(request: HttpRequest, page: TimelinePage) -> HttpResponse:
    """The form filled with what the pictures suggest; nothing is measured until a person says so."""
    kept = _kept(page)
    try:
        found = jobs.regions_proposed(desk_of(request), page.session)
    except NaresError as error:
        return _page(request, page, RegionsForm(initial=kept), said=str(error), status=status_of(error))
    seen = {"front": found.front, "side": found.side}
    told = [
        f"{name} opening: {'none seen' if one is None else f'{100 * one.sure:.0f} % sure'}"
        for name, one in seen.items()
    ]
    fresh = {name: _text(_parts(one.region)) for name, one in seen.items() if one is not None}
    said = f"Proposed, {', '.join(told)}. Check both on the film, then measure again."
    return _page(request, page, RegionsForm(initial={**kept, **fresh}), said=said)


def _kept(page: TimelinePage) -> dict[str, str]:
    return {"front": _text(page.front), "side": _text(page.side)}


def _parts(region: Region) -> tuple[float, ...]:
    return (region.x, region.y, region.w, region.h)


def _text(region: tuple[float, ...] | None) -> str:
    return ",".join(f"{part:.3f}".rstrip("0").rstrip(".") for part in region) if region else ""


def _page(
    request: HttpRequest, page: TimelinePage, form: RegionsForm, *, said: str = "", status: int = 200
) -> HttpResponse:
    return render(request, "timeline/regions.html", {"page": page, "form": form, "said": said}, status=status)
