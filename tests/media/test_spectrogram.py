"""Pitches at their place: a tone is found in its row and column, and the picture is a proper PNG."""

import io
import wave
import zlib
from pathlib import Path

import av
import numpy as np
import pytest
from numpy.typing import NDArray

from nares.media.spectrogram import COLUMNS_PER_S, ROWS, TILE_S, TOP_HZ, levels_of, png_of, spectrogram_of

RATE_HZ = 48_000


Samples = NDArray[np.float64]


def write_sound(to: Path, samples: Samples, rate_hz: int = RATE_HZ) -> Path:
    with wave.open(str(to), "wb") as out:
        out.setnchannels(1)
        out.setsampwidth(2)
        out.setframerate(rate_hz)
        out.writeframes((samples * 32767).astype("<i2").tobytes())
    return to


def row_of(pitch_hz: float) -> int:
    return int(pitch_hz / TOP_HZ * ROWS)


@pytest.mark.parametrize("pitch_hz", [440.0, 3000.0, 11_900.0])
def test_a_tone_lies_in_its_row_at_its_level(tmp_path: Path, pitch_hz: float) -> None:
    at_s = np.arange(RATE_HZ) / RATE_HZ
    levels = spectrogram_of(
        write_sound(tmp_path / "a.wav", 0.5 * np.sin(2 * np.pi * pitch_hz * at_s))
    ).levels_db
    middle = levels[20:80].mean(axis=0)
    assert abs(int(np.argmax(middle)) - row_of(pitch_hz)) <= 1
    # A sine reads 20 log10 of its amplitude in its bin, less up to 1.4 dB between two (Harris 1978, Table 1,
    # from memory); a row that also holds both side bins of the taper adds up to 1.8 dB.
    assert -6.02 - 1.5 <= middle.max() <= -6.02 + 1.9


@pytest.mark.parametrize("rate_hz", [48_000, 44_100])
def test_a_click_lies_in_its_column(tmp_path: Path, rate_hz: int) -> None:
    samples = np.zeros(4 * rate_hz)
    samples[round(2.5 * rate_hz) : round(2.5 * rate_hz) + 40] = 0.8
    levels = spectrogram_of(write_sound(tmp_path / "a.wav", samples, rate_hz)).levels_db
    assert abs(int(np.argmax(levels.sum(axis=1))) - 2.5 * COLUMNS_PER_S) <= 1
    assert len(levels) == pytest.approx(4 * COLUMNS_PER_S, abs=3)


def test_the_tiles_cover_the_recording_and_show_what_stands_out(tmp_path: Path) -> None:
    samples = np.random.default_rng(10_001).normal(0, 0.01, 61 * RATE_HZ)
    samples[RATE_HZ : RATE_HZ + 4800] += 0.5 * np.sin(2 * np.pi * 3000 * np.arange(4800) / RATE_HZ)
    tiles = list(spectrogram_of(write_sound(tmp_path / "a.wav", samples)).tiles())
    assert len(tiles) == 2
    shown = decoded(tiles[0])
    assert shown.shape == (ROWS, TILE_S * COLUMNS_PER_S)
    assert shown[ROWS - 1 - row_of(3000), COLUMNS_PER_S + 5] > 200
    assert np.median(shown) < 60


def decoded(png: bytes) -> "np.ndarray[tuple[int, int], np.dtype[np.uint8]]":
    """The transparency of a PNG, by a decoder that is not ours."""
    with av.open(io.BytesIO(png), "r", format="png_pipe") as file:
        (frame,) = file.decode(video=0)
    rgba = frame.to_ndarray(format="rgba")
    return np.asarray(rgba[:, :, 3], dtype=np.uint8)


def test_a_picture_comes_back_to_the_last_value() -> None:
    alpha = np.arange(6 * 256, dtype=np.uint8).reshape(6, 256)
    png = png_of(alpha)
    assert np.array_equal(decoded(png), alpha)
    assert png[-4:] == zlib.crc32(b"IEND").to_bytes(4, "big")


def test_blocks_of_any_size_give_the_same_levels(tmp_path: Path) -> None:
    samples = np.random.default_rng(10_002).normal(0, 0.1, RATE_HZ)
    levels = spectrogram_of(write_sound(tmp_path / "a.wav", samples)).levels_db
    kept = np.round(samples * 32767) / 32768
    whole = levels_of(np.concatenate([np.zeros(512), kept]).astype(np.float32))
    assert np.allclose(levels[5:90], whole[5:90], atol=0.2)


def test_a_recording_without_sound_has_no_tiles(tmp_path: Path) -> None:
    path = tmp_path / "silent.mp4"
    with av.open(str(path), "w") as out:
        stream = out.add_stream("libx264", rate=25)
        stream.width, stream.height, stream.pix_fmt = 64, 48, "yuv420p"
        frame = av.VideoFrame.from_ndarray(np.zeros((48, 64, 3), np.uint8), format="rgb24")
        out.mux(stream.encode(frame))
        out.mux(stream.encode(None))
    assert list(spectrogram_of(path).tiles()) == []
