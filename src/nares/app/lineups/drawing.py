"""Drawing a line-up: the key goes into the vault, what commits to it on the record, codes to the seats.

Nobody is shown the key. Where the seed was handed in, whoever handed it in could work the key out, and the
record says so.
"""

from dataclasses import replace

from nares.app.desk import Desk
from nares.app.lineups.asking import brief_of, seed_from
from nares.app.lineups.requests import DrawLineup
from nares.app.lineups.values import Drawn, SeatCode
from nares.app.lineups.warm_spots import most_sealed, warm_known, warm_sealed
from nares.base.errors import OutOfRange, Refused
from nares.base.lineups import Role, Smell
from nares.design import lineups as design
from nares.design.blinding import same_person
from nares.design.keys import commitment_of, key_of, run_commitments_of
from nares.design.keys.writing import asked_value
from nares.design.lineups.brief import refuse_impossible
from nares.record.kinds_lineups import LineupSealed

NEEDED: tuple[Role, ...] = ("placer", "handler", "evaluator")
SEATS: tuple[Role, ...] = (*NEEDED, "recorder")


def draw_lineup(desk: Desk, asked: DrawLineup) -> Drawn:
    """Draw a line-up, seal its key, give out the seats.

    Raises:
        Unknown: If there is no such dog.
        OutOfRange: If the wishes do not go together, or the seed is no 32 bytes.
        Unusable: If the plan or the names are at fault, every fault named.
        Refused: If nobody is named for a seat, no order keeps the rules, or the name is taken.
    """
    now, by = desk.now(), desk.by(asked.by)
    dog = desk.store.dog(asked.dog).dog
    people = _people(asked)
    seed = desk.seed() if asked.seed is None else seed_from(asked.seed)
    known = _brief(desk, asked, warm_known(desk, asked.area, asked.tested, now))
    hidden = _with_hidden(desk, known, asked, most_sealed(desk, asked.area, now))
    sealed = warm_sealed(desk, asked.area, asked.tested, now) if hidden else ()
    brief = replace(known, warm=tuple(sorted({*known.warm, *sealed})))
    drawn = design.draw_lineup(brief, seed)
    name = _name(desk, asked, dog)
    key = key_of(name, brief, drawn, seed)
    commitment = commitment_of(key)
    said = LineupSealed(
        name,
        dog,
        commitment,
        run_commitments_of(key),
        asked.area,
        {name: value for name, value in asked_value(known).items() if name != "area"},
        drawn.drawing,
        drawn.rules,
        0,  # how many orders were tried follows from the seed: told with the key
        people,
        by if asked.seed is not None else "",
        asked.set_time_min,
        asked.note,
    )
    desk.vault.sweep(desk.store.commitments(closed=False), desk.store.commitments(closed=True), now)
    codes = desk.vault.lay_in(name, key, people, now)
    try:
        entry = desk.store.append("lineup_sealed", said, happened_at=now, by=by)
    except BaseException:
        desk.vault.forget(commitment)
        raise
    runs = f"{asked.runs} run{'' if asked.runs == 1 else 's'}"
    return Drawn(
        name,
        entry.number,
        entry.digest,
        f"Line-up {name}, {runs}, is sealed as entry {entry.number}. Hand each code to its person.",
        commitment,
        tuple(SeatCode(role, people[role], codes[role]) for role in SEATS if role in people),
    )


def _people(asked: DrawLineup) -> dict[Role, str]:
    people = {role: asked.people.get(role, "").strip() for role in SEATS}
    missing = [role for role in NEEDED if not people[role]]
    if missing:
        raise Refused(
            f"Nobody is named as {' or as '.join(missing)}. Name who sits where: how blind a run was follows "
            "from that."
        )
    return {role: person for role, person in people.items() if person}


def _brief(desk: Desk, asked: DrawLineup, warm: tuple[int, ...]) -> design.Brief:
    met = {same_person(smell) for smell in desk.store.smells_met(asked.dog)}
    smells = tuple(
        one if one.novel is not None else Smell(one.smell, same_person(one.smell) not in met)
        for one in asked.distractors
    )
    return replace(brief_of(asked), distractors=smells, warm=warm)


def _with_hidden(desk: Desk, known: design.Brief, asked: DrawLineup, most: int) -> int:
    """Refuse by the most that sealed line-ups can have left warm, so that a refusal tells nothing of them.

    Returns:
        That number. [count]
    """
    free = [spot.position for spot in asked.area.spots if spot.position not in (*known.warm, *asked.tested)]
    worst = replace(known, warm=(*known.warm, *free[:most]))
    try:
        refuse_impossible(worst)
    except OutOfRange as fault:
        refuse_impossible(known)
        raise OutOfRange(
            f"Another line-up at {asked.area.place} is not open yet, so up to {len(free[:most])} more "
            f"positions may be warm. {fault}"
        ) from None
    return most


def _name(desk: Desk, asked: DrawLineup, dog: str) -> str:
    taken, name = desk.store.lineup_names(), (asked.lineup or "").strip()
    if name in taken:
        raise Refused(f"There is already a line-up {name!r}. Give another name.")
    if name:
        return name
    stem = "-".join(dog.lower().split())
    number = 1
    while f"{stem}-lineup-{number:02d}" in taken:
        number += 1
    return f"{stem}-lineup-{number:02d}"
