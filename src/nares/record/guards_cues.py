"""What must hold of a cue's name before it is written: fit for a rep table, not ours, not given before."""

from nares.base.errors import OutOfRange, Refused
from nares.design.cues.vocabulary import cue_of, require_name
from nares.record.kinds import CueNamed
from nares.record.tables import Cursor


def new_cue(cursor: Cursor, said: CueNamed) -> None:
    """Refuse a name that no rep table could hold, one of our own words, and one given before.

    Raises:
        Refused: Saying which.
    """
    try:
        require_name(said.cue)
    except OutOfRange as fault:
        raise Refused(str(fault)) from None
    ours = cue_of(said.cue)
    if ours is not None:
        raise Refused(f"{said.cue!r} is a cue already: {ours.says} Use it, or give another name.")
    cursor.execute("SELECT entry FROM cues WHERE cue = ?", (said.cue,))
    row = cursor.fetchone()
    if row is not None:
        raise Refused(f"Entry {row[0]} names the cue {said.cue!r} already. Use it, or give another name.")
