"""What measuring is fed: blocks of sound and single pictures, in time order.

Both carry integer positions at a stated rate; a door, a decoder or a test can make them.
"""

from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from nares.base.times import MediaTime


@dataclass(frozen=True, slots=True)
class SoundBlock:
    """A run of mono samples.

    ``samples``: float32, shape (n,), from -1 to 1. ``first``: index of ``samples[0]`` counted from the
    start of the recording at ``rate_hz`` (may be negative or skip ahead where the file says so).
    """

    samples: NDArray[np.float32]
    first: int
    rate_hz: int


@dataclass(frozen=True, slots=True)
class Picture:
    """One decoded frame, already turned upright.

    ``luma``: uint8, shape (h, w). ``blue`` and ``red``: the colour-difference planes, uint8, shape about
    (h/2, w/2), 128 where there is no colour. ``whole``: where only the part that was asked for is in
    sight and the rest is 0, the same picture with all of it; None where all of it is here.
    """

    at: MediaTime
    luma: NDArray[np.uint8]
    blue: NDArray[np.uint8]
    red: NDArray[np.uint8]
    whole: "Callable[[], Picture] | None" = field(default=None, compare=False, repr=False)
