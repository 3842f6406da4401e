"""Corrections on the timeline: each change checked against what stands now, all that can be taken is kept.

Changes come in small batches and may come twice, after a broken connection: a change already on the record
is answered as saved and adds nothing. A change that finds its event gone is refused in words, and only that.
"""

from collections.abc import Iterator, Sequence

from nares.app.deeds import Corrected, CorrectEvents, Receipt
from nares.app.desk import Desk
from nares.app.standing import MACHINE, STANDING, lanes_of_reading, own_edits, reps_after, timeline_of
from nares.base.errors import Refused, Unknown
from nares.measure.admitting import Admitted, admit
from nares.measure.corrections import Edit, stands
from nares.measure.numbering import RepPlace, numbered, place_of
from nares.record.store import Proposed

MOST = 200
"""Changes in one batch: a page sends far fewer. [count]"""


def correct_events(desk: Desk, asked: CorrectEvents) -> Corrected:
    """Keep what a person changed on the timeline, and say what became of each change.

    Raises:
        Unknown: If there is no such session, or nothing was recorded or measured in it.
        Refused: If the batch is too large, or the reading looked at is not the newest.
    """
    if len(asked.edits) > MOST:
        raise Refused(f"{len(asked.edits)} changes came at once. Send at most {MOST} at a time.")
    desk.store.session(asked.session)
    admitted: list[Admitted] = []

    def proposed() -> Iterator[Proposed]:
        # Looked at inside the transaction, where nobody can come between.
        found, payload = _own(desk, asked) if asked.own else _reading(desk, asked)
        admitted.append(found)
        if found.fresh:
            yield Proposed("events_corrected", payload, desk.now(), desk.by(asked.by))

    written = desk.store.append_all(proposed())
    found = admitted[0]
    saved = (*found.known, *(edit.edit for edit in found.fresh))
    if not written:
        return Corrected(saved, found.refused, None)
    receipt = Receipt(written[-1].number, written[-1].digest, _said(found), asked.session)
    return Corrected(saved, found.refused, receipt)


def _said(found: Admitted) -> str:
    one = len(found.fresh) == 1
    return f"{len(found.fresh)} change{'' if one else 's'} {'is' if one else 'are'} on the record."


def _own(desk: Desk, asked: CorrectEvents) -> tuple[Admitted, dict[str, object]]:
    whose = desk.by(asked.by)
    if whose in (MACHINE, STANDING):
        raise Refused(f"A sheet cannot be called {whose!r}: lanes of that name exist. Use your own name.")
    before = own_edits(desk, asked.session, whose)
    found = admit((), before, asked.edits, duration_s=_duration_s(desk, asked.session))
    return found, {
        "session": asked.session,
        "reading": None,
        "sheet": "own",
        "whose": whose,
        "edits": list(found.fresh),
        "why": asked.why,
    }


def _reading(desk: Desk, asked: CorrectEvents) -> tuple[Admitted, dict[str, object]]:
    timeline = timeline_of(desk, asked.session)
    if timeline is None:
        raise Unknown(f"Nothing was measured in session {asked.session}. Mark it yourself on an own sheet.")
    if asked.reading not in (None, timeline.reading_entry):
        raise Refused(
            f"The session was measured again meanwhile (entry {timeline.reading_entry}). Reload the page: "
            "changes already saved were carried over where they fit."
        )
    duration_s = _duration_s(desk, asked.session)
    found = admit(timeline.read, timeline.edits, asked.edits, duration_s=duration_s)
    return found, {
        "session": asked.session,
        "reading": timeline.reading_entry,
        "edits": list(found.fresh),
        "reps": places_after(desk, asked.session, [*timeline.edits, *_by(found.fresh, desk.by(asked.by))]),
        "why": asked.why,
    }


def places_after(desk: Desk, session: str, edits: Sequence[Edit]) -> list[RepPlace]:
    """Where the reps of the newest reading lie, by number, once these edits stand."""
    timeline = timeline_of(desk, session)
    kept = desk.store.reading_of(session)
    assert timeline is not None  # the caller has asked for both
    assert kept is not None
    standing = stands(timeline.read, edits)
    reps = reps_after(timeline.reading, standing, lanes_of_reading(kept, timeline.reading, standing))
    earlier = [place_of(rep) for rep in timeline.reps]
    named = numbered(reps, earlier, taken=desk.store.rep_numbers(session))
    return [place_of(rep) for rep in named]


def _by(edits: Sequence[Edit], by: str) -> list[Edit]:
    return [Edit(one.edit, one.lane, one.deed, one.event, one.was, one.now, one.by or by) for one in edits]


def _duration_s(desk: Desk, session: str) -> float:
    kept = desk.store.recording_of(session)
    if kept is None:
        raise Unknown(f"Session {session} keeps no recording, so it has no timeline. Add the recording.")
    return kept.duration_s
