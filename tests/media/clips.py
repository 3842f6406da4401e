"""Tiny recordings made on the spot, each with a fault or a habit that phones and programs have.

Sound: four short pulses whose true times are `PULSES_S`, fine enough to be placed to a few microseconds.
Pictures: a grey ramp whose level says which picture it is, or a frame with one bright quarter.
"""

import struct
from collections.abc import Iterator, Sequence
from fractions import Fraction
from pathlib import Path
from typing import Any

import av
import numpy as np
from numpy.typing import NDArray

from nares.measure.inputs import Picture, SoundBlock
from nares.media import Recording, open_recording

PULSES_S = (0.5, 1.2345, 2.5, 3.3)
LENGTH_S = 4.0
WIDTH, HEIGHT = 64, 48
MILLI = Fraction(1, 1000)
LOSSY = {"aac", "libopus", "libmp3lame"}


def pulses(rate_hz: int, at_s: Sequence[float] = PULSES_S, length_s: float = LENGTH_S) -> NDArray[np.float32]:
    """Bursts of 2.5 kHz, 1 ms long, centred exactly on the given times."""
    t = np.arange(round(rate_hz * length_s)) / rate_hz
    sound = sum(0.8 * np.exp(-(((t - c) / 0.0007) ** 2)) * np.cos(2 * np.pi * 2500 * (t - c)) for c in at_s)
    return np.asarray(sound, dtype=np.float32)


def levels(count: int) -> list[NDArray[np.uint8]]:
    """Even grey frames, four levels apart, in I420 layout."""
    return [np.full((HEIGHT * 3 // 2, WIDTH), 40 + 4 * (i % 40), np.uint8) for i in range(count)]


def write_clip(
    path: Path,
    *,
    kind: str = "mp4",
    sound: str | None = "aac",
    rate_hz: int = 48_000,
    samples: NDArray[np.float32] | None = None,
    sound_from_s: Fraction = Fraction(0),
    pictures: str | None = None,
    frames: Sequence[NDArray[np.uint8]] | None = None,
    stamps_ms: Sequence[int] | None = None,
    pix_fmt: str = "yuv420p",
    options: dict[str, str] | None = None,
    metadata: dict[str, str] | None = None,
) -> Path:
    """Write one clip. ``frames`` are arrays in ``pix_fmt``; ``stamps_ms`` their times, else 30 a second."""
    with av.open(path, "w", format=kind, options=options or {}) as file:
        file.metadata.update(metadata or {})
        eye = _add_eye(file, pictures, frames, pix_fmt) if pictures else None
        ear = _add_ear(file, sound, rate_hz) if sound else None
        if eye:
            for packet in _pictures(eye, frames or levels(round(30 * LENGTH_S)), stamps_ms, pix_fmt):
                file.mux(packet)
        if ear:
            heard = pulses(rate_hz) if samples is None else samples
            for packet in _sound(ear, heard, rate_hz, sound_from_s):
                file.mux(packet)
    return path


def _add_eye(file: Any, codec: str, frames: Sequence[NDArray[np.uint8]] | None, pix_fmt: str) -> Any:
    stream = file.add_stream(codec, rate=30)
    stream.pix_fmt = pix_fmt
    stream.codec_context.time_base = MILLI
    stream.width, stream.height = WIDTH, HEIGHT
    if frames is not None:
        probe = av.VideoFrame.from_ndarray(frames[0], format=pix_fmt)
        stream.width, stream.height = probe.width, probe.height
    if codec == "libx264":
        stream.options = {"preset": "veryfast", "crf": "10"}
    elif codec == "libx265":
        # Reordering over more pictures than there are stamps the first with whatever lay in its memory.
        stream.options = {"x265-params": "bframes=0:log-level=error"}
    return stream


def _add_ear(file: Any, codec: str, rate_hz: int) -> Any:
    stream = file.add_stream(codec, rate=rate_hz, layout="mono")
    if codec in LOSSY:
        stream.bit_rate = 128_000
    return stream


def _pictures(
    stream: Any, frames: Sequence[NDArray[np.uint8]], stamps_ms: Sequence[int] | None, pix_fmt: str
) -> Iterator[Any]:
    stamps = stamps_ms or [round(1000 * i / 30) for i in range(len(frames))]
    for pixels, stamp in zip(frames, stamps, strict=True):
        frame = av.VideoFrame.from_ndarray(pixels, format=pix_fmt)
        frame.pts, frame.time_base = stamp, MILLI
        yield from stream.encode(frame)
    yield from stream.encode(None)


def _sound(stream: Any, samples: NDArray[np.float32], rate_hz: int, start_s: Fraction) -> Iterator[Any]:
    convert = av.AudioResampler(format=stream.format.name, layout="mono", rate=rate_hz)
    for at in range(0, len(samples), 1024):
        frame = av.AudioFrame.from_ndarray(samples[None, at : at + 1024], format="fltp", layout="mono")
        frame.rate, frame.pts, frame.time_base = rate_hz, at + round(start_s * rate_hz), Fraction(1, rate_hz)
        for converted in convert.resample(frame):
            yield from stream.encode(converted)
    yield from stream.encode(None)


def sound_of(path: Path) -> NDArray[np.float32]:
    """All sound of a clip laid out from time zero, silence where there is none."""
    with open_recording(path) as recording:
        return laid_out(piece for piece in recording.play(pictures=False) if isinstance(piece, SoundBlock))


def laid_out(blocks: Iterator[SoundBlock]) -> NDArray[np.float32]:
    """Blocks put at their places; two blocks on one place are an error of the reader."""
    parts, length = [np.zeros(0, dtype=np.float32)], 0
    for block in blocks:
        assert block.rate_hz == 48_000
        assert block.first >= length
        parts += [np.zeros(block.first - length, np.float32), block.samples]
        length = block.first + len(block.samples)
    return np.concatenate(parts)


def pictures_of(path: Path, **how: Any) -> list[Picture]:
    """All pictures of a clip."""
    with open_recording(path) as recording:
        return [piece for piece in recording.play(sound=False, **how) if isinstance(piece, Picture)]


def errors_ms(sound: NDArray[np.float32], at_s: Sequence[float] = PULSES_S) -> NDArray[np.float64]:
    """How late each pulse is heard, by the peak of the correlation with the true pulse. [ms]"""
    pulse = pulses(48_000, [0.005], 0.010)
    found = np.correlate(sound, pulse, "full")[: len(sound)]  # peak lies 5 ms after the centre, less one
    late = []
    for truth in at_s:
        low = round((truth - 0.08 + 0.005) * 48_000)
        peak = low + int(np.argmax(found[low : low + 7680]))
        left, mid, right = found[peak - 1 : peak + 2]
        centre = peak + 0.5 * (left - right) / (left - 2 * mid + right) - (len(pulse) // 2 - 1)
        late.append(1000 * (centre / 48_000 - truth))
    return np.array(late)


def patch_box(path: Path, box: bytes, where: int, value: bytes, *, nth: int = 0) -> None:
    """Overwrite bytes ``where`` after the name of the nth such box of an mp4."""
    data = bytearray(path.read_bytes())
    at = -1
    for _ in range(nth + 1):
        at = data.index(box, at + 1)
    data[at + 4 + where : at + 4 + where + len(value)] = value
    path.write_bytes(data)


MATRIX_AT = 40
"""Bytes from the name of a version 0 track header to its matrix."""


def set_matrix(path: Path, a: int, b: int, c: int, d: int) -> None:
    """Write a display matrix into the first track: a stored point (x, y) is shown at (ax + cy, bx + dy)."""
    one = 0x10000
    patch_box(
        path, b"tkhd", MATRIX_AT, struct.pack(">9i", a * one, b * one, 0, c * one, d * one, 0, 0, 0, 1 << 30)
    )


def report_of(path: Path) -> Any:
    """The decode report after a full pass."""
    with open_recording(path) as recording:
        _play_out(recording)
        return recording.report()


def _play_out(recording: Recording) -> None:
    for _ in recording.play():
        pass
