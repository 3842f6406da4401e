"""The part of the next picture that will be looked at, so that a decoder need not prepare the rest.

Conventions
-----------
A box is (top, left, bottom, right) in pixels. What is looked at while the box is followed from picture to
picture are the tiles and the windows around the openings; `NEAR_PX` more on every side lets them be found
where they have moved to. Once the box is lost, all of the picture is wanted.
"""

from nares.base.vocab import Region
from nares.measure.picture.motion import Motion

NEAR_PX = 12
"""Farther than the tiles are ever followed from one picture to the next without a search. [px]"""

Box = tuple[float, float, float, float]


def box_around(boxes: list[Box]) -> Box:
    """The smallest box that holds all of these."""
    tops, lefts, lows, rights = zip(*boxes, strict=True)
    return min(tops), min(lefts), max(lows), max(rights)


def sight_of(box: Box, motion: Motion, centre: tuple[float, float], shape: tuple[int, ...]) -> Region | None:
    """Where a box of the first picture lies after a motion about ``centre``, as a part of the picture.

    Args:
        box: What is looked at, as it lay in the first picture.
        motion: How the picture has moved since.
        centre: The point that the motion turns and grows about, (row, column). [px]
        shape: Rows and columns of the picture.

    Returns:
        None when nothing of it is left in the picture.
    """
    rows, cols = (box[0] - centre[0], box[2] - centre[0]), (box[1] - centre[1], box[3] - centre[1])
    down = [motion.row + r + motion.grow * r - motion.turn * c for r in rows for c in cols]
    across = [motion.col + c + motion.turn * r + motion.grow * c for r in rows for c in cols]
    top = max(0.0, centre[0] + min(down) - NEAR_PX) / shape[0]
    left = max(0.0, centre[1] + min(across) - NEAR_PX) / shape[1]
    low = min(1.0, (centre[0] + max(down) + NEAR_PX) / shape[0])
    right = min(1.0, (centre[1] + max(across) + NEAR_PX) / shape[1])
    return Region(left, top, right - left, low - top) if low > top and right > left else None
