"""What a history says in sentences: what predicts pay, what cannot be told apart, what was never tested.

The verdict is about the pay people gave and what it must teach by the rule, not about the dog itself. Another
cue *predicts pay* where its effect with all others held fixed lies surely above `LEAST_EFFECT`, the certainty
shared out over the cues that were looked at. It *still* does where pay has followed the target alone and the
rule nevertheless leaves it at `STILL` or more after what went before.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

from nares.design.cues.apart import high_indices
from nares.design.cues.effects import Effect
from nares.design.cues.links import CueLink, Links
from nares.design.cues.strength import PLACE
from nares.design.cues.vocabulary import TARGET, group_of, in_words

Kind = Literal["cannot tell", "another", "still", "target", "none", "too few"]

LEAST_REPS = 8
"""Fewer reps than this are not judged. [count]"""

LEAST_EFFECT = 0.05
STILL = 0.2
RISK = 0.05
"""Chance over all cues together that one without any effect is named. [-]"""


@dataclass(frozen=True, slots=True)
class Verdict:
    """``says``: the plain sentence first. ``cues``: those it is about, beside the target."""

    kind: Kind
    cues: tuple[str, ...]
    says: tuple[str, ...]


def verdict_of(links: Links) -> Verdict:
    """Say what predicts pay on this history."""
    if links.reps < LEAST_REPS:
        said = f"Only {_reps(links.reps)}: too few to say what predicts pay."
        return Verdict("too few", (), (said, *_tangles(links)))
    tied, others, target = _tied_to_target(links), _paying(links), links.link(TARGET)
    works = target is not None and target.effect.surely_above(0.0, 1 - RISK)
    if tied is not None:
        return Verdict("cannot tell", tied[0], (tied[1], *_also(others), *_tangles(links)))
    if others:
        alone = () if works else ("The target by itself is not seen to pay.",)
        return Verdict(
            "another", tuple(one.cue for one in others), (*_also(others), *alone, *_tangles(links))
        )
    if not works:
        said = f"On these {_reps(links.reps)} no cue clearly predicts pay, the target neither."
        return Verdict("none", (), (said, *_tangles(links)))
    still = sorted(
        (one for one in links.cues if one.cue != TARGET and one.strength >= STILL),
        key=lambda one: -one.strength,
    )
    if still:
        says = tuple(_still(one) for one in still)
        return Verdict("still", tuple(one.cue for one in still), (*says, *_tangles(links)))
    said = f"Nothing but the target predicts pay on these {_reps(links.reps)}."
    return Verdict("target", (), (said, *_tangles(links)))


def _tied_to_target(links: Links) -> tuple[tuple[str, ...], str] | None:
    """The cues the target cannot be told from, and the sentence; None where it stands alone."""
    target = links.link(TARGET)
    if target is None:
        return (), f"None of these {_reps(links.reps)} had the target, so it was never tested."
    if target.overall.without_it.reps == 0:
        others = tuple(name for name in links.apart.always if name != TARGET)
        from_what = _and([*map(in_words, others), "the place itself"])
        said = (
            f"Every one of these {_reps(links.reps)} had the target: the dog cannot tell it from {from_what}."
        )
        return others, said
    same = tuple(b for a, b in links.apart.inseparable if a == TARGET)
    if same:
        said = (
            f"On these {_reps(links.reps)} the dog cannot tell the target from {_and(map(in_words, same))}."
        )
        return same, said
    opposite = tuple(b if a == TARGET else a for a, b in links.apart.opposites if TARGET in (a, b))
    if opposite:
        said = (
            f"On these {_reps(links.reps)} {_and(map(in_words, opposite))} "
            f"{'was' if len(opposite) == 1 else 'were'} there exactly when the target was not: the dog "
            "cannot tell which of the two matters."
        )
        return opposite, said
    sets = [one for one in links.apart.sets if TARGET in one]
    if sets:
        others = tuple(name for name in sets[0] if name not in (TARGET, PLACE))
        said = (
            f"On these {_reps(links.reps)} the dog cannot tell the target from "
            f"{_and(map(in_words, others))} taken together."
        )
        return others, said
    return None


def _paying(links: Links) -> list[CueLink]:
    """Cues beside the target with an effect of their own, strongest first."""
    looked_at = [one for one in links.cues if one.cue != TARGET and one.effect.effect is not None]
    confidence = 1 - RISK / max(1, len(looked_at))
    sure = [one for one in looked_at if one.effect.surely_above(LEAST_EFFECT, confidence)]
    return sorted(sure, key=lambda one: -(one.effect.effect or 0.0))


def _also(others: Sequence[CueLink]) -> Iterator[str]:
    for one in others:
        effect, overall = one.effect, one.overall
        between = _between(effect)
        there, missing = overall.with_it, overall.without_it
        yield (
            f"{_capital(in_words(one.cue))} still predicts pay: paid in {there.paid} of {_reps(there.reps)} "
            f"with it and {missing.paid} of {missing.reps} without; everything else held fixed it adds "
            f"{between}."
        )


def _between(effect: Effect) -> str:
    if effect.effect is None or effect.low is None or effect.high is None:
        return "what cannot be told"
    return f"{_signed(effect.effect)} ({_signed(effect.low)} to {_signed(effect.high)})"


def _still(one: CueLink) -> str:
    return (
        f"{_capital(in_words(one.cue))} has not faded yet: wherever it came apart from the target, pay "
        f"followed the target alone, but the rule still leaves it a strength of {one.strength:.2f} "
        f"({one.strength_low:.2f} to {one.strength_high:.2f} by other parameters)."
    )


def _tangles(links: Links) -> Iterator[str]:
    """Everything else that cannot be told apart, hardly, or was hardly tried."""
    found = links.apart
    for first, second in found.inseparable:
        if TARGET not in (first, second):
            yield f"{_capital(in_words(first))} and {in_words(second)} always came together."
    for first, second in found.opposites:
        if TARGET not in (first, second):
            yield f"{_capital(in_words(first))} was there exactly when {in_words(second)} was not."
    always = [name for name in found.always if name != TARGET]
    if always and TARGET not in found.always:
        was = "was" if len(always) == 1 else "were"
        told = _capital(_and(map(in_words, always)))
        yield f"{told} {was} there in every rep: not to be told from the place itself."
    for one in found.sets:
        if TARGET not in one or links.apart.inseparable:
            names = [in_words(name) for name in one if name != PLACE]
            yield f"{_capital(_and(names))} follow from one another: none can be told apart by itself."
    for pair in found.nearly:
        apart_reps = pair.first_only + pair.second_only
        how = "go together" if (pair.phi or 0) > 0 else "rule each other out"
        yield (
            f"{_capital(in_words(pair.first))} and {in_words(pair.second)} mostly {how}; only "
            f"{_reps(apart_reps if (pair.phi or 0) > 0 else pair.both + pair.neither)} tell them apart."
        )
    if high_indices(found.indices):
        tied = [name for name, share in high_indices(found.indices)[0].shares.items() if share > 0.5]
        yield f"{_capital(_and(map(_with_place, tied)))} are tangled (condition index above 30)."
    rare = [
        one for one in links.cues if one.rare and one.cue not in found.always and group_of(one.cue) is None
    ]
    if rare:
        told = _and(f"{in_words(one.cue)} ({_rarely(one)})" for one in rare)
        yield f"Hardly tried: {told}."


def _rarely(one: CueLink) -> str:
    there, missing = one.overall.with_it.reps, one.overall.without_it.reps
    return f"there in {there}" if there <= missing else f"missing in {missing}"


def _with_place(name: str) -> str:
    return "the place" if name == PLACE else in_words(name)


def _reps(count: int) -> str:
    return f"{count} rep" if count == 1 else f"{count} reps"


def _signed(share: float) -> str:
    return f"{100 * share:+.0f} points".replace("-", "\u2212")


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def _and(words: Iterable[str]) -> str:
    told = list(words)
    return told[0] if len(told) == 1 else f"{', '.join(told[:-1])} and {told[-1]}"
