"""The pay links of one dog: every cue that was there at all, what it has to do with pay, what is tangled."""

from collections.abc import Sequence
from dataclasses import dataclass

from nares.base.errors import NotEnoughData
from nares.design.cues.apart import Apart, apart
from nares.design.cues.contingency import Contrast, contrast, power_of, strata
from nares.design.cues.effects import Effect, Together, effects_of, together_with_target
from nares.design.cues.strength import PLACE, USUAL, Course, Parameters, band, course, equilibrium
from nares.design.cues.trials import Counted, History, Trial, counted
from nares.design.cues.vocabulary import TARGET

RARE = 5
"""A cue that was there, or missing, in fewer reps than this is called rare. [count]"""


@dataclass(frozen=True, slots=True)
class CueLink:
    """One cue and pay.

    ``with_target``, ``without_target``: the contrast among reps with and without the target, None for the
    target itself. ``settles_at``: equilibrium of the rule on this history; ``settles_surely``: whether it is
    the only one. ``first``: the session it first came up in; ``first_apart``: the first session with a rep
    that had it without the target or the target without it, None: never.
    """

    cue: str
    overall: Contrast
    with_target: Contrast | None
    without_target: Contrast | None
    effect: Effect
    power: float | None
    strength: float
    strength_low: float
    strength_high: float
    settles_at: float
    settles_surely: bool
    rare: bool
    first: str
    first_apart: str | None


@dataclass(frozen=True, slots=True)
class Links:
    """All pay links of a history. ``place``: the strength of the place itself, with its band."""

    reps: int
    sessions: int
    cues: tuple[CueLink, ...]
    place: tuple[float, float, float]
    apart: Apart
    together: tuple[Together, ...]
    course: Course
    notes: tuple[str, ...]
    table: Counted

    def link(self, name: str) -> CueLink | None:
        """The link of a cue, None where it never was there."""
        return next((one for one in self.cues if one.cue == name), None)


def links_of(history: History, parameters: Parameters = USUAL) -> Links:
    """Work out the pay links of a history.

    Raises:
        NotEnoughData: If it holds no rep.
    """
    trials = history.trials
    if not trials:
        raise NotEnoughData("There are no reps, so nothing can be said about cues. Confirm some first.")
    table = counted(trials)
    tangled = apart(table)
    ran = course(trials, table.names, parameters)
    bands, settled = band(trials, table.names, parameters), equilibrium(table, ran.parameters)
    first, first_apart = _firsts(trials)
    cues, effects = [], effects_of(table, table.names)
    for name in table.names:
        overall, effect = contrast(table, name), effects[name]
        inside, outside = strata(table, name, TARGET)
        rates = overall.with_it.rate, overall.without_it.rate
        cues.append(
            CueLink(
                name,
                overall,
                inside,
                outside,
                effect,
                None if rates[0] is None or rates[1] is None else power_of(rates[0], rates[1]),
                ran.last(name),
                *bands[name],
                settled[name],
                effect.effect is not None and not _in_full_group(tangled, name),
                min(overall.with_it.reps, overall.without_it.reps) < RARE,
                first[name],
                first_apart.get(name),
            )
        )
    return Links(
        len(trials),
        len(ran.sessions),
        tuple(cues),
        (ran.last(PLACE), *bands[PLACE]),
        tangled,
        together_with_target(table, table.names),
        ran,
        (*history.notes, *_scaled_note(ran.parameters)),
        table,
    )


def _in_full_group(tangled: Apart, name: str) -> bool:
    return any(name in one for one in tangled.sets)


def _firsts(trials: Sequence[Trial]) -> tuple[dict[str, str], dict[str, str]]:
    """By cue: the session it first came up in, and the first that tested it apart from the target."""
    first: dict[str, str] = {}
    apart_in: dict[str, str] = {}
    for trial in trials:
        for name in trial.cues - first.keys():
            first[name] = trial.session
        if TARGET in trial.cues:
            for name in first.keys() - trial.cues - apart_in.keys():
                apart_in[name] = trial.session
        else:
            for name in trial.cues - apart_in.keys():
                apart_in[name] = trial.session
            if trial.cues or TARGET in first:
                apart_in.setdefault(TARGET, trial.session)
    return first, apart_in


def _scaled_note(used: Parameters) -> tuple[str, ...]:
    if used.scaled == 1.0:
        return ()
    return (
        f"So many cues came together that the rates of the rule were brought down to {used.scaled:.0%} of "
        "what was asked, or it would overshoot.",
    )
