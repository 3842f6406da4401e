"""Which signs of a dog stand now, from the record."""

from nares.app.desk import Desk
from nares.base.times import read_utc, utc_text
from nares.base.vocab import SignsStanding
from nares.care.standing import Seen, Worked, standing


def signs_of(desk: Desk, dog: str) -> SignsStanding:
    """What stands of the signs seen in a dog, and what they ask for."""
    seen = desk.store.signs(dog)
    if not seen:
        return SignsStanding(0)
    looks = [clearing.entry for clearing in desk.store.clearings(dog) if clearing.vet]
    return standing(
        [
            Seen(one.entry, one.signs, one.level, one.at, one.session, one.rep, one.cleared is not None)
            for one in seen
        ],
        worked=_worked(desk, dog),
        vet_looked=max(looks, default=None),
    )


def _worked(desk: Desk, dog: str) -> list[Worked]:
    """The dog's sessions with reps a person stands by, each with its start in one way of writing."""
    counts = desk.store.session_counts(dog)
    return [
        Worked(one.session, utc_text(read_utc(one.started_at)))
        for one in desk.store.sessions(dog)
        if counts[one.session].reps
    ]
