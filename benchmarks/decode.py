"""What turning a recording into pictures and sound costs over decoding it and throwing it away.

    python benchmarks/decode.py                    a 1080p30 clip encoded on the spot
    python benchmarks/decode.py --file clip.mp4    a recording of your own

Both passes run in turn in one process on the same file, with the same decoder threads; the medians of the
repeats are printed with their ratio. Figures of two machines, or of two runs, do not compare; ratios do.
"""

import argparse
import statistics
import tempfile
import time
from collections.abc import Callable
from fractions import Fraction
from pathlib import Path

import av
import numpy as np

from nares.measure.inputs import Picture
from nares.media import open_recording

WIDTH, HEIGHT, RATE = 1920, 1080, 30


def main() -> None:
    asked = _arguments()
    if asked.file:
        compare(asked.file, asked.repeats)
        return
    with tempfile.TemporaryDirectory() as folder:
        clip = Path(folder) / "clip.mp4"
        encode(clip, asked.seconds)
        compare(clip, asked.repeats)


def _arguments() -> argparse.Namespace:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawTextHelpFormatter)
    parser.add_argument("--file", type=Path, help="a recording to decode instead of an encoded one")
    parser.add_argument("--seconds", type=int, default=8, help="length of the clip encoded here")
    parser.add_argument("--repeats", type=int, default=3)
    return parser.parse_args()


def encode(path: Path, seconds: int) -> None:
    """A moving, grainy 1080p picture at about 15 Mbit/s with a hiss for sound: a hard case for a phone."""
    chance = np.random.default_rng(1)
    with av.open(path, "w") as file:
        eye = file.add_stream("libx264", rate=RATE, options={"preset": "veryfast", "b": "15M"})
        eye.width, eye.height, eye.pix_fmt = WIDTH, HEIGHT, "yuv420p"
        ear = file.add_stream("aac", rate=48_000, layout="mono")
        scene = chance.integers(40, 200, (HEIGHT // 8 + 40, WIDTH // 8 + 40)).astype(np.uint8)
        scene = scene.repeat(8, 0).repeat(8, 1)
        grain = [chance.integers(0, 12, (HEIGHT * 3 // 2, WIDTH), dtype=np.uint8) for _ in range(4)]
        for number in range(seconds * RATE):
            pixels = 120 + grain[number % 4]
            y, x = number % 60, number % 200
            pixels[:HEIGHT] += scene[y : y + HEIGHT, x : x + WIDTH] - np.uint8(120)
            frame = av.VideoFrame.from_ndarray(pixels, format="yuv420p")
            frame.pts, frame.time_base = number, Fraction(1, RATE)
            file.mux(eye.encode(frame))
            hiss = chance.normal(0, 0.05, (1, 48_000 // RATE)).astype(np.float32)
            sound = av.AudioFrame.from_ndarray(hiss, format="fltp", layout="mono")
            sound.rate, sound.pts = 48_000, number * (48_000 // RATE)
            file.mux(ear.encode(sound))
        file.mux(eye.encode(None))
        file.mux(ear.encode(None))


def bare(path: Path) -> int:
    """Decode every frame of the first video and audio stream and keep nothing."""
    pictures = 0
    with av.open(path) as file:
        streams = [*file.streams.video[:1], *file.streams.audio[:1]]
        for stream in file.streams.video[:1]:
            stream.thread_type = "AUTO"
        for packet in file.demux(streams):
            frames = packet.decode()
            pictures += len(frames) if packet.stream.type == "video" else 0
    return pictures


def played(path: Path) -> int:
    """Play the recording as measuring does."""
    with open_recording(path) as recording:
        return sum(isinstance(piece, Picture) for piece in recording.play())


def timed(job: Callable[[Path], int], path: Path) -> tuple[float, float, int]:
    wall_s, cpu_s = time.perf_counter(), time.process_time()
    pictures = job(path)
    return time.perf_counter() - wall_s, time.process_time() - cpu_s, pictures


def compare(path: Path, repeats: int) -> None:
    runs: dict[str, list[tuple[float, float, int]]] = {"bare": [], "play": []}
    for _ in range(repeats):
        runs["bare"].append(timed(bare, path))
        runs["play"].append(timed(played, path))
    walls = {name: statistics.median(run[0] for run in done) for name, done in runs.items()}
    cpus = {name: statistics.median(run[1] for run in done) for name, done in runs.items()}
    for name, done in runs.items():
        pictures = done[0][2]
        print(
            f"{name}: {pictures} pictures, wall {walls[name]:.2f} s, processor {cpus[name]:.2f} s, "
            f"{pictures / walls[name]:.0f} pictures a second"
        )
    print(
        f"ratio play to bare: wall {walls['play'] / walls['bare']:.2f}, "
        f"processor {cpus['play'] / cpus['bare']:.2f} (medians of {repeats})"
    )


if __name__ == "__main__":
    main()
