"""Pictures come upright, reduced, in true time, whatever their shape, depth and coding."""

from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray
from tests.media.clips import HEIGHT, WIDTH, levels, pictures_of, report_of, set_matrix, write_clip


def bright_corner(width: int = WIDTH, height: int = HEIGHT) -> NDArray[np.uint8]:
    """A dark I420 frame, bright in its top left quarter, which is also blue; the top right is red."""
    luma = np.full((height, width), 40, np.uint8)
    luma[: height // 2, : width // 2] = 200
    blue = np.full((height // 2, width // 2), 128, np.uint8)
    red = blue.copy()
    blue[: height // 4, : width // 4] = 200
    red[: height // 4, width // 4 :] = 200
    return np.concatenate([luma.ravel(), blue.ravel(), red.ravel()]).reshape(height * 3 // 2, width)


def brightest_corner(plane: NDArray[np.uint8]) -> str:
    h, w = plane.shape
    corners = {
        "top left": plane[: h // 3, : w // 3],
        "top right": plane[: h // 3, -w // 3 :],
        "bottom left": plane[-h // 3 :, : w // 3],
        "bottom right": plane[-h // 3 :, -w // 3 :],
    }
    return max(corners, key=lambda name: float(corners[name].mean()))


UNEVEN_MS = [0, 33, 67, 167, 180, 400, 433, 500, 1234, 1250]


@pytest.mark.parametrize(
    ("name", "kind", "coding"),
    [("a.mp4", "mp4", "libx264"), ("a.mov", "mov", "libx265"), ("a.webm", "webm", "libvpx-vp9")],
)
def test_uneven_times_come_out_as_they_went_in(tmp_path: Path, name: str, kind: str, coding: str) -> None:
    path = write_clip(
        tmp_path / name, kind=kind, sound=None, pictures=coding, frames=levels(10), stamps_ms=UNEVEN_MS
    )
    pictures = pictures_of(path)
    assert [round(1000 * picture.at.ticks * picture.at.tick_s) for picture in pictures] == UNEVEN_MS
    shades = [float(picture.luma.mean()) for picture in pictures]
    assert shades == pytest.approx([40 + 4 * i for i in range(10)], abs=2)
    report = report_of(path)
    assert report.variable_rate
    assert any(note.startswith("variable frame rate: 13 to 734 ms") for note in report.notes)


def test_even_times_are_not_called_variable(tmp_path: Path) -> None:
    report = report_of(write_clip(tmp_path / "a.mp4", pictures="libx264"))
    assert not report.variable_rate
    assert report.notes == ()
    assert report.frames_per_s == pytest.approx(30, abs=0.05)
    assert report.pictures == 120


def test_times_are_integer_ticks_from_zero(tmp_path: Path) -> None:
    first = pictures_of(write_clip(tmp_path / "a.mp4", sound=None, pictures="libx264"))[0]
    assert first.at.ticks == 0
    assert isinstance(first.at.tick_s, Fraction)


def test_a_matroska_that_starts_late_starts_at_zero(tmp_path: Path) -> None:
    stamps = [5000 + 40 * i for i in range(10)]
    path = write_clip(
        tmp_path / "a.mkv",
        kind="matroska",
        sound=None,
        pictures="libx264",
        frames=levels(10),
        stamps_ms=stamps,
    )
    assert [p.at.seconds for p in pictures_of(path)] == pytest.approx([0.04 * i for i in range(10)])


# A stored point (x, y) is shown at (ax + cy, bx + dy), y downwards: QuickTime File Format, matrices.
TURNS = [
    ("upright", (1, 0, 0, 1), 0, "top left", "top right"),
    ("quarter clockwise", (0, 1, -1, 0), 90, "top right", "bottom right"),
    ("half", (-1, 0, 0, -1), 180, "bottom right", "bottom left"),
    ("three quarters clockwise", (0, -1, 1, 0), 270, "bottom left", "top left"),
    ("mirrored", (-1, 0, 0, 1), 0, "top right", "top left"),
]


@pytest.mark.parametrize(("turn", "matrix", "degrees", "bright", "red"), TURNS, ids=[t[0] for t in TURNS])
def test_a_turned_recording_stands_upright(
    tmp_path: Path, turn: str, matrix: tuple[int, int, int, int], degrees: int, bright: str, red: str
) -> None:
    path = write_clip(
        tmp_path / "a.mp4",
        sound=None,
        pictures="libx264",
        frames=[bright_corner()] * 3,
        stamps_ms=[0, 33, 67],
    )
    set_matrix(path, *matrix)
    picture = pictures_of(path)[0]
    assert picture.luma.shape == ((WIDTH, HEIGHT) if degrees in (90, 270) else (HEIGHT, WIDTH))
    assert picture.blue.shape == tuple(side // 2 for side in picture.luma.shape)
    assert brightest_corner(picture.luma) == bright
    assert brightest_corner(picture.blue) == bright
    assert brightest_corner(picture.red) == red
    assert report_of(path).rotation_deg == degrees


def solid(pix_fmt: str) -> NDArray[np.generic]:
    """A frame of even mid grey in a coding of pixels."""
    if pix_fmt == "gray":
        return np.full((HEIGHT, WIDTH), 100, np.uint8)
    if pix_fmt == "rgb24":
        return np.full((HEIGHT, WIDTH, 3), 98, np.uint8)
    if pix_fmt == "yuv422p":
        planes = [np.full(HEIGHT * WIDTH, 100, np.uint8), np.full(HEIGHT * WIDTH, 128, np.uint8)]
        return np.concatenate(planes).reshape(HEIGHT * 2, WIDTH)
    if pix_fmt == "yuv420p10le":
        luma = np.full((HEIGHT, WIDTH), 400, np.uint16)
        return np.concatenate([luma, np.full((HEIGHT // 2, WIDTH), 512, np.uint16)])
    return np.concatenate(
        [np.full((HEIGHT, WIDTH), 100, np.uint8), np.full((HEIGHT // 2, WIDTH), 128, np.uint8)]
    )


@pytest.mark.parametrize(
    ("pix_fmt", "coding", "kind"),
    [
        ("yuv420p", "libx264", "mp4"),
        ("yuvj420p", "libx264", "mp4"),
        ("nv12", "libx264", "mp4"),
        ("yuv422p", "libx264", "mp4"),
        ("yuv420p10le", "libx265", "mp4"),
        ("yuv420p10le", "libx264", "mov"),
        ("gray", "libx264", "matroska"),
        ("rgb24", "libx264rgb", "matroska"),
    ],
)
def test_every_coding_of_pixels_gives_eight_bit_luma_and_grey_colour(
    tmp_path: Path, pix_fmt: str, coding: str, kind: str
) -> None:
    frames = [solid(pix_fmt)] * 4
    path = write_clip(
        tmp_path / "clip",
        kind=kind,
        sound=None,
        pictures=coding,
        frames=frames,  # type: ignore[arg-type]
        stamps_ms=[0, 33, 67, 100],
        pix_fmt=pix_fmt,
    )
    pictures = pictures_of(path)
    assert len(pictures) == 4
    for plane, level in ((pictures[0].luma, 100), (pictures[0].blue, 128), (pictures[0].red, 128)):
        assert plane.dtype == np.uint8
        assert float(plane.mean()) == pytest.approx(level, abs=2)
    assert pictures[0].luma.shape == (HEIGHT, WIDTH)
    assert pictures[0].blue.shape == (HEIGHT // 2, WIDTH // 2)


def test_odd_sides_are_kept_and_colour_covers_them(tmp_path: Path) -> None:
    picture = pictures_of(_odd_clip(tmp_path))[0]
    assert picture.luma.shape == (37, 51)
    assert picture.blue.shape == picture.red.shape == (19, 26)


def _odd_clip(folder: Path) -> Path:
    import av

    path = folder / "odd.mkv"
    with av.open(path, "w", format="matroska") as file:
        stream = file.add_stream("ffv1", rate=25)
        stream.width, stream.height, stream.pix_fmt = 51, 37, "yuv420p"
        for number in range(3):
            frame = av.VideoFrame.from_ndarray(np.full((37, 51, 3), 90, np.uint8), format="rgb24")
            frame.pts, frame.time_base = number, Fraction(1, 25)
            file.mux(stream.encode(frame.reformat(format="yuv420p")))
        file.mux(stream.encode(None))
    return path


def test_reduction_is_an_area_mean_in_place(tmp_path: Path) -> None:
    frame = bright_corner(640, 480)
    path = write_clip(
        tmp_path / "a.mp4", sound=None, pictures="libx264", frames=[frame] * 2, stamps_ms=[0, 33]
    )
    reduced = pictures_of(path, width=160)[0]
    assert reduced.luma.shape == (120, 160)
    assert reduced.blue.shape == (60, 80)
    truth = frame[:480].reshape(120, 4, 160, 4).mean(axis=(1, 3))
    assert np.abs(reduced.luma - truth).mean() < 1.0
    assert abs(int(np.argmin(reduced.luma[30] > 120)) - 80) <= 1


def test_reduction_takes_the_mean_of_fine_detail_rather_than_one_pixel(tmp_path: Path) -> None:
    frame = np.full((480 * 3 // 2, 640), 128, np.uint8)
    frame[:480] = np.where(np.arange(640) % 2, 200, 50)
    path = write_clip(
        tmp_path / "a.mp4", sound=None, pictures="libx264", frames=[frame] * 2, stamps_ms=[0, 33]
    )
    luma = pictures_of(path, width=160)[0].luma[:, 4:-4]
    assert float(np.abs(luma - 125.0).max()) < 6


def test_a_picture_is_never_enlarged_and_owns_its_pixels(tmp_path: Path) -> None:
    path = write_clip(tmp_path / "a.mp4", sound=None, pictures="libx264")
    picture = pictures_of(path, width=4000)[0]
    assert picture.luma.shape == (HEIGHT, WIDTH)
    assert all(plane.base is None for plane in (picture.luma, picture.blue, picture.red))
