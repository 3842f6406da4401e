"""Recordings like a phone's, for benchmarks: 1080p30, textured, hand-held, grainy, with clicks and sniffing.

A drawn session (`tests/generator/stage.py`) is enlarged and given a fine texture; both move with the hand
that holds the phone, a sensor's grain does not. The coding is a phone's: a key picture each second, no
picture that looks ahead. `looped` strings a clip together again and again without coding anew: half an hour
in seconds.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from typing import Any

import av
import numpy as np
from numpy.typing import NDArray
from scipy import ndimage
from tests.generator import stage
from tests.generator.sessions import draw_session
from tests.generator.stage import RATE, Play, performed

from nares.base.vocab import Region
from nares.measure.inputs import Picture

WIDTH, HEIGHT, SOUND_HZ = 1920, 1080, 48_000
SEED = 90_001
ACROSS = 0.6


@dataclass(frozen=True)
class Phone:
    """How a phone codes: the coder and its options, and the sensor's ``grain`` in levels."""

    coder: str
    options: dict[str, str]
    grain: float


PHONES = {
    "h264": Phone("libx264", {"preset": "veryfast", "b": "15M", "bf": "0", "g": "30"}, 5.0),
    "easy": Phone("libx264", {"preset": "veryfast", "crf": "28", "bf": "0", "g": "30"}, 1.0),
    "hevc": Phone(
        "libx265",
        {"preset": "ultrafast", "b": "9M", "x265-params": "log-level=error:bframes=0:keyint=30"},
        4.0,
    ),
}


def encode(path: Path, kind: str, seconds: int) -> Path:
    """Write one recording of a session, as the phone of this kind would."""
    phone = PHONES[kind]
    with av.open(path, "w") as file:
        eye: Any = file.add_stream(phone.coder, rate=RATE, options=phone.options)
        eye.width, eye.height, eye.pix_fmt = WIDTH, HEIGHT, "yuv420p"
        ear: Any = file.add_stream("aac", rate=SOUND_HZ, layout="mono")
        sound = draw_session(SEED, length_s=float(seconds)).sound
        sound = (sound * (0.5 / np.abs(sound).max())).astype(np.float32)
        for number, pixels in enumerate(_pictures(phone, seconds)):
            frame = av.VideoFrame.from_ndarray(pixels, format="yuv420p")
            frame.pts, frame.time_base = number, Fraction(1, RATE)
            file.mux(eye.encode(frame))
            first = number * SOUND_HZ // RATE
            heard = av.AudioFrame.from_ndarray(
                sound[None, first : first + SOUND_HZ // RATE], format="fltp", layout="mono"
            )
            heard.rate, heard.pts, heard.time_base = SOUND_HZ, first, Fraction(1, SOUND_HZ)
            file.mux(ear.encode(heard))
        file.mux(eye.encode(None))
        file.mux(ear.encode(None))
    return path


def encode_sound(path: Path, seconds: int, rate_hz: int, layout: str) -> Path:
    """Write sound alone: sessions one after the other, each of a minute."""
    minutes = [draw_session(SEED + k, length_s=60.0).sound for k in range(-(-seconds // 60))]
    sound = np.concatenate(minutes)[: seconds * SOUND_HZ]
    sound = np.interp(np.arange(seconds * rate_hz) / rate_hz, np.arange(len(sound)) / SOUND_HZ, sound)
    channels = np.tile(sound * (0.5 / np.abs(sound).max()), (2 if layout == "stereo" else 1, 1))
    with av.open(path, "w") as file:
        ear: Any = file.add_stream("aac", rate=rate_hz, layout=layout)
        for first in range(0, channels.shape[1], 1024):
            piece = np.ascontiguousarray(channels[:, first : first + 1024], np.float32)
            heard = av.AudioFrame.from_ndarray(piece, format="fltp", layout=layout)
            heard.rate, heard.pts, heard.time_base = rate_hz, first, Fraction(1, rate_hz)
            file.mux(ear.encode(heard))
        file.mux(ear.encode(None))
    return path


def looped(clip: Path, path: Path, seconds: int) -> Path:
    """The clip again and again until it is this long: packets copied, stamps carried on."""
    with av.open(clip) as source, av.open(path, "w") as file:
        copies = {s.index: file.add_stream_from_template(s) for s in source.streams}
        length_s = Fraction(source.streams.video[0].frames, RATE)
        for turn in range(-(-seconds // int(length_s))):
            source.seek(0)
            for packet in source.demux():
                if not packet.size:
                    continue
                later = round(turn * length_s / packet.time_base)
                packet.pts, packet.dts = (packet.pts or 0) + later, (packet.dts or 0) + later
                packet.stream = copies[packet.stream_index]
                file.mux(packet)
    return path


def _pictures(phone: Phone, seconds: int) -> Iterator[NDArray[np.uint8]]:
    """Whole frames in I420 layout."""
    chance = np.random.default_rng(SEED)
    texture = ndimage.gaussian_filter(chance.normal(size=(HEIGHT, WIDTH)), 1.2)
    texture = (8 * texture / texture.std()).astype(np.int16)
    grains = [_grain(chance, phone.grain) for _ in range(4)]
    shake = ndimage.gaussian_filter1d(chance.normal(size=(seconds * RATE, 2)), 12, axis=0)
    shake = 2 * np.rint(5 * (shake - shake[0]) / shake.std() / 2).astype(int)
    for number, picture in enumerate(performed(_play(seconds))):
        planes = _enlarged(picture)
        planes[0] += texture
        moved = [np.roll(p, shake[number] // (1 + (k > 0)), (0, 1)) for k, p in enumerate(planes)]
        moved[0] += np.roll(grains[number % 4], 37 * number, 1)
        yield np.concatenate([np.clip(p, 0, 255).astype(np.uint8).ravel() for p in moved]).reshape(-1, WIDTH)


def _grain(chance: np.random.Generator, amount: float) -> NDArray[np.int16]:
    return np.rint(chance.normal(0, amount, (HEIGHT, WIDTH))).astype(np.int16)


def _play(seconds: int) -> Play:
    """A rep every five seconds: nose in, mark, hand in."""
    starts = np.arange(1.5, seconds - 3, 5.0)
    return Play(
        length_s=float(seconds),
        nose=tuple((float(s), float(s) + 2.5) for s in starts),
        hand=tuple((float(s) + 1.5, float(s) + 2.4) for s in starts),
        noise=0.0,
    )


def _enlarged(picture: Picture) -> list[NDArray[np.int16]]:
    """The stage in the middle of the frame, `ACROSS` of it wide, as far away as a phone stands."""
    height, width = picture.luma.shape
    flat = np.concatenate([p.ravel() for p in (picture.luma, picture.blue, picture.red)])
    small = av.VideoFrame.from_ndarray(flat.reshape(height * 3 // 2, width), format="yuv420p")
    across, down = round(WIDTH * ACROSS), round(HEIGHT * ACROSS)
    large = small.reformat(across, down, interpolation="BICUBIC").to_ndarray()
    planes = (large[:down], large[down : down * 5 // 4], large[down * 5 // 4 :])
    margins = (HEIGHT - down) // 2, (WIDTH - across) // 2
    return [
        np.pad(
            plane.reshape(down // coarser, across // coarser).astype(np.int16),
            [(margin // coarser, margin // coarser) for margin in margins],
            "edge",
        )
        for plane, coarser in zip(planes, (1, 2, 2), strict=True)
    ]


def _set_back(region: Region) -> Region:
    first = (1 - ACROSS) / 2
    x, y, w, h = (ACROSS * side for side in (region.x, region.y, region.w, region.h))
    return Region(first + x, first + y, w, h)


FRONT, SIDE = _set_back(stage.FRONT), _set_back(stage.SIDE)
