"""A recording opened for measuring: what it is, and its sound and pictures in one pass.

Conventions
-----------
Sound and pictures come out in the order in which the file holds them, which is about the order of time;
each carries its own place on one clock (see `nares.media.clock`). Nothing is collected: memory does not
grow with the length of the recording. Damage is counted and reported, never raised.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path
from types import TracebackType

from nares.base.errors import Unusable
from nares.base.vocab import RecordingFacts
from nares.measure.inputs import Picture, SoundBlock
from nares.media.container import opened
from nares.media.digest import sha256_of
from nares.media.header import Header, read_header
from nares.media.lanes import PictureLane, SoundLane
from nares.media.notes import notes_on
from nares.media.packets import Shares, packets, scan
from nares.media.picture import LONGER_SIDE, Sight
from nares.media.report import DecodeReport, PictureTally, SoundTally

Progress = Callable[[float], None]


def open_recording(path: Path) -> Recording:
    """Open an mp4, mov, m4a, webm, mkv, ogg, wav or mp3 recording.

    Raises:
        Unusable: If there is no such file, it is empty, a folder, no recording, broken off before its
            index, or holds neither pictures nor sound.
    """
    path = Path(path)
    with opened(path) as container:
        return Recording(path, read_header(container, path))


class Recording:
    """One file. Play it as often as needed; every pass reads the file anew."""

    def __init__(self, path: Path, header: Header) -> None:
        """Use `open_recording`, which reads the header."""
        self.path = path
        self.header = header
        self._pictures: PictureTally | None = None
        self._sound: SoundTally | None = None
        self._passes: list[Iterator[SoundBlock | Picture]] = []

    def __enter__(self) -> Recording:
        """The recording itself."""
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        """Close whatever is still being played."""
        self.close()

    def close(self) -> None:
        """Stop every pass that was not played to its end."""
        for playing in self._passes:
            playing.close()  # type: ignore[attr-defined]
        self._passes.clear()

    def play(
        self,
        *,
        sound: bool = True,
        pictures: bool = True,
        width: int | None = None,
        sight: Sight | None = None,
        progress: Progress | None = None,
    ) -> Iterator[SoundBlock | Picture]:
        """Sound and pictures in one pass over the file.

        Args:
            sound: Whether to give sound: mono, 48 kHz.
            pictures: Whether to give pictures: upright, reduced.
            width: Longer side of the pictures, 640 where not given; never enlarged. [pixels]
            sight: Asked before each picture which part of it will be looked at, as fractions; only that part
                is then reduced, and the rest is left 0. None, or an answer of None: all of it.
            progress: Told the share of the file read, 0 to 1, never falling.

        Raises:
            Unusable: While playing, if the file vanished or nothing in it can be decoded.
        """
        playing = self._play(sound, pictures, width or LONGER_SIDE, sight, progress or _unheard)
        self._passes.append(playing)
        return playing

    def report(self) -> DecodeReport:
        """What was read and what is odd. Before a full pass this reads the file once without decoding."""
        pictures, sound = self._tallies()
        header = self.header
        read_s = max(pictures.end_s, sound.end_s)
        notes = notes_on(header, pictures, sound)
        early = any(note.startswith("the file ends early") for note in notes)
        return DecodeReport(
            duration_s=read_s if early or not header.declared_s else header.declared_s,
            declared_s=header.declared_s,
            frames_per_s=_rate(header, pictures),
            streams=_streams(header),
            video_codec=header.video_codec,
            audio_codec=header.audio_codec,
            width=header.width,
            height=header.height,
            rotation_deg=header.turn.degrees,
            variable_rate=pictures.uneven,
            pictures=pictures.count,
            corrupt_pictures=pictures.corrupt,
            corrupt_sound=sound.corrupt,
            notes=notes,
        )

    def facts(self) -> RecordingFacts:
        """The recording as a reading names it: length, rate, digest, streams, notes."""
        report = self.report()
        return RecordingFacts(
            report.duration_s, report.frames_per_s, sha256_of(self.path), report.streams, report.notes
        )

    def _play(
        self, sound: bool, pictures: bool, longer_side: int, sight: Sight | None, progress: Progress
    ) -> Iterator[SoundBlock | Picture]:
        with opened(self.path) as container:
            lanes: dict[int, PictureLane | SoundLane] = {}
            if pictures and self.header.video is not None:
                lanes[self.header.video] = PictureLane(container, self.header, longer_side, sight)
            if sound and self.header.audio is not None:
                lanes[self.header.audio] = SoundLane(container, self.header)
            shares = Shares(self.path, progress)
            for packet in packets(container, [*lanes]):
                shares.at(packet)
                yield from lanes[packet.stream_index].read(packet)
            for lane in lanes.values():
                yield from lane.finish()
        self._keep(lanes)
        progress(1.0)

    def _keep(self, lanes: dict[int, PictureLane | SoundLane]) -> None:
        for lane in lanes.values():
            if isinstance(lane, PictureLane):
                self._pictures = lane.tally
            else:
                self._sound = lane.tally
        if lanes and not any(lane.given for lane in lanes.values()):
            raise Unusable(f"Nothing in {self.path.name} can be decoded. Copy it from the phone again.")

    def _tallies(self) -> tuple[PictureTally, SoundTally]:
        header = self.header
        lacking = (header.video is not None and self._pictures is None) or (
            header.audio is not None and self._sound is None
        )
        pictures, sound = scan(self.path, header) if lacking else (PictureTally(), SoundTally())
        return self._pictures or pictures, self._sound or sound


def _rate(header: Header, pictures: PictureTally) -> float | None:
    if header.video is None:
        return None
    counted = pictures.per_s
    if header.stated_per_s and counted and abs(header.stated_per_s / counted - 1) < 0.01:
        return header.stated_per_s
    return counted or header.stated_per_s


def _streams(header: Header) -> tuple[str, ...]:
    return tuple(
        name for name, index in (("video", header.video), ("audio", header.audio)) if index is not None
    )


def _unheard(share: float) -> None:
    """Progress that nobody asked for."""
