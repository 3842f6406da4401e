"""What every door asks a line-up with, on the record or into files: a plan to begin with, a brief, a seed."""

from nares.app.lineups.requests import DrawLineup
from nares.base.errors import OutOfRange
from nares.base.lineups import Area, Shape
from nares.design.chance import SEED_BYTES
from nares.design.lineups import Brief, area_of


def lineup_area(shape: Shape, positions: int, place: str) -> Area:
    """A plan to begin with: sensible places for a shape.

    Raises:
        OutOfRange: If there is no such shape or number.
    """
    return area_of(shape, positions, place=place)


def brief_of(asked: DrawLineup) -> Brief:
    """What a request asks of the draw, where no record knows of warm positions."""
    return Brief(
        area=asked.area,
        runs=asked.runs,
        targets_low=asked.targets_low,
        targets_high=asked.targets_high,
        blank_runs=asked.blank_runs,
        aids=asked.aids,
        distractors=asked.distractors,
        controls=asked.controls,
        blinding=asked.blinding,
        rules=asked.rules,
        along=asked.along,
        fresh=asked.fresh,
        set_time_min=asked.set_time_min,
    )


def seed_from(text: str) -> bytes:
    """The seed a person gave in hex.

    Raises:
        OutOfRange: If it is not 32 bytes in hex.
    """
    try:
        if len(text.strip()) == 2 * SEED_BYTES:
            return bytes.fromhex(text.strip())
    except ValueError:
        pass
    raise OutOfRange(
        f"This seed is not {SEED_BYTES} bytes in hex. Give {2 * SEED_BYTES} digits of 0-9 and a-f, or "
        "none for fresh chance."
    )
