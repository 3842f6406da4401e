"""A confirmed rep made to follow its events after these were corrected on the timeline."""

from dataclasses import replace

from nares.app.confirming import confirm_reps
from nares.app.deeds import ConfirmReps, FollowEvents, Receipt
from nares.app.desk import Desk
from nares.app.proposals import is_met
from nares.app.sessions import rep_lines
from nares.base.errors import Refused, Unknown

WHY = "Follows its events, which were corrected on the timeline."


def follow_events(desk: Desk, asked: FollowEvents) -> Receipt:
    """Take the measured values of a confirmed rep anew; what a person said beside them and the ask stay.

    Raises:
        Unknown: If there is no such session or rep.
        Refused: If the events do not say how the rep ended, or it changed since it was seen.
    """
    line = next((one for one in rep_lines(desk, asked.session) if one.rep == asked.rep), None)
    if line is None:
        raise Unknown(f"Session {asked.session} has no rep {asked.rep}. Its reps are on its page.")
    if line.kept is None or line.measured is None or line.proposed is None:
        raise Refused(f"The events of rep {asked.rep} do not say how it ended. Change its values by hand.")
    row = replace(
        line.kept,
        hold_s=line.proposed.hold_s,
        ended_by=line.proposed.ended_by,
        met=is_met(line.measured, line.kept.ask_s),
        pay_place=line.proposed.pay_place,
        paid=line.proposed.paid,
    )
    return confirm_reps(desk, ConfirmReps(asked.session, asked.by, (row,), WHY, asked.seen))
