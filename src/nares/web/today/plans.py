"""The next session in a glance: a strip of asks, what stays the same over all reps, what changes."""

from dataclasses import dataclass

from nares.app.pages import CallView, PlannedRep
from nares.web.shell.words import disturbance, metres, word


@dataclass(frozen=True, slots=True)
class PlanView:
    """The planned reps, and each condition with its words; ``varies`` where reps differ in it.

    ``veiled``: some reps have no target. This page stands open for everybody, so it does not tell which.
    """

    reps: tuple[PlannedRep, ...]
    same: tuple[tuple[str, str], ...]
    varies: tuple[str, ...]
    veiled: bool = False
    shortest_s: float = 0.0
    longest_s: float = 0.0


def plan_of(call: CallView | None) -> PlanView | None:
    """Read the next session of a call, if it plans one."""
    if call is None or not call.next_session:
        return None
    reps = call.next_session
    rows = [_conditions(rep) for rep in reps if rep.source == "target"]
    same = tuple((name, said) for name, said in rows[0].items() if all(row[name] == said for row in rows))
    veiled = len(rows) < len(reps)
    same = tuple(one for one in same if one[0] != "Source") if veiled else same
    varies = () if veiled else tuple(name for name in rows[0] if name not in dict(same))
    asks = [rep.ask_s for rep in reps if rep.ask_s is not None]
    return PlanView(reps, same, varies, veiled, min(asks), max(asks))


def _conditions(rep: PlannedRep) -> dict[str, str]:
    return {
        "Hand": word(rep.hand),
        "Pay": word(rep.pay_place),
        "Distance": metres(rep.distance_m),
        "Disturbance": disturbance(rep.disturbance),
        "Source": rep.source,
    }
