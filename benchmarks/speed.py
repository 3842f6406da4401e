"""How long measuring takes, as shares of what decoding alone takes; and how much memory half an hour needs.

    python -m benchmarks.speed                      clips encoded on the spot, all three figures
    python -m benchmarks.speed --file clip.mp4 --front 0.4,0.4,0.05,0.15 --side 0.6,0.4,0.05,0.1

1. Whole `measure` (sound, and picture with both openings) against a bare decode of the same file by the same
   library with the same threads: passes in turn in one process, medians of wall clock and processor time.
2. Sound alone: seconds of sound for each second of one thread, decoding included.
3. Largest resident memory of a process that measures half an hour of 1080p30.

Figures of two machines, or of two runs, do not compare; ratios do. What is imported or learned once is
warmed up first.
"""

import argparse
import resource
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from benchmarks.decode import bare
from benchmarks.phone_clips import FRONT, PHONES, SIDE, encode, encode_sound, looped

from nares.app.measuring import measure_recording
from nares.base.vocab import Region

HALF_AN_HOUR_S = 1800


def main() -> None:
    asked = _arguments()
    front, side = asked.front or FRONT, asked.side or SIDE
    if asked.peak:
        measure_recording(asked.file, front=front, side=side)
        print(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024)
        return
    with tempfile.TemporaryDirectory() as folder:
        if asked.file:
            compare(asked.file, front, side, asked.repeats)
            return
        clips = {kind: encode(Path(folder) / f"{kind}.mp4", kind, asked.seconds) for kind in asked.kinds}
        for kind, clip in clips.items():
            print(f"{kind}, {clip.stat().st_size * 8e-6 / asked.seconds:.1f} Mbit/s")
            compare(clip, front, side, asked.repeats)
        for rate_hz, layout in ((48_000, "mono"), (44_100, "stereo")):
            listen(encode_sound(Path(folder) / "a.m4a", 180, rate_hz, layout), 180, asked.repeats)
        if not asked.no_memory:
            peak(looped(clips[asked.kinds[0]], Path(folder) / "long.mp4", HALF_AN_HOUR_S))


def _arguments() -> argparse.Namespace:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawTextHelpFormatter)
    parser.add_argument("--file", type=Path, help="a recording of your own")
    parser.add_argument("--front", type=_region)
    parser.add_argument("--side", type=_region)
    parser.add_argument("--kinds", nargs="+", default=["h264", "easy", "hevc"], choices=[*PHONES])
    parser.add_argument("--seconds", type=int, default=20, help="length of the clips encoded here")
    parser.add_argument("--repeats", type=int, default=5)
    parser.add_argument("--no-memory", action="store_true", help="leave half an hour of 1080p30 out")
    parser.add_argument("--peak", action="store_true", help=argparse.SUPPRESS)
    return parser.parse_args()


def _region(text: str) -> Region:
    return Region(*map(float, text.split(",")))


def compare(clip: Path, front: Region, side: Region, repeats: int) -> None:
    """Print both passes and their ratio."""
    jobs: dict[str, Callable[[], object]] = {
        "bare decode": lambda: bare(clip),
        "measure": lambda: measure_recording(clip, front=front, side=side),
    }
    runs: dict[str, list[tuple[float, float]]] = {name: [] for name in jobs}
    for turn in range(repeats + 1):
        for name, job in jobs.items():
            spent = timed(job)
            if turn:  # the first round warms up
                runs[name].append(spent)
    walls = {name: statistics.median(wall_s for wall_s, _ in done) for name, done in runs.items()}
    cpus = {name: statistics.median(cpu_s for _, cpu_s in done) for name, done in runs.items()}
    for name in jobs:
        print(f"  {name}: wall {walls[name]:.2f} s, processor {cpus[name]:.2f} s")
    ratios = sorted(m[0] / b[0] for m, b in zip(runs["measure"], runs["bare decode"], strict=True))
    print(
        f"  ratio measure to bare decode: wall {walls['measure'] / walls['bare decode']:.2f} "
        f"({ratios[0]:.2f} to {ratios[-1]:.2f}), processor {cpus['measure'] / cpus['bare decode']:.2f}"
    )


def timed(job: Callable[[], object]) -> tuple[float, float]:
    """Wall clock and processor time of one job. [s]"""
    wall_s, cpu_s = time.perf_counter(), time.process_time()
    job()
    return time.perf_counter() - wall_s, time.process_time() - cpu_s


def listen(clip: Path, length_s: int, repeats: int) -> None:
    """Print how many times faster than real time sound alone is."""
    measure_recording(clip)
    spent = [timed(lambda: measure_recording(clip)) for _ in range(repeats)]
    wall_s, cpu_s = (statistics.median(column) for column in zip(*spent, strict=True))
    print(f"sound alone: {length_s / wall_s:.0f} x real time, {length_s / cpu_s:.0f} x by processor time")


def peak(clip: Path) -> None:
    """Print the largest resident memory of a fresh process."""
    command = [sys.executable, "-m", "benchmarks.speed", "--peak", "--file", str(clip)]
    told = subprocess.run(command, check=True, capture_output=True, text=True).stdout
    print(f"half an hour of 1080p30: {float(told):.0f} MB resident at most")


if __name__ == "__main__":
    main()
