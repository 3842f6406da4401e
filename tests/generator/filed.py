"""A filmed session as a phone would send it on: H.264 and AAC in one file."""

from fractions import Fraction
from pathlib import Path

import numpy as np
from tests.generator.filmed import Filmed
from tests.generator.scene import Scene, performed
from tests.generator.soundcraft import RATE_HZ, Sound


def write(session: Filmed, path: Path) -> Path:
    """Encode a session; the picture first, then the sound, on one clock."""
    encode(session.scene, path, session.sound)
    return path


def encode(scene: Scene, path: Path, sound: Sound | None = None) -> None:
    """Encode a scene at a bit rate that shows, with its sound if there is one."""
    import av

    with av.open(path, "w", format="mp4") as out:
        eye = out.add_stream("libx264", rate=scene.rate, options={"crf": "23", "preset": "veryfast"})
        eye.height, eye.width = scene.size
        eye.pix_fmt = "yuv420p"
        eye.thread_count = 1
        ear = None if sound is None else out.add_stream("aac", rate=RATE_HZ, layout="mono")
        for picture in performed(scene):
            planes = np.concatenate([p.ravel() for p in (picture.luma, picture.blue, picture.red)])
            flat = planes.reshape(scene.size[0] * 3 // 2, scene.size[1])
            frame = av.VideoFrame.from_ndarray(flat, format="yuv420p")
            frame.pts, frame.time_base = picture.at.ticks, Fraction(1, scene.rate)
            out.mux(eye.encode(frame))
        out.mux(eye.encode(None))
        if ear is None or sound is None:
            return
        for first in range(0, sound.size - 1024, 1024):
            part = sound[first : first + 1024].astype(np.float32)[None]
            piece = av.AudioFrame.from_ndarray(part, format="fltp", layout="mono")
            piece.rate, piece.pts = RATE_HZ, first
            out.mux(ear.encode(piece))
        out.mux(ear.encode(None))
