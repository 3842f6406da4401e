"""Whatever a phone writes, the same session is seen: HEVC, deep colour, 60 a second, uneven, turned, 4K."""

from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray
from tests.generator.stage import FRONT, SIDE, Play, performed
from tests.media.clips import pictures_of, set_matrix, write_clip

from nares.app.measuring import measure_recording
from nares.base.vocab import Reading, Span

PLAY = Play(length_s=4.0, nose=((0.8, 1.8), (2.6, 3.4)), hand=((1.2, 1.7),))
Planes = tuple[NDArray[np.uint8], ...]


@cache
def drawn() -> tuple[Planes, ...]:
    return tuple((p.luma, p.blue, p.red) for p in performed(PLAY))


def frame_of(
    planes: Planes, turned: Callable[[NDArray[Any]], NDArray[Any]] = np.asarray
) -> NDArray[np.uint8]:
    """One frame in I420 layout, turned as a phone stores it."""
    parts = [np.ascontiguousarray(turned(plane)) for plane in planes]
    return np.concatenate([part.ravel() for part in parts]).reshape(-1, parts[0].shape[1])


def hevc_ten_bit_on_its_side(path: Path) -> Path:
    frames = [frame_of(planes, np.rot90).astype(np.uint16) * 4 for planes in drawn()]
    write_clip(path, pictures="libx265", frames=frames, pix_fmt="yuv420p10le")  # type: ignore[arg-type]
    set_matrix(path, 0, 1, -1, 0)
    return path


def sixty_a_second_mirrored(path: Path) -> Path:
    frames = [frame_of(planes, np.fliplr) for planes in drawn() for _ in range(2)]
    stamps = [round(1000 * i / 60) for i in range(len(frames))]
    write_clip(path, pictures="libx264", frames=frames, stamps_ms=stamps)
    set_matrix(path, -1, 0, 0, 1)
    return path


def uneven_and_upside_down(path: Path) -> Path:
    chance = np.random.default_rng(23_000)
    shown = [i for i in range(len(drawn())) if i == 0 or chance.random() > 0.25]
    stamps = [round(1000 * i / 30) for i in shown]
    frames = [frame_of(drawn()[i], lambda plane: plane[::-1, ::-1]) for i in shown]
    write_clip(path, pictures="libx264", frames=frames, stamps_ms=stamps)
    set_matrix(path, -1, 0, 0, -1)
    return path


def hevc_without_sound(path: Path) -> Path:
    return write_clip(path, sound=None, pictures="libx265", frames=[frame_of(planes) for planes in drawn()])


KINDS = (hevc_ten_bit_on_its_side, sixty_a_second_mirrored, uneven_and_upside_down, hevc_without_sound)


def edges_ms(found: tuple[Span, ...], true: tuple[tuple[float, float], ...]) -> NDArray[np.float64]:
    assert len(found) == len(true), found
    pairs = zip(found, true, strict=True)
    return np.array([[1000 * (f.start_s - t[0]), 1000 * (f.end_s - t[1])] for f, t in pairs])


@pytest.fixture(scope="module", params=KINDS, ids=[kind.__name__ for kind in KINDS])
def reading(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> tuple[str, Reading]:
    kind = request.param
    path = kind(tmp_path_factory.mktemp("phone") / "a.mp4")
    return kind.__name__, measure_recording(path, front=FRONT, side=SIDE)


def test_every_visit_is_seen_to_the_frame(reading: tuple[str, Reading]) -> None:
    name, read = reading
    worst_ms = 140.0 if name.startswith("uneven") else 70.0  # a quarter of those pictures is missing
    assert np.abs(edges_ms(read.nose_in, PLAY.nose)).max() < worst_ms
    assert np.abs(edges_ms(read.hand_in, PLAY.hand)).max() < worst_ms


def test_what_the_file_is_like_is_told(reading: tuple[str, Reading]) -> None:
    name, read = reading
    facts = read.recording
    assert facts.duration_s == pytest.approx(4.0, abs=0.05)
    assert facts.streams == (("video",) if name.endswith("without_sound") else ("video", "audio"))
    assert any(note.startswith("variable frame rate") for note in facts.notes) is name.startswith("uneven")
    if name.startswith("sixty"):
        assert facts.frames_per_s == pytest.approx(60, abs=0.5)  # the last picture is stamped longer


@pytest.mark.parametrize("coding", ["libx264", "libx265"])
def test_four_times_as_many_pixels_give_the_same_picture(tmp_path: Path, coding: str) -> None:
    large = frame_of(tuple(plane.repeat(12, 0).repeat(12, 1) for plane in drawn()[30]))
    path = write_clip(tmp_path / "a.mp4", sound=None, pictures=coding, frames=[large] * 2, stamps_ms=[0, 33])
    for picture in (pictures_of(path)[0], pictures_of(path, sight=lambda: FRONT)[0]):
        assert picture.luma.shape == (360, 640)
        rows, cols = (slice(150, 180), slice(230, 260))
        small = drawn()[30][0].repeat(2, 0).repeat(2, 1)
        assert np.abs(picture.luma[rows, cols].astype(int) - small[rows, cols]).mean() < 3
