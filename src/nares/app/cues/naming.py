"""Give a cue of one's own a name, so that sessions can be ticked with it and everybody means the same."""

from nares.app.cues.values import NameCue, OwnCue
from nares.app.deeds import Receipt
from nares.app.desk import Desk


def name_cue(desk: Desk, asked: NameCue) -> Receipt:
    """Put the name of a cue on the record.

    Raises:
        Refused: If no rep table could hold the name, or it is a cue already.
    """
    payload = {"cue": asked.cue.strip(), "about": " ".join(asked.about.split())}
    entry = desk.store.append("cue_named", payload, happened_at=desk.now(), by=desk.by(asked.by))
    return Receipt(
        entry.number, entry.digest, f"{payload['cue']} is a cue from now on. Entry {entry.number}."
    )


def own_cues(desk: Desk) -> tuple[OwnCue, ...]:
    """Every cue that was named, oldest first."""
    return tuple(OwnCue(one.cue, one.about, one.by, one.entry) for one in desk.store.named_cues())
