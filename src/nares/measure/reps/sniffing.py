"""The breath of a rep: intakes before the mark, the state at the mark, sniffing while the nose was in."""

from dataclasses import dataclass

from nares.base.vocab import Seen
from nares.measure.reps.drafts import Draft
from nares.measure.reps.holding import Held
from nares.measure.reps.lanes import Lanes
from nares.measure.sound.phase import inhaling_at, sniffing_at, sniffing_within


@dataclass(frozen=True, slots=True)
class Sniffing:
    """``before_mark``: intakes from nose-in to the mark. ``at_mark``, ``inhaling``: the three-valued answers.

    ``for_s`` and ``rate_hz``: how long and how fast the dog sniffed with the nose in; None where unmeasured.
    """

    before_mark: int | None = None
    at_mark: Seen = "unclear"
    inhaling: Seen = "unclear"
    for_s: float | None = None
    rate_hz: float | None = None
    notes: tuple[str, ...] = ()


def sniffing_of(draft: Draft, held: Held, lanes: Lanes) -> Sniffing:
    """What was heard of the breath in one rep."""
    mark, count = draft.mark, _before_mark(draft, held, lanes)
    if lanes.inhales is None or lanes.bouts is None:
        untold = lanes.inhales is None and mark is not None and held.begun
        note = "The sound does not carry the breath: inhalations are unknown."
        return Sniffing(count, notes=(note,) if untold else ())
    time = None
    if draft.visit is not None and held.begun and held.out_s is not None:
        start_s, end_s = draft.visit.start_s - lanes.skew_s, draft.visit.end_s - lanes.skew_s
        time = sniffing_within(start_s, end_s, lanes.bouts)
    return Sniffing(
        count,
        "unclear" if mark is None else sniffing_at(mark.at_s, lanes.bouts, lanes.inhales),
        "unclear" if mark is None else inhaling_at(mark.at_s, lanes.bouts, lanes.inhales),
        None if time is None else time.sniffing_s,
        None if time is None else time.rate_hz,
    )


def _before_mark(draft: Draft, held: Held, lanes: Lanes) -> int | None:
    """Intakes that began between nose-in and the mark."""
    if lanes.inhales is None or draft.mark is None or draft.visit is None or not held.begun:
        return None
    start_s = draft.visit.start_s - lanes.skew_s
    return sum(start_s <= span.start_s < draft.mark.at_s for span in lanes.inhales)
