"""What must hold of signs before they are written: known keys, the level they come to, signs that stand."""

from nares.base.errors import OutOfRange, Refused, Unknown
from nares.care.signs import level_of
from nares.record.kinds import SignsCleared, SignsSeen
from nares.record.tables import Cursor


def new_signs(said: SignsSeen) -> None:
    """Refuse signs nobody knows, none at all, and a level that does not follow from them.

    Raises:
        Refused: Saying which.
    """
    if not said.signs:
        raise Refused(f"No sign was given for {said.dog!r}. Give at least one.")
    if len(set(said.signs)) != len(said.signs):
        raise Refused("A sign is given twice. Give each once.")
    try:
        level = level_of(said.signs)
    except (OutOfRange, Unknown) as fault:
        raise Refused(str(fault)) from None
    if said.level != level:
        raise Refused(f"These signs come to level {level}, not {said.level}. Leave the level to the program.")


def new_clearing(cursor: Cursor, said: SignsCleared) -> None:
    """Refuse to clear what is no sign of this dog, or was cleared already.

    Raises:
        Unknown: If an entry is no sign of this dog.
        Refused: If nothing is given, or somebody looked into it already.
    """
    if not said.signs:
        raise Refused(f"No signs were given for {said.dog!r}. Name the entries that were looked into.")
    for number in said.signs:
        cursor.execute("SELECT cleared_entry FROM signs WHERE entry = ? AND dog = ?", (number, said.dog))
        row = cursor.fetchone()
        if row is None:
            raise Unknown(f"Entry {number} holds no signs of {said.dog!r}. Look them up on the dog's page.")
        if row[0] is not None:
            raise Refused(f"Entry {row[0]} says already that the signs of entry {number} were looked into.")
