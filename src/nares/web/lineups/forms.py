"""The forms about a line-up: draw one, close one. Positions and distractors are rows of their own."""

from typing import Any

from django import forms

from nares.app.lineups.choosing import RuleChoice
from nares.app.lineups.requests import CloseLineup, DrawLineup
from nares.base.lineups import Area, Control, Role, Smell
from nares.web.lineups.fields import Number
from nares.web.lineups.spots import MOST_POSITIONS
from nares.web.lineups.words import BLINDINGS, CONTROLS, ROLES, SHAPES
from nares.web.shell.fields import REASON_LONGEST, Form

NAME_LONGEST = 80
NOTE_LONGEST = 2000
AIDS_MOST = 12
MOST_RUNS = 500
FARTHEST_M = 200
SET_TIME_MOST_MIN = 14 * 24 * 60
DEFAULTS = {
    "shape": "straight",
    "positions": "6",
    "runs": "10",
    "targets_low": "0",
    "targets_high": "1",
    "blank_runs": "20",
    "aids": "target",
    "blinding": "double",
}


def named(label: str, **given: Any) -> forms.CharField:
    """A field for somebody's name, or a thing's."""
    wordless = {"required": "Nothing was given. Write a name."}
    found = {"max_length": f"Too long. Give at most {NAME_LONGEST} letters."}
    return forms.CharField(
        label=label, max_length=NAME_LONGEST, error_messages={**wordless, **found}, **given
    )


def chosen(label: str, choices: list[tuple[str, str]], **given: Any) -> forms.ChoiceField:
    """A field to choose one of a few."""
    said = {
        "required": "Nothing was chosen. Choose one.",
        "invalid_choice": "There is no %(value)s to choose. Choose one of those shown.",
    }
    return forms.ChoiceField(label=label, choices=choices, error_messages=said, **given)


class LineupForm(Form):
    """Everything a line-up is drawn from but the positions and the distractors."""

    dog = chosen("Dog", [])
    place = named(
        "Place",
        help_text="Where it stands. The same place and the same spot on another day are the same spot.",
    )
    shape = chosen("Shape", [*SHAPES.items()])
    positions = Number(label="Positions", low=2, high=MOST_POSITIONS, what="positions", whole=True)
    width_m = Number(label="Width of the area", low=0.5, high=FARTHEST_M, what="metres", step="0.1")
    depth_m = Number(label="Depth of the area", low=0.5, high=FARTHEST_M, what="metres", step="0.1")
    keeps_odour = forms.BooleanField(
        label="The places keep odour: nothing there can be swapped for clean between runs", required=False
    )
    runs = Number(label="Runs", low=1, high=MOST_RUNS, what="runs", whole=True)
    targets_low = Number(
        label="Targets in a run, at least", low=0, high=MOST_POSITIONS, what="targets", whole=True
    )
    targets_high = Number(
        label="Targets in a run, at most", low=0, high=MOST_POSITIONS, what="targets", whole=True
    )
    blank_runs = Number(
        label="Blank runs (%)",
        low=0,
        high=100,
        what="per cent",
        required=False,
        help_text="The chance of a run without a target; any other then holds "
        "1 or more. Empty: every number from least to most is as likely.",
    )
    aids = forms.CharField(
        label="Aids",
        max_length=1000,
        help_text="What smells of the target, one a line.",
        widget=forms.Textarea(attrs={"rows": 2}),
        error_messages={"required": "No aid was given. Name what smells of the target, one a line."},
    )
    controls = forms.MultipleChoiceField(
        label="Controls",
        required=False,
        choices=[(key, name) for key, (name, _) in CONTROLS.items()],
        error_messages={"invalid_choice": "There is no control %(value)s. Choose among those shown."},
    )
    blinding = chosen("Aimed at", [(key, name) for key, (name, _) in BLINDINGS.items()])
    rules = forms.MultipleChoiceField(
        label="Rules",
        required=False,
        error_messages={"invalid_choice": "There is no rule %(value)s. Choose among those shown."},
    )
    set_time_min = Number(
        label="Set time (min)",
        low=0,
        high=SET_TIME_MOST_MIN,
        what="minutes",
        required=False,
        help_text="From placing to the search. Empty: none is kept to.",
    )
    placer = named("Placer", help_text=ROLES["placer"][1])
    handler = named("Handler", help_text=ROLES["handler"][1])
    evaluator = named("Evaluator", help_text=ROLES["evaluator"][1])
    recorder = named("Recorder", required=False, help_text=ROLES["recorder"][1])
    note = forms.CharField(
        label="Note", required=False, max_length=NOTE_LONGEST, widget=forms.Textarea(attrs={"rows": 2})
    )

    def __init__(
        self, *given: Any, dogs: tuple[str, ...], rules: tuple[RuleChoice, ...], **more: Any
    ) -> None:
        super().__init__(*given, **more)
        self.usual = {choice.key for choice in rules if choice.usual}
        dog, rule = self.fields["dog"], self.fields["rules"]
        assert isinstance(dog, forms.ChoiceField)
        assert isinstance(rule, forms.MultipleChoiceField)
        dog.choices = [(name, name) for name in dogs]
        rule.choices = [(choice.key, choice.says) for choice in rules]

    def chosen_in(self, name: str) -> list[str]:
        """What is ticked, also in a form that was not valid."""
        if self.is_bound and hasattr(self.data, "getlist"):
            return list(self.data.getlist(name))
        said = self.get_initial_for_field(self.fields[name], name)
        return [said] if isinstance(said, str) else list(said or ())

    def clean_aids(self) -> tuple[str, ...]:
        lines = [line.strip() for line in str(self.cleaned_data["aids"]).splitlines() if line.strip()]
        aids = tuple(dict.fromkeys(lines))
        too_long = [aid for aid in aids if len(aid) > NAME_LONGEST]
        if too_long:
            said = f"{too_long[0][:20]}… has {len(too_long[0])} letters. Give at most {NAME_LONGEST} a line."
            raise forms.ValidationError(said)
        if len(aids) > AIDS_MOST:
            raise forms.ValidationError(f"{len(aids)} aids are too many. Name at most {AIDS_MOST}.")
        return aids

    def clean(self) -> dict[str, Any]:
        said = super().clean() or {}
        low, high, positions = said.get("targets_low"), said.get("targets_high"), said.get("positions")
        if low is not None and high is not None and low > high:
            self.add_error(
                "targets_high", f"At least {low} and at most {high} cannot be. Give {low} or more."
            )
        elif high is not None and positions is not None and high > positions:
            self.add_error(
                "targets_high",
                f"{high} targets do not fit into {positions} positions. Give fewer, or more positions.",
            )
        share = said.get("blank_runs")
        if share and low:
            self.add_error(
                "blank_runs",
                f"A run with at least {low} is never blank. Leave this empty, or give 0 as the least.",
            )
        if high == 0 and share is not None and share < 100:
            self.add_error("targets_high", "No run would ever hold a target. Give 1 or more.")
        self._same_person(said)
        return said

    def _same_person(self, said: dict[str, Any]) -> None:
        """Whoever places knows; aiming at blind, the placer cannot work the dog or judge it."""
        placer, aim = str(said.get("placer") or "").casefold(), said.get("blinding")
        barred: dict[str, tuple[str, ...]] = {
            "single": ("handler",),
            "double": ("handler", "evaluator", "recorder"),
        }
        for role in barred.get(str(aim), ()):
            if placer and str(said.get(role) or "").casefold() == placer:
                self.add_error(
                    role,
                    f"{said[role]} places too and would know. Name somebody else, or aim at "
                    f"{'known' if role == 'handler' else 'single-blind'}.",
                )

    def asked(
        self, area: Area, distractors: tuple[Smell, ...], tested: tuple[int, ...], by: str
    ) -> DrawLineup:
        """The deed this form asks for."""
        said = self.cleaned_data
        share = said["blank_runs"]
        people: dict[Role, str] = {role: said[role] for role in ROLES if said[role]}
        controls: tuple[Control, ...] = tuple(key for key in CONTROLS if key in said["controls"])
        return DrawLineup(
            area=area,
            runs=said["runs"],
            targets_low=said["targets_low"],
            targets_high=said["targets_high"],
            dog=said["dog"],
            by=by,
            blank_runs=None if share is None else share / 100,
            aids=said["aids"],
            distractors=distractors,
            controls=controls,
            blinding=said["blinding"],
            rules=self._rules() if said["blinding"] == "known" else None,
            tested=tested,
            people=people,
            set_time_min=said["set_time_min"],
            note=said["note"],
        )

    def _rules(self) -> tuple[str, ...] | None:
        """The rules ticked; None where they are the usual ones, of which as many hold as can."""
        ticked = tuple(self.cleaned_data["rules"])
        return None if set(ticked) == self.usual else ticked


class CloseForm(Form):
    why = forms.CharField(
        label="Why runs are left",
        required=False,
        max_length=REASON_LONGEST,
        widget=forms.Textarea(attrs={"rows": 2}),
    )
    sure = forms.BooleanField(
        label="Open the whole key now; it cannot be sealed again",
        error_messages={"required": "Not confirmed. Tick this to open the key."},
    )

    def __init__(self, *given: Any, left: int, **more: Any) -> None:
        super().__init__(*given, **more)
        runs = "1 run is" if left == 1 else f"{left} runs are"
        said = f"{runs} neither open nor void and would become void. Say why."
        self.fields["why"].required = bool(left)
        self.fields["why"].error_messages["required"] = said

    def asked(self, lineup: str, by: str) -> CloseLineup:
        """The deed this form asks for."""
        return CloseLineup(lineup, by, why=self.cleaned_data["why"])
