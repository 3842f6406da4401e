"""The forms about overruling: decide otherwise, take it back."""

from typing import Any

from django import forms

from nares.app.deeds import OverruleCall, WithdrawOverruling
from nares.app.overrulings_page import OverrulingsPage
from nares.web.shell.fields import REASON_LONGEST, Form
from nares.web.shell.words import CALLS


class OverruleForm(Form):
    call = forms.ChoiceField(label="Do instead", choices=[*CALLS.items()])
    next_step = forms.ChoiceField(
        label="Go on at", required=False, help_text="Leave it where the call leads by itself."
    )
    why = forms.CharField(label="Why", max_length=REASON_LONGEST, widget=forms.Textarea(attrs={"rows": 2}))

    def __init__(self, *given: Any, page: OverrulingsPage, **named: Any) -> None:
        super().__init__(*given, **named)
        step = self.fields["next_step"]
        assert isinstance(step, forms.ChoiceField)
        step.choices = [("", "where the call leads"), *page.steps]

    def asked(self, dog: str, by: str, seen: int | None) -> OverruleCall:
        """The deed this form asks for."""
        said = self.cleaned_data
        return OverruleCall(dog, said["call"], said["why"], by, said["next_step"], seen)


class WithdrawForm(Form):
    why = forms.CharField(label="Why take it back", max_length=REASON_LONGEST)

    def asked(self, dog: str, by: str, seen: int | None) -> WithdrawOverruling:
        """The deed this form asks for."""
        return WithdrawOverruling(dog, self.cleaned_data["why"], by, seen)
