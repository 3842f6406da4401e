"""Parts of one session lie on one clock: in order, with the pause that the files tell, and nothing copied."""

from fractions import Fraction
from itertools import pairwise
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from tests.media.clips import (
    LENGTH_S,
    PULSES_S,
    errors_ms,
    laid_out,
    levels,
    pulses,
    report_of,
    sound_of,
    write_clip,
)

from nares.base.errors import WrongUse
from nares.measure.inputs import Picture, SoundBlock
from nares.media import make_proxy, waveform_peaks
from nares.media.joined import Joined, open_parts

MADE = "2026-03-02T08:{:02d}:{:02d}Z"


def part(path: Path, made: tuple[int, int] | None = None, **also: Any) -> Path:
    """Four seconds with pulses and a picture every 100 ms."""
    metadata = {} if made is None else {"creation_time": MADE.format(*made)}
    metadata |= also.pop("metadata", {})
    return write_clip(
        path,
        pictures="libx264",
        frames=levels(40),
        stamps_ms=[100 * i for i in range(40)],
        metadata=metadata,
        options={"movflags": "use_metadata_tags"} if metadata.keys() - {"creation_time"} else {},
        **also,
    )


def joined(*paths: Path) -> Joined:
    opened = open_parts(paths)
    assert isinstance(opened, Joined)
    return opened


def starts_s(*paths: Path) -> list[float]:
    return [start.at_ms / 1000 for start in joined(*paths).starts]


def test_parts_follow_each_other_on_one_clock(tmp_path: Path) -> None:
    with joined(part(tmp_path / "a.mp4"), part(tmp_path / "b.mp4"), part(tmp_path / "c.mp4")) as session:
        pieces = list(session.play())
        facts = session.facts()
    begin = [one.start_s for one in facts.parts]
    assert begin[0] == 0
    assert begin[1] == pytest.approx(LENGTH_S, abs=0.03)
    assert begin[2] == pytest.approx(2 * LENGTH_S, abs=0.06)
    sound = laid_out(piece for piece in pieces if isinstance(piece, SoundBlock))
    truth = [at + start for start in begin for at in PULSES_S]
    assert np.abs(errors_ms(sound, truth)).max() < 0.1
    at = [piece.at.seconds for piece in pieces if isinstance(piece, Picture)]
    assert at == pytest.approx([start + 0.1 * i for start in begin for i in range(40)])
    assert all(a < b for a, b in pairwise(at))
    assert facts.duration_s == pytest.approx(begin[2] + LENGTH_S, abs=0.03)
    assert facts.streams == ("video", "audio")
    assert [one.name for one in facts.parts] == ["a.mp4", "b.mp4", "c.mp4"]
    assert facts.sha256 == facts.parts[0].sha256
    assert any(
        n.startswith("part 2 (b.mp4) begins at 4.0") and "do not say how long the pause" in n
        for n in facts.notes
    )


def test_a_single_recording_is_opened_as_it_is(tmp_path: Path) -> None:
    with open_parts([part(tmp_path / "a.mp4")]) as recording:
        assert not isinstance(recording, Joined)
        assert recording.facts().parts == ()


@pytest.mark.parametrize(
    ("first", "second", "tags", "pause_s", "said"),
    [
        ((0, 0), (0, 34), {}, 30.0, "30 s after the part before it ended"),
        ((0, 30), (1, 4), {"com.android.version": "14"}, 30.0, "30 s after the part before it ended"),
        ((0, 0), (0, 5), {}, 0.0, "as the times written in the files say"),
        ((5, 0), (0, 0), {}, 0.0, "cannot be believed"),
        ((0, 0), None, {}, 0.0, "do not say how long the pause was"),
    ],
    ids=["begun", "finished", "none", "backwards", "unsaid"],
)
def test_the_pause_is_what_the_files_say_where_that_can_be_believed(
    tmp_path: Path,
    first: tuple[int, int],
    second: tuple[int, int] | None,
    tags: dict[str, str],
    pause_s: float,
    said: str,
) -> None:
    a = part(tmp_path / "a.mp4", first, metadata=tags)
    b = part(tmp_path / "b.mp4", second, metadata=tags if second else {})
    session = joined(a, b)
    assert session.starts[1].at_ms / 1000 == pytest.approx(LENGTH_S + pause_s, abs=0.03)
    assert said in session.starts[1].note


def test_how_long_the_part_that_was_stamped_at_its_end_is_counts(tmp_path: Path) -> None:
    tags = {"com.android.version": "14"}
    a = part(tmp_path / "a.mp4", (0, 30), metadata=tags)
    long = write_clip(
        tmp_path / "b.mp4",
        samples=pulses(48_000, length_s=14.0),
        metadata={"creation_time": MADE.format(1, 4), **tags},
        options={"movflags": "use_metadata_tags"},
    )
    assert joined(a, long).starts[1].at_ms / 1000 == pytest.approx(LENGTH_S + 20, abs=0.05)


def test_a_long_pause_is_silence_in_small_pieces(tmp_path: Path) -> None:
    session = joined(part(tmp_path / "a.mp4", (0, 0)), part(tmp_path / "b.mp4", (10, 0)))
    blocks = [piece for piece in session.play(pictures=False) if isinstance(piece, SoundBlock)]
    assert max(len(block.samples) for block in blocks) <= 48_000
    heard = sum(len(block.samples) for block in blocks) / 48_000
    assert heard == pytest.approx(604.0, abs=0.1)


def test_starts_that_were_written_down_are_kept(tmp_path: Path) -> None:
    paths = [part(tmp_path / "a.mp4", (0, 0)), part(tmp_path / "b.mp4", (9, 0))]
    kept = open_parts(paths, [0.0, 7.125])
    assert isinstance(kept, Joined)
    assert [start.at_ms for start in kept.starts] == [0, 7125]


def test_a_part_given_twice_is_refused(tmp_path: Path) -> None:
    a = part(tmp_path / "a.mp4")
    with pytest.raises(WrongUse, match=r"a\.mp4 is given twice"):
        open_parts([a, tmp_path / "." / "a.mp4"])


def test_a_part_without_pictures_or_without_sound_does_no_harm(tmp_path: Path) -> None:
    mute = write_clip(
        tmp_path / "m.mp4",
        sound=None,
        pictures="libx264",
        frames=levels(10),
        stamps_ms=[*range(0, 1000, 100)],
    )
    voice = write_clip(tmp_path / "v.m4a", kind="ipod")
    with joined(mute, voice) as session:
        facts, pieces = session.facts(), list(session.play())
    assert facts.streams == ("video", "audio")
    assert session.header.audio is not None
    assert session.header.video is not None
    start = facts.parts[1].start_s
    sound = laid_out(piece for piece in pieces if isinstance(piece, SoundBlock))
    assert np.abs(errors_ms(sound, [at + start for at in PULSES_S])).max() < 0.1


def test_progress_never_falls_and_ends_at_all(tmp_path: Path) -> None:
    told: list[float] = []
    for _ in joined(part(tmp_path / "a.mp4"), part(tmp_path / "b.mp4")).play(progress=told.append):
        pass
    assert told == sorted(told)
    assert told[-1] == pytest.approx(1.0)


def test_a_proxy_of_joined_parts_keeps_every_time(tmp_path: Path) -> None:
    session = joined(part(tmp_path / "a.mp4", (0, 0)), part(tmp_path / "b.mp4", (0, 9)))
    start = session.starts[1].at_ms / 1000
    assert start == pytest.approx(9.0, abs=0.03)
    make_proxy(session, tmp_path / "proxy.mp4")
    truth = [at + begin for begin in (0, start) for at in PULSES_S]
    assert np.abs(errors_ms(sound_of(tmp_path / "proxy.mp4"), truth)).max() < 0.1
    assert report_of(tmp_path / "proxy.mp4").pictures == 80
    assert len(waveform_peaks(session, 10)) == pytest.approx(130, abs=2)


def test_ticks_stay_whole(tmp_path: Path) -> None:
    with joined(part(tmp_path / "a.mp4"), part(tmp_path / "b.mp4")) as session:
        last = [piece for piece in session.play(sound=False) if isinstance(piece, Picture)][-1]
    exact = Fraction(session.starts[1].at_ms, 1000) + Fraction(39, 10)
    assert last.at.ticks * last.at.tick_s == exact
