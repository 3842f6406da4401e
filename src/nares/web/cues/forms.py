"""The forms about cues: name one of your own; what is asked of the next reps stands in the address."""

from django import forms
from django.http import HttpRequest

from nares.app.cues.values import AskCues, NameCue
from nares.base.errors import OutOfRange
from nares.web.shell.fields import Form

ABOUT_LONGEST = 200
MOST_BANS = 40


class NameCueForm(Form):
    cue = forms.CharField(
        label="Name", max_length=60, help_text="Without blanks, for example rain or stood:mara-left."
    )
    about = forms.CharField(
        label="What it is", required=False, max_length=ABOUT_LONGEST, help_text="In a sentence."
    )

    def asked(self, by: str) -> NameCue:
        """The deed this form asks for."""
        return NameCue(self.cleaned_data["cue"], self.cleaned_data["about"], by)


def asked_of(request: HttpRequest, dog: str) -> AskCues:
    """What the address asks: ``reps``, any number of ``ban``, and ``also`` for one written by hand.

    Raises:
        OutOfRange: If the number of reps is no number.
    """
    bans = [*request.GET.getlist("ban")[:MOST_BANS], request.GET.get("also", "")]
    kept = tuple(dict.fromkeys(" ".join(ban.split()) for ban in bans if ban.strip()))
    return AskCues(dog, reps=_reps(request.GET.get("reps", "")), bans=kept)


def _reps(text: str) -> int | None:
    if not text.strip():
        return None
    if not (text.isascii() and text.strip().isdigit()):
        raise OutOfRange(f"The number of reps is {text!r}. Give a whole number, for example 8.")
    return int(text)
