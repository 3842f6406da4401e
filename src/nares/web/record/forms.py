"""The form that corrects one value of an entry."""

import json
from typing import Any

from django import forms

from nares.app.deeds import Amend
from nares.web.shell.fields import REASON_LONGEST, Form


class AmendForm(Form):
    entry = forms.IntegerField(label="Entry number", min_value=1, max_value=2**53 - 1)
    field = forms.CharField(
        label="Field", max_length=200, help_text="Where in the entry, for example /breed or /reps/0/hold_s."
    )
    new = forms.CharField(
        label="New value",
        required=False,
        max_length=2000,
        help_text="A number, true, false or null is taken as such; anything else as text.",
    )
    why = forms.CharField(label="Why", max_length=REASON_LONGEST)
    seen = forms.IntegerField(required=False, min_value=0, max_value=2**53 - 1, widget=forms.HiddenInput)

    def clean_field(self) -> str:
        pointer: str = self.cleaned_data["field"]
        if not pointer.startswith("/"):
            raise forms.ValidationError("A field starts with a slash, for example /breed.")
        return pointer

    def asked(self, by: str) -> Amend:
        """The deed this form asks for."""
        said = self.cleaned_data
        return Amend(said["entry"], said["field"], read_value(said["new"]), said["why"], by, said["seen"])


def read_value(text: str) -> Any:
    """A typed value: what reads as JSON is that, anything else is text.

    >>> read_value("1.5"), read_value("true"), read_value("Spaniel"), read_value('"12"')
    (1.5, True, 'Spaniel', '12')
    """
    try:
        return json.loads(text, parse_constant=_no_constant)
    except ValueError:
        return text


def _no_constant(name: str) -> Any:
    """NaN and infinities are no JSON; they stay the words they are."""
    raise ValueError(name)
