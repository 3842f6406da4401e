"""A short film made on the spot: a square that moves, a click before the end of each rep."""

from fractions import Fraction
from pathlib import Path

import av
import numpy as np
from tests.web import samples

RATE_HZ = 48000
SECONDS = 10
FRAMES_PER_S = 25


def make_film(to: Path) -> None:
    """Write ten seconds of H.264 and AAC whose clicks fall on the marks of the sample reading."""
    with av.open(str(to), "w") as out:
        picture = out.add_stream("libx264", rate=FRAMES_PER_S, options={"preset": "ultrafast", "g": "12"})
        picture.width, picture.height, picture.pix_fmt = 320, 180, "yuv420p"
        sound = out.add_stream("aac", rate=RATE_HZ, layout="mono")
        for number in range(SECONDS * FRAMES_PER_S):
            frame = av.VideoFrame.from_ndarray(_picture(number), format="rgb24")
            frame.pts, frame.time_base = number, Fraction(1, FRAMES_PER_S)
            out.mux(picture.encode(frame))
        for first in range(0, SECONDS * RATE_HZ, 1024):
            heard = av.AudioFrame.from_ndarray(_sound(first), format="fltp", layout="mono")
            heard.sample_rate, heard.pts, heard.time_base = RATE_HZ, first, Fraction(1, RATE_HZ)
            out.mux(sound.encode(heard))
        out.mux(picture.encode(None))
        out.mux(sound.encode(None))


def _picture(number: int) -> "np.ndarray[tuple[int, int, int], np.dtype[np.uint8]]":
    shown = np.full((180, 320, 3), (110, 120, 112), np.uint8)
    left = 20 + number
    shown[70:110, left : left + 40] = (190, 140, 80)
    return shown


def _sound(first: int) -> "np.ndarray[tuple[int, int], np.dtype[np.float32]]":
    at_s = (first + np.arange(1024)) / RATE_HZ
    heard = np.zeros(1024)
    for mark in samples.reading().marks:
        near = (at_s >= mark.at_s) & (at_s < mark.at_s + 0.01)
        heard[near] = np.sin(2 * np.pi * 3000 * at_s[near])
    return heard.astype(np.float32)[None, :]
