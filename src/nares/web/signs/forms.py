"""The forms about signs: what was seen, and that it was looked into."""

from typing import Any

from django import forms

from nares.app.deeds import ClearSigns, NoteSigns
from nares.app.signs import SignsPage
from nares.web.shell.fields import REASON_LONGEST, Form

NOTE_LONGEST = 500
MOST_REPS = 999


class NoteForm(Form):
    """One tap a sign; the rest only if there is a hand free."""

    signs = forms.MultipleChoiceField(
        label="What was seen", error_messages={"required": "Choose what was seen, one or more."}
    )
    session = forms.ChoiceField(label="Session", required=False)
    rep = forms.IntegerField(label="Rep", required=False, min_value=1, max_value=MOST_REPS)
    latency = forms.CharField(
        label="Time to go in",
        required=False,
        max_length=200,
        help_text="In your words, for example: twice as long as at the start.",
    )
    note = forms.CharField(
        label="Note", required=False, max_length=NOTE_LONGEST, widget=forms.Textarea(attrs={"rows": 2})
    )

    def __init__(self, *given: Any, page: SignsPage, **named: Any) -> None:
        super().__init__(*given, **named)
        signs, session = self.fields["signs"], self.fields["session"]
        assert isinstance(signs, forms.MultipleChoiceField)
        assert isinstance(session, forms.ChoiceField)
        signs.choices = [(sign.key, sign.name) for sign in page.choices]
        session.choices = [("", "not in a session"), *((name, name) for name in page.sessions)]

    def chosen(self) -> list[str]:
        """The keys ticked, also in a form that was not valid."""
        return self.data.getlist("signs") if hasattr(self.data, "getlist") else []

    def asked(self, dog: str, by: str) -> NoteSigns:
        """The deed this form asks for."""
        said = self.cleaned_data
        return NoteSigns(
            dog, tuple(said["signs"]), by, said["session"], said["rep"], said["latency"], said["note"]
        )


class ClearForm(Form):
    why = forms.CharField(
        label="What was looked at, and what was found",
        max_length=REASON_LONGEST,
        widget=forms.Textarea(attrs={"rows": 2}),
    )
    vet = forms.BooleanField(label="A vet saw the dog", required=False)

    def asked(self, dog: str, by: str, seen: int | None) -> ClearSigns:
        """The deed this form asks for."""
        return ClearSigns(dog, self.cleaned_data["why"], by, self.cleaned_data["vet"], seen)
