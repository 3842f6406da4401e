"""The forms of a session: correct a rep, set it aside."""

from dataclasses import replace
from typing import Any

from django import forms

from nares.base.vocab import Rep
from nares.web.shell.fields import REASON_LONGEST, Form

HANDS = [
    ("inside", "inside the box"),
    ("side", "at the side opening"),
    ("front", "in front"),
    ("away", "away from the box"),
]
PAY_PLACES = [("inside", "inside the box"), ("outside", "outside the box"), ("away", "away from the box")]
SOURCES = [("target", "target"), ("blank", "blank"), ("distractor", "distractor")]
DISTURBANCES = [("0", "0, none"), ("1", "1, slight"), ("2", "2, clear"), ("3", "3, strong")]
LONGEST_HOLD_S = 600.0
FARTHEST_M = 1000.0


class CorrectForm(Form):
    """Every value of a rep that a person may correct. Blank hold: there was none."""

    ask_s = forms.FloatField(
        label="Ask", required=False, min_value=0, max_value=LONGEST_HOLD_S, help_text="s"
    )
    hold_s = forms.FloatField(
        label="Hold", required=False, min_value=0, max_value=LONGEST_HOLD_S, help_text="s"
    )
    ended_by = forms.ChoiceField(label="Ended by", choices=[("mark", "the mark"), ("dog", "the dog")])
    met = forms.ChoiceField(label="Met", choices=[("1", "yes"), ("0", "no")])
    hand = forms.ChoiceField(label="Hand", choices=HANDS)
    pay_place = forms.ChoiceField(label="Pay place", choices=PAY_PLACES)
    paid = forms.ChoiceField(label="Paid", choices=[("1", "yes"), ("0", "no")])
    distance_m = forms.FloatField(label="Distance", min_value=0, max_value=FARTHEST_M)
    disturbance = forms.ChoiceField(label="Disturbance", choices=DISTURBANCES)
    source = forms.ChoiceField(label="Source", choices=SOURCES)
    step = forms.CharField(label="Step", max_length=80)
    cues = forms.CharField(
        label="Cues", required=False, max_length=400, help_text="names with spaces between"
    )
    why = forms.CharField(label="Why", required=False, max_length=REASON_LONGEST)

    def corrected(self, before: Rep) -> Rep:
        """The row as the form says it."""
        said = self.cleaned_data
        return replace(
            before,
            ask_s=said["ask_s"],
            hold_s=said["hold_s"],
            ended_by=said["ended_by"],
            met=said["met"] == "1",
            hand=said["hand"],
            pay_place=said["pay_place"],
            paid=said["paid"] == "1",
            distance_m=said["distance_m"],
            disturbance=int(said["disturbance"]),
            source=said["source"],
            step=said["step"],
            cues=tuple(said["cues"].split()),
        )


class SetAsideForm(Form):
    why = forms.CharField(label="Why", max_length=REASON_LONGEST)


def initial_of(rep: Rep) -> dict[str, Any]:
    """A rep as the first values of its form."""
    return {
        "ask_s": rep.ask_s,
        "hold_s": None if rep.hold_s is None else round(rep.hold_s, 3),
        "ended_by": rep.ended_by,
        "met": "1" if rep.met else "0",
        "hand": rep.hand,
        "pay_place": rep.pay_place,
        "paid": "1" if rep.paid else "0",
        "distance_m": rep.distance_m,
        "disturbance": str(rep.disturbance),
        "source": rep.source,
        "step": rep.step,
        "cues": " ".join(rep.cues),
    }


def unrounded(corrected: Rep, before: Rep) -> Rep:
    """Keep the exact times where the person left the shown, rounded ones alone."""
    untouched = before.hold_s is not None and corrected.hold_s == round(before.hold_s, 3)
    return replace(corrected, hold_s=before.hold_s) if untouched else corrected
