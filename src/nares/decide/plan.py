"""The next session, rep by rep: how many, what to ask, where the target is, when to stop.

Conventions
-----------
- Easy reps open the session and close it; they always have the target. Between them each rep is without
  target by a draw of its own, so that neither the order nor the number of such reps can be guessed from the
  reps before. The share of such reps over the whole session is the step's on average.
- Where there is no target no hold is asked and no alert is paid: the dog says so by going on, and is paid for
  that away from the boxes, because a box without target never pays.
- With several boxes the target's place is drawn, never more than ``longest_run`` times running in one place.
- Fewer reps than asks: the middle is cut from its end, the easy ends stay.
- How many: at most the asks drawn, what food allows, and what is likely to bring an answer. `SETS` are
  choices of this program.

The asks themselves are drawn with the call (`nares.decide.hold.asks`); when to stop is
`nares.decide.stopping`.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from nares.base.errors import OutOfRange
from nares.base.vocab import Allowance, Call, PlannedRep, Source
from nares.decide.hold.asks import TICK_S
from nares.decide.steps.programme import Step
from nares.decide.stopping import StopRule, stop_rules

LimitedBy = Literal["asks", "likely", "session", "left"]

SET_REPS = 12
"""A set is at most so many reps; a rest follows (ours: sets of 6 to 12 are usual, no trial has fixed it)."""

LEAST_REPS = 6
"""A session is not planned shorter than this because an answer is near: fewer reps teach little."""

MOST_WARM_UPS = 2
TWO_WARM_UPS_FROM = 10
"""Sessions of fewer reps open with one easy rep, as the asks of so short a session would."""

MOST_WITHOUT = 0.5
"""No rep is without target with more than this chance, unless the step's own share is higher."""

ONE_BOX_DISTRACTORS = 0.25
"""Share of reps with a distractor in the box where only one box stands and no share of blanks is given."""


@dataclass(frozen=True, slots=True)
class SessionPlan:
    """A session to come. ``limited_by``: what set the number of reps; ``notes`` say it in words.

    ``rests_after``: reps after which a rest is due. ``without``: the chance that a rep between the easy ends
    has no target.
    """

    step: str
    step_name: str
    call: Call
    reps: tuple[PlannedRep, ...]
    limited_by: LimitedBy
    notes: tuple[str, ...]
    stops: tuple[StopRule, ...]
    rests_after: tuple[int, ...]
    without: float


def plan_session(
    step: Step,
    asks_s: Sequence[float],
    *,
    draws: np.random.Generator,
    call: Call = "stay",
    allowance: Allowance | None = None,
    likely_reps: int | None = None,
) -> SessionPlan:
    """Plan the next session at a step.

    Args:
        step: The step the session is run at.
        asks_s: Asks as they were drawn with the call, easy ones first and last. [s]
        draws: Where the chance for blanks and places comes from.
        call: What was called, for the rules of stopping.
        allowance: What food allows; None: not known.
        likely_reps: Reps after which an answer at this step is likely, if that is known.

    Raises:
        OutOfRange: If a count is negative.
    """
    food = allowance or Allowance()
    count, limited_by = reps_planned(len(asks_s), food, likely_reps)
    warm = warm_ups(asks_s, count)
    lots, places = draws.random(max(len(asks_s), 1)), draws.random((max(len(asks_s), 1), step.boxes + 1))
    without = chance_without(step, count, warm)
    sources = [
        _source(step, float(lot), without) if warm <= index < count - 1 else "target"
        for index, lot in enumerate(lots[:count])
    ]
    rows = _rows(step, sources, list(asks_s), warm)
    return SessionPlan(
        step=step.key,
        step_name=step.name,
        call=call,
        reps=_placed(rows, step, [*places[: max(count - 1, 0)], places[-1]]),
        limited_by=limited_by,
        notes=_notes(len(asks_s), count, limited_by, food, likely_reps),
        stops=stop_rules(call, left=food.left),
        rests_after=_rests(count),
        without=without,
    )


def plan_kept(
    step: Step, reps: Sequence[PlannedRep], *, call: Call, left: int | None, limited_by: LimitedBy = "asks"
) -> SessionPlan:
    """A plan that was settled earlier, with today's rules of stopping.

    Args:
        step: Its step.
        reps: The reps as they were settled.
        call: What was called then.
        left: Reps that food still pays for; None: not known.
        limited_by: What set their number.
    """
    short = left is not None and left < len(reps)
    more = f"Today's ration now pays for {_reps(left or 0)}: leave out the last before the closing one."
    return SessionPlan(
        step=step.key,
        step_name=step.name,
        call=call,
        reps=tuple(reps),
        limited_by=limited_by,
        notes=(more,) if short else (),
        stops=stop_rules(call, left=left),
        rests_after=_rests(len(reps)),
        without=chance_without(step, len(reps), sum(rep.easy for rep in reps[:-1])),
    )


def reps_planned(asks: int, food: Allowance, likely_reps: int | None = None) -> tuple[int, LimitedBy]:
    """How many reps to plan, and what set the number.

    Examples:
        >>> reps_planned(12, Allowance(left=30, session=9))
        (9, 'session')
        >>> reps_planned(12, Allowance(), likely_reps=2)
        (6, 'likely')
    """
    if min(asks, *(count for count in (food.left, food.session, likely_reps) if count is not None), 0) < 0:
        raise OutOfRange("A session of fewer than 0 reps cannot be planned. Give counts from 0 up.")
    most: list[tuple[int, LimitedBy]] = [(asks, "asks")]
    if likely_reps is not None:
        most.append((max(LEAST_REPS, likely_reps + MOST_WARM_UPS + 1), "likely"))
    if food.session is not None:
        most.append((food.session, "session"))
    if food.left is not None:
        most.append((food.left, "left"))
    # The first of equals: what a person chose before what food allows.
    return min(most, key=lambda one: one[0])


def warm_ups(asks_s: Sequence[float], count: int) -> int:
    """How many reps at the start are easy ones: one or two, always leaving the last."""
    if count < 2:
        return 0
    return min(_easy_first(asks_s) if count >= TWO_WARM_UPS_FROM else 1, count - 1)


def _easy_first(asks_s: Sequence[float]) -> int:
    """How many of the asks drawn are easy ones at the start."""
    return MOST_WARM_UPS if len(asks_s) > 1 and asks_s[1] <= asks_s[0] else 1


def chance_without(step: Step, count: int, warm: int) -> float:
    """The chance that a rep between the easy ends has no target, so that the whole session has its share."""
    middle = count - warm - 1
    share = step.blanks
    if share == 0 and step.distractors and step.boxes == 1:
        share = ONE_BOX_DISTRACTORS
    return 0.0 if middle < 1 else min(share * count / middle, max(share, MOST_WITHOUT))


def longest_run(boxes: int) -> int:
    """How often running the target may stand in one place."""
    return 3 if boxes == 2 else 2


def asks_again(asks_s: Sequence[float], *, draws: np.random.Generator) -> list[float]:
    """The same asks for a second session on one call: the middle in another order, the ends as they are."""
    warm = warm_ups(asks_s, len(asks_s))
    middle = list(asks_s[warm:-1]) if len(asks_s) > 1 else []
    order = [middle[i] for i in draws.permutation(len(middle))]
    return [*asks_s[:warm], *order, *asks_s[-1:]]


def _source(step: Step, lot: float, without: float) -> Source:
    """What one rep holds. Where one box stands for both, blanks and distractors share evenly."""
    if lot >= without:
        return "target"
    if not step.distractors:
        return "blank"
    if step.boxes > 1 or step.blanks == 0:
        return "distractor"
    return "blank" if lot < without / 2 else "distractor"


def _rows(step: Step, sources: Sequence[Source], asks: list[float], warm: int) -> list[PlannedRep]:
    """The reps without their places: asks in order to the reps with target, the last one to the last."""
    middle = sources.count("target") - warm - 1
    first = _easy_first(asks)
    given = iter([*asks[:warm], *asks[first : first + middle], *asks[-1:]])
    return [
        PlannedRep(
            rep=number,
            ask_s=max(TICK_S, next(given)) if source == "target" else None,
            easy=source == "target" and (number <= warm or number == len(sources)),
            hand=step.hand,
            pay_place=step.pay_place if source == "target" else "away",
            distance_m=step.distance_m,
            disturbance=step.disturbance,
            source=source,
            boxes=step.boxes,
            food_in_front=step.food_in_front,
        )
        for number, source in enumerate(sources, start=1)
    ]


def _placed(
    rows: Sequence[PlannedRep], step: Step, places: Sequence[NDArray[np.float64]]
) -> tuple[PlannedRep, ...]:
    """Put target and distractors into boxes: each rep by its own row of draws."""
    placed: list[PlannedRep] = []
    run: list[int] = []
    for row, draw in zip(rows, places, strict=False):
        box = None
        if row.source == "target":
            box = _box(step.boxes, run, float(draw[0]))
            run.append(box)
        placed.append(replace(row, target_box=box, distractor_boxes=_others(step, row, box, draw[1:])))
    return tuple(placed)


def _box(boxes: int, run: Sequence[int], lot: float) -> int:
    most = longest_run(boxes)
    held = set(run[-most:])
    barred = held if boxes > 1 and len(run) >= most and len(held) == 1 else set()
    free = [box for box in range(1, boxes + 1) if box not in barred]
    return free[min(int(lot * len(free)), len(free) - 1)]


def _others(step: Step, row: PlannedRep, target: int | None, order: NDArray[np.float64]) -> tuple[int, ...]:
    """The boxes with distractors: as many in every rep, so that their number does not tell."""
    if step.boxes == 1:
        return (1,) if row.source == "distractor" else ()
    free = [int(box) + 1 for box in np.argsort(order) if int(box) + 1 != target]
    return tuple(sorted(free[: min(step.distractors, step.boxes - 1)]))


def _rests(count: int) -> tuple[int, ...]:
    sets = -(-count // SET_REPS)
    return tuple(round(count * part / sets) for part in range(1, sets))


def _notes(
    asks: int, count: int, limited_by: LimitedBy, food: Allowance, likely: int | None
) -> tuple[str, ...]:
    said = []
    if food.left is None:
        said.append(
            f"{count} reps is a usual number; today's ration is not known and does not bound it. "
            "Set the day's ration, and count what you pay until then."
        )
    elif food.left == 0:
        said.append("Today's ration is used up: no more reps today. What was not earned is fed all the same.")
    elif limited_by == "left":
        said.append(
            f"Today's ration pays for {_reps(food.left)} more; {asks - count} left out of the middle."
        )
    elif limited_by == "session":
        said.append(f"One session pays out at most a third of the day's ration: {_reps(count)}.")
    else:
        said.append(f"Today's ration pays for {_reps(food.left)}.")
    if food.left and food.session is None:
        said.append("Rewards are counted, not weighed: a third of the day's food cannot be told from that.")
    if limited_by == "likely":
        said.append(f"About {likely} more reps are likely to bring an answer at this step.")
    return tuple(said)


def _reps(count: int) -> str:
    return f"{count} rep{'' if count == 1 else 's'}"
