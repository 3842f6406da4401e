"""Calls that were written on a printed sheet, typed in afterwards: one row a run that has no call yet."""

from datetime import date, datetime
from typing import Any

from django import forms
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_http_methods

from nares.app import jobs
from nares.app.lineups.requests import TypeCalls
from nares.app.lineups.values import LineupPage
from nares.base.errors import NaresError
from nares.base.lineups import Called
from nares.web.application import desk_of
from nares.web.lineups.forms import chosen, named
from nares.web.shell.answers import done
from nares.web.shell.errors import status_of
from nares.web.shell.fields import REASON_LONGEST, Form
from nares.web.shell.person import person_of

CLEAR = "clear"


def runs_without_call(page: LineupPage) -> tuple[int, ...]:
    """Runs that a sheet may still hold a call of."""
    return tuple(run.run for run in page.runs if run.called is None and run.state not in ("open", "void"))


class PaperForm(Form):
    """The day, who called, and for each run the call and its time; a run without a call was not run."""

    day = forms.DateField(
        label="Day",
        widget=forms.DateInput(attrs={"type": "date"}),
        error_messages={
            "required": "No day was given. Give the day on the sheet.",
            "invalid": "This is no day. Write it like 2026-03-14.",
        },
    )
    called_by = named("Who called")
    why = forms.CharField(
        label="Why they were on paper",
        max_length=REASON_LONGEST,
        error_messages={"required": "No reason was given. Say why, in a few words."},
    )

    def __init__(self, *given: Any, page: LineupPage, **more: Any) -> None:
        super().__init__(*given, **more)
        self.runs = runs_without_call(page)
        places = [("", "no call"), (CLEAR, "clear")]
        places += [(str(spot.position), f"position {spot.position}") for spot in page.area.spots]
        for run in self.runs:
            self.fields[f"call_{run}"] = chosen(f"Call of run {run}", places, required=False)
            self.fields[f"time_{run}"] = forms.TimeField(
                label=f"Time of run {run}",
                required=False,
                widget=forms.TimeInput(attrs={"type": "time", "step": "1"}),
                error_messages={"invalid": "This is no time. Write it like 14:02:11."},
            )

    def clean(self) -> dict[str, Any]:
        """Every call has its time, and there is one at least."""
        said: dict[str, Any] = super().clean() or self.cleaned_data
        for run in self.runs:
            call, time = said.get(f"call_{run}"), said.get(f"time_{run}")
            if call and time is None and f"time_{run}" not in self.errors:
                self.add_error(f"time_{run}", "It has a call and no time. Give the time on the sheet.")
            if time is not None and not call:
                self.add_error(f"call_{run}", "It has a time and no call. Say what was called.")
        if not self.errors and not any(said.get(f"call_{run}") for run in self.runs):
            self.add_error(None, "No call was given. Give that of one run at least.")
        return said

    def rows(self) -> list[tuple[int, forms.BoundField, forms.BoundField]]:
        """One row a run, for the page."""
        return [(run, self[f"call_{run}"], self[f"time_{run}"]) for run in self.runs]

    def asked(self, lineup: str, by: str) -> TypeCalls:
        """The deed this form asks for; times are those of this computer's zone."""
        said = self.cleaned_data
        calls = tuple(
            Called(
                run,
                None if said[f"call_{run}"] == CLEAR else int(said[f"call_{run}"]),
                said["called_by"],
                datetime.combine(said["day"], said[f"time_{run}"]).astimezone().isoformat(),
            )
            for run in self.runs
            if said[f"call_{run}"]
        )
        return TypeCalls(lineup, by, calls, said["why"])


@require_http_methods(["GET", "HEAD", "POST"])
def paper(request: HttpRequest, lineup: str) -> HttpResponse:
    """Type in the calls of a sheet, all of them or none."""
    page = jobs.lineup_page(desk_of(request), lineup, reckon=False)
    handler = next((seat.person for seat in page.seats if seat.role == "handler"), "")
    if request.method != "POST":
        form = PaperForm(page=page, initial={"called_by": handler, "day": date.today()})  # noqa: DTZ011
        return _shown(request, page, form)
    form = PaperForm(request.POST, page=page)
    if not form.is_valid():
        return _shown(request, page, form, status=422)
    try:
        receipt = jobs.type_calls(desk_of(request), form.asked(page.lineup, person_of(request)))
    except NaresError as error:
        form.add_error(None, str(error))
        return _shown(request, page, form, status=status_of(error))
    return done(request, receipt, reverse("lineup", args=[page.lineup]))


def _shown(request: HttpRequest, page: LineupPage, form: PaperForm, *, status: int = 200) -> HttpResponse:
    return render(request, "lineups/paper.html", {"page": page, "form": form}, status=status)
