"""From the snaps of one recording to its marks: with a print, else with its start block, else by itself."""

from dataclasses import dataclass

from nares.base.vocab import Mark
from nares.measure.sound.marks import ClickerPrint, alone_chances, judge_snaps, marks_from
from nares.measure.sound.snaps import Snaps
from nares.measure.sound.start_block import start_block_of


@dataclass(frozen=True, slots=True)
class HeardMarks:
    """Marks of a box clicker, the doubtful ones, and what a start block taught.

    ``start_block``: when its four marks were pressed, empty where there is none. ``floor_db``: the background
    before them. ``told``: whether the clicker was known from a print or a start block.
    """

    marks: tuple[Mark, ...]
    doubtful: tuple[Mark, ...] = ()
    start_block: tuple[float, ...] = ()
    floor_db: float | None = None
    told: bool = False


def hear_marks(snaps: Snaps, clicker: ClickerPrint | None) -> HeardMarks:
    """The marks among the snaps of a recording.

    Args:
        snaps: All snaps in time order.
        clicker: The print of this clicker in this room, when one was recorded; it goes before a start block.
    """
    alone = alone_chances(snaps)
    block = start_block_of(snaps, alone)
    known = clicker if clicker is not None or block is None else block.known
    marks, doubtful = marks_from(snaps, judge_snaps(snaps, alone, known), told=known is not None)
    if block is None:
        return HeardMarks(marks, doubtful, told=known is not None)
    return HeardMarks(marks, doubtful, block.presses_s, block.floor_db, told=True)
