"""Names of cues: give one of one's own, and what a session is likely to hold."""

from nares.app.cues.values import NameCue, OwnCue, SessionCues
from nares.app.deciding import programme_of
from nares.app.deeds import Receipt
from nares.app.desk import Desk
from nares.app.running import cues_of, current_step
from nares.decide.isolation.easing import step_of


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


def session_cues(desk: Desk, dog: str) -> SessionCues:
    """The cues that the dog's current step puts before it, and those somebody named.

    Raises:
        Unknown: If there is no such dog.
    """
    kept = desk.store.dog(dog)
    key = current_step(desk, kept.dog)
    step = step_of(programme_of(desk, kept.programme), key)
    return SessionCues(key, () if step is None else cues_of(step), own_cues(desk))
