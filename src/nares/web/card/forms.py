"""The form that says what a dog is fed today."""

from typing import Any

from django import forms

from nares.app.deeds import SetRation
from nares.web.shell.fields import Form

NOTE_LONGEST = 500


class RationForm(Form):
    ration_g = forms.FloatField(
        label="All food today (g)", required=False, help_text="From the bowl and from the hand."
    )
    reward_g = forms.FloatField(label="One reward (g)", required=False)
    bowl_g = forms.FloatField(
        label="Of it, from the bowl (g)", required=False, help_text="Given already, or kept for it."
    )
    rewards = forms.IntegerField(
        label="Rewards set apart", required=False, help_text="Where you count them instead of weighing."
    )
    rewards_per_rep = forms.IntegerField(label="Rewards a rep", required=False, initial=1)
    note = forms.CharField(label="Note", required=False, max_length=NOTE_LONGEST)

    def asked(self, dog: str, by: str) -> SetRation:
        """The deed this form asks for; what is left empty is as in the deed."""
        said: dict[str, Any] = {name: value for name, value in self.cleaned_data.items() if value is not None}
        return SetRation(dog, by, **said)
