"""How well marks are heard on invented sessions nothing learned from, and on real sounds without a marker.

    python -m benchmarks.accuracy_marks                 all of it
    python -m benchmarks.accuracy_marks --quick         fewer sessions
    python -m benchmarks.accuracy_marks --first N       sessions from seed N on (20,000 unless told)

Each session is heard three times: with its start block, without it, and by a generic onset detector (spectral
flux with a running median). A mark is found within 20 ms. Levels are those of the first 5 ms of the direct
snap over the steady background, 1 to 16 kHz.
"""

import argparse
from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from tests.generator.noises import BEDS, EVENTS, IMPACTS
from tests.generator.phones import KINDS, through_phone
from tests.generator.sessions import Soundscape, calibration, draw_session

from nares.base.vocab import Mark
from nares.measure.inputs import SoundBlock
from nares.measure.scoring import pair_events
from nares.measure.sound.clicker import learn_clicker
from nares.measure.sound.hear_marks import HeardMarks, hear_marks
from nares.measure.sound.marks import ClickerPrint
from nares.measure.sound.snaps import Snaps, find_snaps, join_snaps, without_echoes
from nares.measure.sound.stream import Stretches

SHARED = Path(__file__).resolve().parent.parent.parent / "shared"
WINDOW_S = 0.020
LENGTH_S = 40.0
BINS = ((0.15, 0.3), (0.3, 0.5), (0.5, 0.7), (0.7, 0.9), (0.9, 0.97), (0.97, 1.001))
Sound = NDArray[np.float64]


def flux_onsets(sound: Sound) -> list[float]:
    """A generic onset detector: positive change of the log spectrum over a running median."""
    from scipy.ndimage import maximum_filter1d, median_filter

    frames = np.lib.stride_tricks.sliding_window_view(sound, 1024)[::256] * np.hanning(1024)
    spectrum = np.log1p(1000 * np.abs(np.fft.rfft(frames, axis=1)))
    flux = np.maximum(np.diff(spectrum, axis=0), 0).sum(axis=1)
    high = (flux >= maximum_filter1d(flux, 11)) & (flux > 2.5 * median_filter(flux, 61) + 1e-6)
    return [float((k + 1) * 256 + 512) / 48_000 for k in np.flatnonzero(high)]


def snaps_of(sound: Sound) -> Snaps:
    stretches = Stretches(48_000)
    block = SoundBlock(sound.astype(np.float32), 0, 48_000)
    parts = [*stretches.add(block), *stretches.rest()]
    return without_echoes(join_snaps([find_snaps(part) for part in parts]))


@dataclass(slots=True)
class Tally:
    """Counts of true, found and both; and of every mark heard, how sure and whether true."""

    true: int = 0
    found: int = 0
    both: int = 0
    sure: list[tuple[float, bool]] = field(default_factory=list)

    def add(self, true: Sequence[float], found: Sequence[float]) -> None:
        """Count one session in."""
        self.true, self.found = self.true + len(true), self.found + len(found)
        self.both += len(pair_events(true, found, WINDOW_S))

    def hear(self, true: Sequence[float], heard: HeardMarks) -> None:
        """Count one session in, with how sure each mark was."""
        self.add(true, [mark.at_s for mark in heard.marks])
        every = sorted([*heard.marks, *heard.doubtful], key=lambda mark: mark.at_s)
        right = {found for _, found in pair_events(true, [mark.at_s for mark in every], WINDOW_S)}
        self.sure += [(mark.sure, place in right) for place, mark in enumerate(every)]

    def __str__(self) -> str:
        return f"{2 * self.both / max(self.true + self.found, 1):.3f}"


@dataclass(slots=True)
class Three:
    """The same sessions heard with a start block, without, and by the generic detector."""

    block: Tally = field(default_factory=Tally)
    none: Tally = field(default_factory=Tally)
    flux: Tally = field(default_factory=Tally)

    def hear(self, seed: int, phone: str = "plain", **how: object) -> None:
        """Draw a session and hear it."""
        chance = np.random.default_rng(seed)
        scape = draw_session(seed, length_s=LENGTH_S, start_block=True, **how)  # type: ignore[arg-type]
        sound = through_phone(chance, scape.sound, phone)
        snaps = snaps_of(sound)
        self.block.hear(scape.marks_s, hear_marks(snaps, None))
        self.flux.add(scape.marks_s, flux_onsets(sound))
        later = snaps.take(snaps.at_s > 6.4)
        self.none.hear([one for one in scape.marks_s if one > 6.4], hear_marks(later, None))

    def __str__(self) -> str:
        return f"{self.block!s:>7} {self.none!s:>7} {self.flux!s:>7}"


def table(name: str, rows: dict[str, dict[str, object]], first: int, sessions: int) -> list[Three]:
    print(f"\n{name}\n{'':>12} {'block':>7} {'none':>7} {'flux':>7}")
    every = []
    for row, how in rows.items():
        three = Three()
        for seed in range(first, first + sessions):
            three.hear(seed, **how)  # type: ignore[arg-type]
        print(f"{row:>12} {three}", flush=True)
        every.append(three)
    return every


def reliability(name: str, sure: list[tuple[float, bool]]) -> None:
    """How many of the marks given a chance were true, and the expected calibration error."""
    said, right = np.array([one for one, _ in sure]), np.array([one for _, one in sure])
    off, parts = 0.0, []
    for low, high in BINS:
        inside = (said >= low) & (said < high)
        if inside.any():
            off += float(inside.mean() * abs(said[inside].mean() - right[inside].mean()))
            parts.append(f"{said[inside].mean():.2f}: {right[inside].mean():.2f} of {inside.sum()}")
    print(f"{name:>12} expected calibration error {off:.3f}   said: true   {'   '.join(parts)}")


def start_blocks(first: int, sessions: int) -> None:
    """How often a start block is found, and how often one is invented."""
    found = invented = 0
    for seed in range(first, first + sessions):
        scape = draw_session(seed, length_s=15.0, click_db=20.0, start_block=True, chatter_db=3.0)
        times = hear_marks(snaps_of(scape.sound), None).start_block
        found += len(times) == 4 and bool(np.abs(np.subtract(times, scape.marks_s[:4])).max() < 0.01)
        without = draw_session(seed, length_s=25.0, click_db=20.0)
        invented += bool(hear_marks(snaps_of(without.sound), None).start_block)
    print(f"\nstart blocks at 20 dB: {found} of {sessions} found, {invented} of {sessions} invented")


def false_alarms(folder: Path, clickers: int = 6) -> None:
    from benchmarks.accuracy import sound_of

    prints = [one for seed in range(10_900, 10_900 + clickers) if (one := print_of(seed)) is not None]
    print("\nreal sounds without a marker: false marks a minute (start block, mean of clickers / none)")
    told = untold = minutes = 0.0
    for kind in sorted(path for path in folder.iterdir() if path.is_dir()):
        counts, length_s = [0.0, 0.0], 0.0
        for clip in sorted(kind.glob("*.ogg")):
            stretches, tables = None, []
            for block in sound_of(clip):
                stretches = stretches or Stretches(block.rate_hz)
                tables += [find_snaps(part) for part in stretches.add(block)]
            if stretches is None:
                continue
            tables += [find_snaps(part) for part in stretches.rest()]
            snaps = without_echoes(join_snaps(tables))
            counts[0] += sum(len(marks_of(snaps, one)) for one in prints) / len(prints)
            counts[1] += len(marks_of(snaps, None))
            length_s += stretches.heard_s
        each = [count * 60 / length_s for count in counts]
        print(f"{kind.name:>15} {each[0]:6.2f} {each[1]:6.2f}", flush=True)
        told, untold, minutes = told + counts[0], untold + counts[1], minutes + length_s / 60
    print(f"{'all':>15} {told / minutes:6.2f} {untold / minutes:6.2f}")


def marks_of(snaps: Snaps, clicker: ClickerPrint | None) -> tuple[Mark, ...]:
    return hear_marks(snaps, clicker).marks


def print_of(seed: int) -> ClickerPrint | None:
    """The print of an invented clicker, from ten seconds of it alone."""
    from nares.base.errors import NotEnoughData

    scape: Soundscape = draw_session(seed, length_s=8.0)
    told = calibration(seed + 1, scape)
    try:
        return learn_clicker([SoundBlock(told.astype(np.float32), 0, 48_000)])
    except NotEnoughData:
        return None


def main() -> None:
    asked = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    asked.add_argument("--quick", action="store_true")
    asked.add_argument("--first", type=int, default=20_000)
    told = asked.parse_args()
    few, many = (2, 4) if told.quick else (4, 12)
    every = (*EVENTS, *IMPACTS)
    levels: dict[str, dict[str, object]] = {
        f"{level} dB": {"click_db": float(level), "events": every} for level in (10, 20, 30, 40)
    }
    heard = table("by level of the click, other sounds 14 a minute", levels, told.first, many)
    print("\nreliability, levels of 10 to 40 dB together")
    reliability("block", [one for three in heard for one in three.block.sure])
    reliability("none", [one for three in heard for one in three.none.sure])
    kinds: dict[str, dict[str, object]] = {
        kind: {"click_db": 20.0, "events": (kind,), "events_a_minute": 20.0} for kind in every
    }
    kinds["chatter"] = {"click_db": 20.0, "events": (), "chatter_db": 8.0}
    kinds["no sniffing"] = {"click_db": 20.0, "events": every, "breath_db": None}
    kinds["moving"] = {"click_db": 20.0, "events": every, "moving": True}
    table("click at 20 dB, by what else is heard (20 a minute)", kinds, told.first + 100, few)
    beds: dict[str, dict[str, object]] = {
        bed: {"click_db": 25.0, "events": (), "bed": bed, "bed_db": 3.0} for bed in BEDS
    }
    table("click at 25 dB, by what lies under it (3 dB over the background)", beds, told.first + 200, few)
    phones: dict[str, dict[str, object]] = {phone: {"click_db": 25.0, "phone": phone} for phone in KINDS}
    table("click at 25 dB, by the phone", phones, told.first + 300, few)
    start_blocks(told.first + 400, 5 * few)
    if (SHARED / "sounds").is_dir():
        false_alarms(SHARED / "sounds")


if __name__ == "__main__":
    main()
