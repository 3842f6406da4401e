"""A real desk with a recorded session whose reading is known, and a server in front of it."""

import threading
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import asdict
from fractions import Fraction
from pathlib import Path
from typing import Any

import av
import numpy as np

from nares.app import jobs
from nares.app.deeds import AddDog
from nares.app.desk import Desk, open_desk
from nares.app.files import keep_file
from nares.base.vocab import Mark, Reading, RecordingFacts, Span
from nares.measure.reps import assemble_reps
from nares.media import sha256_of
from nares.record.store import Proposed
from nares.web.server import make_server

SESSION = "bracken-01"
STARTED = "2026-03-14T08:30:00.000Z"
TIMELINE = f"/sessions/{SESSION}/timeline/"
REGION = (0.1, 0.1, 0.2, 0.2)
RATE_HZ = 16_000


def write_film(to: Path, marks_s: Sequence[float], *, seconds: int, frames_per_s: int = 25) -> Path:
    """A small film with a click at each mark and a square that wanders."""
    size = (160, 90)
    with av.open(str(to), "w") as out:
        picture = out.add_stream("libx264", rate=frames_per_s, options={"preset": "ultrafast", "g": "25"})
        picture.width, picture.height, picture.pix_fmt = *size, "yuv420p"
        sound = out.add_stream("aac", rate=RATE_HZ, layout="mono")
        for number in range(seconds * frames_per_s):
            shown = np.full((size[1], size[0], 3), (96, 110, 104), np.uint8)
            left = number % (size[0] - 24)
            shown[30:60, left : left + 20] = (190, 140, 80)
            frame = av.VideoFrame.from_ndarray(shown, format="rgb24")
            frame.pts, frame.time_base = number, Fraction(1, frames_per_s)
            out.mux(picture.encode(frame))
        heard = sound_of(marks_s, seconds)
        for first in range(0, len(heard), 1024):
            block = av.AudioFrame.from_ndarray(
                heard[None, first : first + 1024], format="fltp", layout="mono"
            )
            block.sample_rate, block.pts, block.time_base = RATE_HZ, first, Fraction(1, RATE_HZ)
            out.mux(sound.encode(block))
        out.mux(picture.encode(None))
        out.mux(sound.encode(None))
    return to


def sound_of(marks_s: Sequence[float], seconds: int) -> "np.ndarray[tuple[int], np.dtype[np.float32]]":
    """Quiet room noise with a short tone at each mark."""
    heard = np.random.default_rng(5).normal(0, 0.004, seconds * RATE_HZ)
    ring = 0.6 * np.sin(2 * np.pi * 3000 * np.arange(160) / RATE_HZ)
    for at_s in marks_s:
        first = round(at_s * RATE_HZ)
        heard[first : first + 160] += ring[: len(heard[first : first + 160])]
    return heard.astype(np.float32)


def reading_of(
    facts: RecordingFacts,
    marks: Sequence[Mark],
    nose_in: Sequence[Span],
    hand_in: Sequence[Span] = (),
    inhales: Sequence[Span] = (),
    doubtful: Sequence[Mark] = (),
) -> Reading:
    """A reading with the reps these lanes make."""
    reps = assemble_reps(
        marks=marks,
        inhales=inhales,
        bouts=(),
        nose_in=nose_in,
        hand_in=hand_in,
        duration_s=facts.duration_s,
        doubtful_marks=doubtful,
    )
    spans = (tuple(inhales), tuple(nose_in), tuple(hand_in))
    return Reading(facts, tuple(marks), *spans, reps, doubtful_marks=tuple(doubtful))


@contextmanager
def desk_with(
    data: Path, film: Path, lanes: dict[str, Any], *, seconds: int, rate: float = 25.0
) -> Iterator[Desk]:
    """A desk of Saltmarsh Kennels with one session of Bracken, measured as these lanes say."""
    with open_desk(data, person="Mara Quill", kennel="Saltmarsh Kennels", site="yard") as desk:
        jobs.add_dog(desk, AddDog("Bracken", "Labrador Retriever"))
        sha256 = sha256_of(film)
        keep_file(film, desk.recordings, f"{sha256}.mp4")
        facts = RecordingFacts(float(seconds), rate, sha256, ("h264", "aac"))
        of: dict[str, Any] = {"session": SESSION}
        session = of | {"dog": "Bracken", "step": "source-breaths", "started_at": STARTED, "asks_s": [1.0]}
        session |= {"front": REGION, "side": REGION}
        recording = of | {"sha256": sha256, "name": "yard.mp4", "media_type": "video/mp4"}
        recording |= {"bytes": film.stat().st_size, "duration_s": float(seconds), "frames_per_s": rate}
        reading = of | {"sha256": sha256, "made_with": {}, "settings": {"front": REGION, "side": REGION}}
        reading |= {"reading": asdict(reading_of(facts, **lanes))}
        kinds = (("session_run", session), ("recording_kept", recording), ("reading_made", reading))
        desk.store.append_all(Proposed(kind, payload, STARTED, "Mara Quill") for kind, payload in kinds)
        yield desk


@contextmanager
def served(desk: Desk) -> Iterator[str]:
    """The address of a server that shows this desk."""
    server = make_server(desk, host="127.0.0.1", port=0)
    thread = threading.Thread(target=server.serve)
    thread.start()
    assert isinstance(server.bind_addr, tuple)
    try:
        yield f"http://127.0.0.1:{server.bind_addr[1]}"
    finally:
        server.stop()
        thread.join()


def short_lanes() -> dict[str, Any]:
    """Twelve seconds: one clear rep, one whose mark is doubtful, one whose edges are uncertain."""
    return {
        "marks": [Mark(2.5, 0.98), Mark(10.0, 0.62)],
        "doubtful": [Mark(6.2, 0.35)],
        "nose_in": [Span(1.0, 3.0, 0.97), Span(5.0, 6.6, 0.95), Span(9.0, 10.6, 0.7)],
        "hand_in": [Span(2.8, 3.4, 0.96), Span(10.3, 11.0, 0.9)],
        "inhales": [Span(1.1 + 0.3 * n, 1.22 + 0.3 * n, 0.9 if n % 2 else 0.6) for n in range(5)],
    }
