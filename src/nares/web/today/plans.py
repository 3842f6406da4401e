"""The next session in a glance: a strip of asks, what stays the same over all reps, what changes."""

from dataclasses import dataclass

from nares.app.pages import CallView, PlannedRep
from nares.web.shell.words import disturbance, metres, word


@dataclass(frozen=True, slots=True)
class PlanView:
    """The planned reps, and each condition with its words; ``varies`` where reps differ in it."""

    reps: tuple[PlannedRep, ...]
    same: tuple[tuple[str, str], ...]
    varies: tuple[str, ...]


def plan_of(call: CallView | None) -> PlanView | None:
    """Read the next session of a call, if it plans one."""
    if call is None or not call.next_session:
        return None
    rows = [_conditions(rep) for rep in call.next_session]
    same = tuple((name, said) for name, said in rows[0].items() if all(row[name] == said for row in rows))
    varies = tuple(name for name in rows[0] if name not in dict(same))
    return PlanView(call.next_session, same, varies)


def _conditions(rep: PlannedRep) -> dict[str, str]:
    return {
        "Hand": word(rep.hand),
        "Pay": word(rep.pay_place),
        "Distance": metres(rep.distance_m),
        "Disturbance": disturbance(rep.disturbance),
        "Source": rep.source,
    }
