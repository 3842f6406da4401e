"""The forms about a dog: add one, add a recorded session of one."""

import re
from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path
from typing import Any

from django import forms

from nares.app.cues.values import SessionCues, require_name
from nares.app.deeds import AddDog, RunSession
from nares.base.errors import OutOfRange
from nares.base.times import utc_text
from nares.base.vocab import Region
from nares.web.shell.fields import Form

SEXES = [("", "not given"), ("female", "female"), ("male", "male")]
NOTE_LONGEST = 2000
FARTHEST_ZONE_MIN = 14 * 60


class AddDogForm(Form):
    name = forms.CharField(
        label="Name", max_length=80, help_text="The name you call it by; it is part of every entry."
    )
    breed = forms.CharField(label="Breed", max_length=80)
    born = forms.DateField(label="Born", required=False, widget=forms.DateInput(attrs={"type": "date"}))
    sex = forms.ChoiceField(label="Sex", required=False, choices=SEXES)
    programme = forms.CharField(
        label="Programme",
        max_length=80,
        initial="box",
        help_text="The steps it works through; box is usual.",
    )
    note = forms.CharField(
        label="Note", required=False, max_length=NOTE_LONGEST, widget=forms.Textarea(attrs={"rows": 3})
    )

    def asked(self) -> AddDog:
        """The deed this form asks for."""
        said = self.cleaned_data
        born = said["born"].isoformat() if said["born"] else None
        return AddDog(said["name"], said["breed"], born, said["sex"] or None, said["programme"], said["note"])


def read_region(text: str) -> Region | None:
    """Read x,y,width,height as fractions of the picture; None for an empty text.

    Raises:
        OutOfRange: If it is not four numbers, or not inside the picture.

    Examples:
        >>> read_region("0.42, 0.4, 0.05, 0.15").w
        0.05
    """
    if not text.strip():
        return None
    try:
        x, y, w, h = (float(part) for part in text.split(","))
    except ValueError:
        raise OutOfRange(
            f"{text!r} is not a region. Give x,y,width,height as fractions, for example 0.42,0.42,0.05,0.15."
        ) from None
    return Region(x, y, w, h)


def read_asks(text: str) -> tuple[float, ...]:
    """Read the holds asked for, in order.

    Raises:
        OutOfRange: If one is not a number of seconds above 0.

    Examples:
        >>> read_asks("1 1.5; 2,5")
        (1.0, 1.5, 2.0, 5.0)
    """
    asks = []
    for part in re.split(r"[\s,;]+", text.strip()) if text.strip() else []:
        try:
            ask_s = float(part)
        except ValueError:
            raise OutOfRange(f"{part!r} is not a number of seconds. Write asks like 1 1.5 2.") from None
        if not 0 < ask_s < 600:
            raise OutOfRange(f"An ask of {part} s cannot be. Give seconds above 0 and under 600.")
        asks.append(ask_s)
    return tuple(asks)


MARKERS = [("click", "a clicker"), ("whistle", "a whistle"), ("word", "a spoken word")]


class SessionForm(Form):
    """A recording of one box session, with what a person knows of it."""

    recording = forms.FileField(
        label="Recording",
        help_text="The phone's own film or sound file. It is kept unchanged.",
        widget=forms.FileInput(attrs={"accept": "video/*,audio/*"}),
    )
    started_at = forms.DateTimeField(
        label="Started",
        widget=forms.DateTimeInput(attrs={"type": "datetime-local", "step": "1"}, format="%Y-%m-%dT%H:%M:%S"),
        input_formats=["%Y-%m-%dT%H:%M", "%Y-%m-%dT%H:%M:%S"],
        help_text="UTC",
    )
    zone_min = forms.IntegerField(
        required=False, min_value=-FARTHEST_ZONE_MIN, max_value=FARTHEST_ZONE_MIN, widget=forms.HiddenInput
    )
    step = forms.ChoiceField(label="Step", required=False)
    asks = forms.CharField(
        label="Asks",
        required=False,
        max_length=1000,
        help_text="Seconds for each rep in order; the last one goes for all that follow.",
    )
    own = forms.MultipleChoiceField(label="Cues of your own that were there", required=False)
    cues = forms.CharField(label="Other cues in every rep", required=False, max_length=400)
    front = forms.CharField(label="Front opening (nose)", required=False, max_length=80)
    side = forms.CharField(label="Side opening (hand)", required=False, max_length=80)
    marked_by = forms.CharField(
        label="Who marked",
        required=False,
        max_length=80,
        help_text="Who held the clicker; you, if left empty.",
    )
    marker = forms.ChoiceField(label="Marked with", required=False, choices=MARKERS)
    clicker = forms.FileField(
        label="Marker sound",
        required=False,
        help_text="A few clicks of this clicker in this room, if you have them. "
        "For a word: the word said five times, with a pause after each.",
        widget=forms.FileInput(attrs={"accept": "audio/*,video/*"}),
    )
    note = forms.CharField(
        label="Note", required=False, max_length=NOTE_LONGEST, widget=forms.Textarea(attrs={"rows": 2})
    )

    def __init__(self, *given: Any, steps: list[tuple[str, str]], cues: SessionCues, **named: Any) -> None:
        super().__init__(*given, **named)
        own = self.fields["own"]
        assert isinstance(own, forms.MultipleChoiceField)
        own.choices = [(one.cue, one.about or one.cue) for one in cues.own]
        usual = " ".join(cues.usual) or "none"
        self.fields["cues"].help_text = (
            f"Beside what the step puts there (now: {usual}). Names with blanks between, "
            "like box:2 stood:mara-left since-dog:12min."
        )
        step = self.fields["step"]
        assert isinstance(step, forms.ChoiceField)
        step.choices = [("", "the dog's current step"), *steps]

    def clean_front(self) -> Region | None:
        return region_of(self.cleaned_data["front"])

    def clean_side(self) -> Region | None:
        return region_of(self.cleaned_data["side"])

    def clean_asks(self) -> tuple[float, ...]:
        try:
            return read_asks(self.cleaned_data["asks"])
        except OutOfRange as error:
            raise forms.ValidationError(str(error)) from None

    def clean_cues(self) -> tuple[str, ...]:
        try:
            return tuple(require_name(name) for name in self.cleaned_data["cues"].split())
        except OutOfRange as error:
            raise forms.ValidationError(str(error)) from None

    def ticked(self) -> list[str]:
        """Own cues ticked, also in a form that was not valid."""
        return self.data.getlist("own") if hasattr(self.data, "getlist") else []

    def clean(self) -> dict[str, Any]:
        said = super().clean() or {}
        if said.get("marker") == "word" and not said.get("clicker"):
            self.add_error(
                "clicker", "A word is found from examples. Give a recording of it, said five times."
            )
        return said

    def asked(self, dog: str, by: str, *, recording: Path, clicker: Path | None) -> RunSession:
        """The deed this form asks for, with the uploaded files where they now lie."""
        said = self.cleaned_data
        return RunSession(
            recording=recording,
            dog=dog,
            by=by,
            started_at=_started_at(said["started_at"], said["zone_min"]),
            step=said["step"] or None,
            front=said["front"],
            side=said["side"],
            clicker=clicker,
            asks_s=said["asks"],
            note=said["note"],
            name=said["recording"].name,
            marked_by=said["marked_by"],
            marker=said["marker"] or "click",
            cues=tuple(dict.fromkeys((*said["cues"], *said["own"]))),
        )


def region_of(text: str) -> Region | None:
    """A region as typed, with its fault as the form's."""
    try:
        return read_region(text)
    except OutOfRange as error:
        raise forms.ValidationError(str(error)) from None


def _started_at(local: datetime, zone_min: int | None) -> str:
    """The typed time in UTC; ``zone_min`` is how far the browser's clock is ahead of UTC. [min]"""
    zone = timezone(timedelta(minutes=zone_min)) if zone_min is not None else UTC
    return utc_text(local.replace(tzinfo=zone))
