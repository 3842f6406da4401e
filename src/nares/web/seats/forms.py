"""The forms of the seats: a code, and one form a deed. Who acts is read from the seat, never from a form."""

import re
from typing import Any

from django import forms

from nares.app.lineups.requests import (
    BeginRun,
    CloseLineup,
    MakeCall,
    ObserveRun,
    OpenRun,
    PlaceRun,
    VoidRun,
)
from nares.app.lineups.values import EvaluatingPage, Seat
from nares.base.lineups import Area, Observed, Visit
from nares.web.shell.fields import REASON_LONGEST, Form

CODE_LONGEST = 60
NAME_LONGEST = 80
MOST_RUNS = 9999
MOST_S = 86_400.0
VISITS_MOST = 2000
CLEAR = "clear"


class CodeForm(Form):
    """The code of a seat, however it is written: small letters, blanks and dashes do not matter."""

    code = forms.CharField(
        label="Code of your seat",
        max_length=CODE_LONGEST,
        widget=forms.TextInput(
            attrs={
                "autocapitalize": "characters",
                "autocomplete": "off",
                "autocorrect": "off",
                "spellcheck": "false",
                "enterkeyhint": "go",
                "class": "code",
            }
        ),
        error_messages={"required": "Type the code that was handed to you."},
    )

    def clean_code(self) -> str:
        return re.sub(r"[\W_]+", "", self.cleaned_data["code"]).upper()


class RunForm(Form):
    """A deed about one run."""

    run = forms.IntegerField(min_value=1, max_value=MOST_RUNS, widget=forms.HiddenInput)


class PlaceForm(RunForm):
    note = forms.CharField(
        label="Anything that went otherwise",
        required=False,
        max_length=REASON_LONGEST,
        widget=forms.Textarea(attrs={"rows": 2}),
    )

    def asked(self, token: str, seat: Seat) -> PlaceRun:
        return PlaceRun(token, self.cleaned_data["run"], self.cleaned_data["note"])


class CallForm(RunForm):
    position = forms.CharField(max_length=8, error_messages={"required": "Choose a position, or Clear."})

    def __init__(self, *given: Any, area: Area, **named: Any) -> None:
        super().__init__(*given, **named)
        self.positions = {str(spot.position) for spot in area.spots}

    def clean_position(self) -> int | None:
        said = self.cleaned_data["position"]
        if said == CLEAR:
            return None
        if said not in self.positions:
            raise forms.ValidationError("There is no such position. Choose one of the plan, or Clear.")
        return int(said)

    def asked(self, token: str, seat: Seat) -> MakeCall:
        return MakeCall(token, self.cleaned_data["run"], self.cleaned_data["position"])


class BeginForm(RunForm):
    present = forms.MultipleChoiceField(label="Who can see or be seen", required=False)
    others = forms.CharField(
        label="Anybody else, names with commas",
        required=False,
        max_length=REASON_LONGEST,
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )

    def __init__(self, *given: Any, page: EvaluatingPage, **named: Any) -> None:
        super().__init__(*given, **named)
        present = self.fields["present"]
        assert isinstance(present, forms.MultipleChoiceField)
        present.choices = [(name, name) for name in page.people]

    def ticked(self) -> list[str]:
        """The names ticked, also in a form that was not valid."""
        return self.data.getlist("present") if hasattr(self.data, "getlist") else []

    def clean(self) -> dict[str, Any]:
        """Somebody is there: a run without a name can be called neither blind nor known."""
        given: dict[str, Any] = super().clean() or self.cleaned_data
        if not given.get("present") and not given.get("others", "").strip(" ,"):
            self.add_error(
                "others",
                "Nobody is named. Tick who can see or be seen, the handler at least: without that nobody can "
                "say how blind the run was.",
            )
        return given

    def asked(self, token: str, seat: Seat) -> BeginRun:
        others = (name.strip() for name in self.cleaned_data["others"].split(","))
        names = dict.fromkeys([*self.cleaned_data["present"], *(name for name in others if name)])
        return BeginRun(token, self.cleaned_data["run"], tuple(names))


class ObserveForm(RunForm):
    """What was seen; times come from taps, or are typed, one visit a line."""

    alerted_at = forms.CharField(
        label="The dog alerted at", max_length=8, error_messages={"required": "Say where, or: no alert."}
    )
    latency_s = forms.FloatField(
        label="Start to alert",
        required=False,
        min_value=0,
        max_value=MOST_S,
        widget=forms.NumberInput(attrs={"step": "0.1", "inputmode": "decimal"}),
    )
    visits = forms.CharField(
        label="Visits",
        required=False,
        max_length=40_000,
        widget=forms.Textarea(attrs={"rows": 4, "autocomplete": "off"}),
        help_text="One a line: position, seconds from the start, seconds stayed, and alert if it did.",
    )
    handler_error = forms.CharField(
        label="Handler's error",
        required=False,
        max_length=REASON_LONGEST,
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )
    note = forms.CharField(
        label="Note", required=False, max_length=REASON_LONGEST, widget=forms.Textarea(attrs={"rows": 2})
    )

    def __init__(self, *given: Any, area: Area, **named: Any) -> None:
        super().__init__(*given, **named)
        self.positions = {str(spot.position) for spot in area.spots}

    def clean_alerted_at(self) -> int | None:
        said = self.cleaned_data["alerted_at"]
        if said == CLEAR:
            return None
        if said not in self.positions:
            raise forms.ValidationError("There is no such position. Choose one of the plan, or no alert.")
        return int(said)

    def clean_visits(self) -> tuple[Visit, ...]:
        lines = [line for line in self.cleaned_data["visits"].splitlines() if line.strip()]
        if len(lines) > VISITS_MOST:
            raise forms.ValidationError(f"At most {VISITS_MOST} visits can be kept of one run.")
        return tuple(self._visit(number, line) for number, line in enumerate(lines, start=1))

    def _visit(self, number: int, line: str) -> Visit:
        words = line.split()
        alerted = len(words) == 4 and words[3].lower() == "alert"
        try:
            position, from_s, stayed_s = words[: 3 if alerted else None]
            visit = Visit(int(position), _seconds(from_s), _seconds(stayed_s), alerted)
        except ValueError:
            raise forms.ValidationError(
                f"Line {number} of the visits cannot be read: write it like 3 12.5 2, or 3 12.5 2 alert."
            ) from None
        if str(visit.position) not in self.positions:
            raise forms.ValidationError(f"Line {number} of the visits: there is no position {position}.")
        return visit

    def asked(self, token: str, seat: Seat) -> ObserveRun:
        said = self.cleaned_data
        seen = Observed(
            said["run"],
            said["alerted_at"],
            said["latency_s"],
            said["visits"],
            said["handler_error"],
            said["note"],
        )
        return ObserveRun(token, said["run"], seen)


class OpenForm(RunForm):
    def asked(self, token: str, seat: Seat) -> OpenRun:
        return OpenRun(token, self.cleaned_data["run"])


class VoidForm(RunForm):
    why = forms.CharField(
        label="Why the run does not count",
        max_length=REASON_LONGEST,
        widget=forms.Textarea(attrs={"rows": 2}),
    )

    def asked(self, token: str, seat: Seat) -> VoidRun:
        return VoidRun(token, self.cleaned_data["run"], self.cleaned_data["why"])


class CloseForm(Form):
    why = forms.CharField(
        label="Why it ends here",
        required=False,
        max_length=REASON_LONGEST,
        widget=forms.Textarea(attrs={"rows": 2}),
        help_text="Needed when runs are left: they are void for this reason.",
    )

    def asked(self, token: str, seat: Seat) -> CloseLineup:
        return CloseLineup(seat.lineup, seat.person, token, self.cleaned_data["why"])


def _seconds(text: str) -> float:
    """Seconds as somebody writes them, with a point or a comma; neither negative nor without end."""
    value_s = float(text.replace(",", "."))
    if not 0 <= value_s <= MOST_S:
        raise ValueError(text)
    return value_s
