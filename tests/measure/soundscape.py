"""Sessions made of invented sounds, with the truth known: clickers, rooms, dogs' breath, and disturbance.

Conventions
-----------
48 kHz mono. Everything is drawn from the generator handed in: one seed, one session. ``click_db`` is the
level of the first 5 ms of the direct snap over the steady background, 1 to 16 kHz; ``breath_db`` the level of
a bout over it, 1 to 8 kHz. No recording is used. Seeds below 10,000 are for learning settings (the recipe in
``benchmarks``), from 10,000 on for judging them.
"""

from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray
from scipy.signal import butter, fftconvolve, lfilter, sosfilt

RATE_HZ = 48_000
Sound = NDArray[np.float64]
Chance = np.random.Generator


@dataclass(frozen=True, slots=True)
class Clicker:
    """One box clicker: its ringing modes and how it is pressed and released."""

    modes: NDArray[np.float64]
    burst: float
    double: bool
    release_level: float
    release_shift: float
    spacing_s: float
    spacing_sd: float

    def snap(self, chance: Chance, *, release: bool = False) -> Sound:
        """One snap, peak about 1, 60 ms long."""
        time_s = np.arange(int(0.06 * RATE_HZ)) / RATE_HZ
        shift = self.release_shift if release else 1.0
        sound = np.zeros(time_s.size)
        for hz, decay_s, level in self.modes:
            wobble = 1.0 + 0.12 * chance.standard_normal()
            phase = chance.uniform(0, 2 * np.pi)
            sound += (
                wobble * level * np.exp(-time_s / decay_s) * np.sin(2 * np.pi * hz * shift * time_s + phase)
            )
        rush = self.burst * chance.standard_normal(time_s.size) * np.exp(-time_s / 0.0012)
        sound += band(rush, 1500, 16_000)
        return np.asarray(sound / np.abs(sound).max() * (self.release_level if release else 1.0))


@dataclass(slots=True)
class Soundscape:
    """A session and its truth. ``inhales`` and ``bouts`` in seconds; ``pants`` are bouts of panting."""

    sound: Sound
    marks_s: list[float] = field(default_factory=list)
    releases_s: list[float] = field(default_factory=list)
    inhales: list[tuple[float, float]] = field(default_factory=list)
    bouts: list[tuple[float, float]] = field(default_factory=list)
    pants: list[tuple[float, float]] = field(default_factory=list)
    clicker: Clicker | None = None
    room: Sound | None = None
    click_scale: float = 0.0


def draw_clicker(chance: Chance) -> Clicker:
    """Any clicker: metal or plastic, single or double snap."""
    count = int(chance.integers(3, 7))
    modes = np.stack(
        [
            np.exp(chance.uniform(np.log(1800), np.log(9000), count)),
            np.exp(chance.uniform(np.log(0.0015), np.log(0.012), count)),
            10 ** (chance.uniform(-14, 0, count) / 20),
        ],
        axis=1,
    )
    return Clicker(
        modes,
        burst=10 ** (chance.uniform(-16, 4) / 20),
        double=bool(chance.random() < 0.85),
        release_level=chance.uniform(0.4, 1.2),
        release_shift=chance.uniform(0.93, 1.07),
        spacing_s=chance.uniform(0.065, 0.30),
        spacing_sd=chance.uniform(0.05, 0.2),
    )


def draw_room(chance: Chance) -> Sound:
    """Impulse response of a room: the direct sound, a few reflections, a decaying tail."""
    reverb_s, direct_db = chance.uniform(0.15, 0.8), chance.uniform(0, 12)
    time_s = np.arange(int(0.5 * RATE_HZ)) / RATE_HZ
    tail = chance.standard_normal(time_s.size) * np.exp(-6.9 * time_s / reverb_s)
    tail[: int(chance.uniform(0.001, 0.006) * RATE_HZ)] = 0.0
    tail = lfilter([0.5, 0.3], [1, -0.2], tail)
    tail *= 10 ** (-direct_db / 20) / np.sqrt(np.sum(tail**2))
    tail[0] = 1.0
    return np.asarray(tail)


def band(sound: Sound, low_hz: float, high_hz: float) -> Sound:
    """Sound between two frequencies."""
    return np.asarray(sosfilt(butter(2, [low_hz, high_hz], "bandpass", fs=RATE_HZ, output="sos"), sound))


def coloured(chance: Chance, length: int, slope: float) -> Sound:
    """Noise whose power falls by ``slope`` dB an octave above 100 Hz, RMS 1."""
    size = int(2 ** np.ceil(np.log2(max(length, 256))))
    hz = np.fft.rfftfreq(size, 1 / RATE_HZ)
    spectrum = np.fft.rfft(chance.standard_normal(size)) * np.maximum(hz, 100.0) ** (-slope / 6.02)
    sound = np.fft.irfft(spectrum)[:length]
    return np.asarray(sound / np.sqrt(np.mean(sound**2) + 1e-20))


def add(into: Sound, sound: Sound, at_s: float) -> None:
    """Mix a sound into a longer one, cut where it does not fit."""
    first = round(at_s * RATE_HZ)
    start, end = max(first, 0), min(first + sound.size, into.size)
    if end > start:
        into[start:end] += sound[start - first : end - first]


def hump(length: int, sharpness: float, lean: float) -> Sound:
    """An envelope that rises from 0 and falls back to 0, peak 1."""
    x = ((np.arange(length) + 0.5) / length) ** lean
    return np.asarray(np.sin(np.pi * x) ** sharpness)


# Breath ---------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Dog:
    """How one dog breathes through the nose."""

    rate_hz: float
    drawn_share: float
    exhale_level: float
    bright: tuple[float, float]
    dull: tuple[float, float]
    sharpness: float
    lean: float


def draw_dog(chance: Chance) -> Dog:
    low = chance.uniform(250, 900)
    return Dog(
        rate_hz=chance.uniform(4.0, 7.0),
        drawn_share=chance.uniform(0.40, 0.56),
        exhale_level=chance.uniform(0.2, 0.8),
        bright=(low * chance.uniform(1.2, 2.5), chance.uniform(7000, 13_000)),
        dull=(low, chance.uniform(2200, 5000)),
        sharpness=chance.uniform(0.4, 1.1),
        lean=chance.uniform(0.75, 1.15),
    )


def breath(
    chance: Chance, dog: Dog, length_s: float, *, pant: bool = False
) -> tuple[Sound, list[tuple[float, float]]]:
    """A bout of sniffing (or panting) and its intakes, RMS about 1 while it lasts."""
    sound, inhales, at_s = np.zeros(int((length_s + 0.6) * RATE_HZ)), [], 0.0
    cycle_s = 1 / (chance.uniform(3.5, 6.0) if pant else dog.rate_hz)
    out_level = chance.uniform(0.8, 1.8) if pant else dog.exhale_level
    while at_s < length_s:
        cycle = cycle_s * float(np.clip(1 + 0.07 * chance.standard_normal(), 0.8, 1.2))
        drawn = cycle * float(np.clip(dog.drawn_share + 0.02 * chance.standard_normal(), 0.35, 0.6))
        level = 10 ** (1.5 * chance.standard_normal() / 20)
        bright = dog.dull if pant else dog.bright
        _puff(chance, sound, at_s, drawn, level, bright, dog)
        _puff(chance, sound, at_s + drawn, cycle - drawn, level * out_level, dog.dull, dog)
        inhales.append((at_s, at_s + drawn))
        at_s += cycle
    return sound / np.sqrt(np.mean(sound[: int(at_s * RATE_HZ)] ** 2)), inhales


def _puff(
    chance: Chance, into: Sound, at_s: float, length_s: float, level: float, hz: tuple[float, float], dog: Dog
) -> None:
    length = int(length_s * RATE_HZ)
    noise = band(chance.standard_normal(length + 960), *hz)[960:]
    noise *= hump(length, dog.sharpness, dog.lean) / np.sqrt(np.mean(noise**2))
    add(into, level * noise, at_s)


# Disturbance ----------------------------------------------------------------------------------------


def speech(chance: Chance, length_s: float = 0.0) -> Sound:
    """A few syllables: voiced vowels with formants, plosives with a burst, hissing consonants."""
    length_s = length_s or chance.uniform(0.4, 2.2)
    sound, at_s, pitch = np.zeros(int((length_s + 0.5) * RATE_HZ)), 0.0, chance.uniform(85, 260)
    while at_s < length_s:
        kind = chance.random()
        if kind < 0.35:
            burst = band(coloured(chance, int(0.05 * RATE_HZ), 3), 400, chance.uniform(3000, 9000))
            burst *= np.exp(-np.arange(burst.size) / RATE_HZ / chance.uniform(0.003, 0.02))
            add(sound, burst * chance.uniform(0.5, 3.0), at_s)
            at_s += chance.uniform(0.02, 0.06)
        elif kind < 0.6:
            low = chance.uniform(1500, 5000)
            hiss = band(
                chance.standard_normal(int(chance.uniform(0.05, 0.16) * RATE_HZ)),
                low,
                chance.uniform(low + 2000, 12_000),
            )
            add(sound, hiss * hump(hiss.size, 0.7, 1.0) * chance.uniform(0.4, 1.5), at_s)
            at_s += hiss.size / RATE_HZ
        vowel = _vowel(chance, pitch * chance.uniform(0.85, 1.2), chance.uniform(0.07, 0.25))
        add(sound, vowel, at_s)
        at_s += vowel.size / RATE_HZ + chance.choice([0.0, 0.03, 0.15], p=[0.6, 0.3, 0.1])
    return sound


def _vowel(chance: Chance, pitch_hz: float, length_s: float) -> Sound:
    length = int(length_s * RATE_HZ)
    glide = pitch_hz * np.exp(np.linspace(0, chance.uniform(-0.2, 0.2), length))
    pulses = np.diff(np.floor(np.cumsum(glide) / RATE_HZ), prepend=0.0)
    source = lfilter([1], [1, -0.97], pulses) + 0.02 * chance.standard_normal(length)
    for hz in (chance.uniform(300, 850), chance.uniform(900, 2300), chance.uniform(2300, 3300), 3800.0):
        radius = np.exp(-np.pi * chance.uniform(60, 160) / RATE_HZ)
        around = 2 * radius * np.cos(2 * np.pi * hz / RATE_HZ)
        source = source + 0.8 * lfilter([1 - radius], [1, -around, radius**2], source)
    source = source * hump(length, 0.4, 0.8)
    return np.asarray(source / np.sqrt(np.mean(source**2) + 1e-12))


def impact(
    chance: Chance, low_hz: float, high_hz: float, decay_s: tuple[float, float], noise: float
) -> Sound:
    """A struck thing: damped modes between two frequencies, and a burst."""
    time_s = np.arange(int(0.25 * RATE_HZ)) / RATE_HZ
    sound = np.zeros(time_s.size)
    for _ in range(int(chance.integers(3, 10))):
        hz = np.exp(chance.uniform(np.log(low_hz), np.log(high_hz)))
        decay = np.exp(chance.uniform(np.log(decay_s[0]), np.log(decay_s[1])))
        sound += (
            chance.uniform(0.2, 1)
            * np.exp(-time_s / decay)
            * np.sin(2 * np.pi * hz * time_s + chance.uniform(0, 6))
        )
    burst_s = np.exp(chance.uniform(np.log(decay_s[0]), np.log(decay_s[1])))
    rush = chance.standard_normal(time_s.size) * np.exp(-time_s / burst_s)
    sound += noise * band(rush, low_hz * 0.7, min(high_hz * 1.5, 18_000))
    soft = int(np.exp(chance.uniform(np.log(2), np.log(200))))
    sound[:soft] *= np.linspace(0, 1, soft)
    return np.asarray(sound / np.abs(sound).max())


def clap(chance: Chance) -> Sound:
    sound = impact(chance, 500, 4000, (0.002, 0.012), 3.0)
    return sound + 0.5 * np.roll(sound, int(chance.uniform(0, 0.004) * RATE_HZ))


def knock(chance: Chance) -> Sound:
    return impact(chance, 80, 1800, (0.004, 0.05), 0.5)


def metal(chance: Chance) -> Sound:
    return impact(chance, 1200, 14_000, (0.003, 0.12), 0.4)


def key(chance: Chance) -> Sound:
    return impact(chance, 700, 9000, (0.001, 0.01), 1.5)


def jingle(chance: Chance) -> Sound:
    sound = np.zeros(int(0.8 * RATE_HZ))
    ring = impact(chance, 3000, 15_000, (0.01, 0.08), 0.1)
    for _ in range(int(chance.integers(3, 12))):
        add(sound, ring * chance.uniform(0.2, 1.0), chance.uniform(0, 0.6))
    return sound


def keys(chance: Chance) -> Sound:
    sound, at_s = np.zeros(int(1.2 * RATE_HZ)), 0.0
    while at_s < 1.0:
        add(sound, key(chance) * chance.uniform(0.3, 1), at_s)
        at_s += chance.uniform(0.06, 0.3)
    return sound


def bark(chance: Chance) -> Sound:
    sound = np.zeros(int(1.5 * RATE_HZ))
    at_s, pitch = 0.0, chance.uniform(250, 800)
    for _ in range(int(chance.integers(1, 4))):
        length_s = chance.uniform(0.1, 0.3)
        woof = (
            _vowel(chance, pitch, length_s)
            + 0.5 * band(coloured(chance, int(length_s * RATE_HZ), 3), 400, 6000)[: int(length_s * RATE_HZ)]
        )
        add(sound, woof * hump(woof.size, 0.6, 0.6), at_s)
        at_s += length_s + chance.uniform(0.1, 0.3)
    return sound / 3


def sneeze(chance: Chance) -> Sound:
    length = int(chance.uniform(0.15, 0.5) * RATE_HZ)
    return band(coloured(chance, length, 2), 500, chance.uniform(5000, 12_000)) * hump(length, 0.5, 0.4)


def chewing(chance: Chance) -> Sound:
    sound, at_s = np.zeros(int(2.2 * RATE_HZ)), 0.0
    while at_s < 2.0:
        for _ in range(int(chance.integers(1, 6))):
            add(
                sound,
                impact(chance, 400, 7000, (0.001, 0.015), 2.0) * chance.uniform(0.1, 0.6),
                at_s + chance.uniform(0, 0.09),
            )
        at_s += chance.uniform(0.2, 0.45)
    return sound


def steps(chance: Chance) -> Sound:
    sound, at_s = np.zeros(int(2.2 * RATE_HZ)), 0.0
    while at_s < 2.0:
        length = int(chance.uniform(0.03, 0.12) * RATE_HZ)
        scuff = band(chance.standard_normal(length), 200, chance.uniform(1500, 8000)) * hump(length, 0.8, 0.5)
        add(sound, 0.3 * scuff + 0.0, at_s)
        add(sound, knock(chance) * 0.4, at_s)
        at_s += chance.uniform(0.2, 0.6)
    return sound


EVENTS: dict[str, Callable[[Chance], Sound]] = {
    "speech": speech, "clap": clap, "knock": knock, "metal": metal, "key": key, "jingle": jingle,
    "keys": keys,
    "bark": bark, "sneeze": sneeze, "chewing": chewing, "steps": steps,
}  # fmt: skip


def drops(chance: Chance, length: int, a_second: float) -> Sound:
    """Rain on a roof, a crackling fire: many small impacts of every size."""
    sound = np.zeros(length)
    shapes = [impact(chance, 600, 12_000, (0.0006, 0.006), 2.0)[:4800] for _ in range(8)]
    for _ in range(chance.poisson(a_second * length / RATE_HZ)):
        level = min(float(chance.pareto(1.6)) + 0.1, 12.0)
        add(sound, level * shapes[int(chance.integers(8))], chance.uniform(0, length / RATE_HZ))
    return sound


def crackle(chance: Chance, length: int) -> Sound:
    return drops(chance, length, chance.uniform(1, 15)) * 2.0


def rain(chance: Chance, length: int) -> Sound:
    return drops(chance, length, chance.uniform(30, 200)) + coloured(chance, length, 1.0)


def ticking(chance: Chance, length: int) -> Sound:
    """A clock: the same tick (or tick and tock) at one rate throughout."""
    sound, at_s, every_s = np.zeros(length), chance.uniform(0, 1), chance.choice([0.25, 0.5, 1.0])
    ticks = [impact(chance, 900, 12_000, (0.001, 0.01), 1.0) for _ in range(2)]
    second, lag_s = chance.uniform(0, 0.8), chance.uniform(0.02, 0.2)
    while at_s < length / RATE_HZ:
        add(sound, ticks[0] * (1 + 0.1 * chance.standard_normal()), at_s)
        add(sound, ticks[1] * second, at_s + lag_s)
        at_s += every_s
    return sound


def waves(chance: Chance, length: int) -> Sound:
    return coloured(chance, length, 2.0) * _slow(chance, length, chance.uniform(0.1, 0.6), 10.0)


def wind(chance: Chance, length: int) -> Sound:
    return coloured(chance, length, 6.0) * _slow(chance, length, chance.uniform(0.5, 3.0), 8.0) * 2


def rotor(chance: Chance, length: int) -> Sound:
    """A machine: noise and hum that beat at one rate between 5 and 110 a second."""
    hz = np.exp(chance.uniform(np.log(5), np.log(110)))
    turn = np.arange(length) / RATE_HZ * hz * (1 + 0.02 * np.sin(np.arange(length) / RATE_HZ))
    beat = np.clip(0.5 + chance.uniform(0.2, 1.2) * np.cos(2 * np.pi * turn), 0.05, None)
    return np.asarray(coloured(chance, length, chance.uniform(2, 5)) * beat)


def gusts(chance: Chance, length: int) -> Sound:
    """Rushing noise that swells and sinks at random several times a second: surf, spray, leaves, cloth."""
    rush = coloured(chance, length, chance.uniform(0, 5)) * _slow(
        chance, length, chance.uniform(2, 14), chance.uniform(2, 9)
    )
    return rush * _slow(chance, length, chance.uniform(0.1, 1.0), chance.uniform(0, 8))


def engine(chance: Chance, length: int) -> Sound:
    """A motor that hunts: harmonics and noise under an uneven load."""
    pitch = chance.uniform(30, 140) * (1 + 0.05 * np.cumsum(chance.standard_normal(length)) / np.sqrt(length))
    turn = np.cumsum(pitch) / RATE_HZ
    tone = sum(chance.uniform(0, 1) / k**0.7 * np.sin(2 * np.pi * k * turn) for k in range(1, 24))
    noise = coloured(chance, length, chance.uniform(1, 4)) * chance.uniform(0.3, 3)
    return (np.asarray(tone) + noise) * _slow(chance, length, chance.uniform(1, 8), chance.uniform(1, 8))


def cry(chance: Chance, length: int) -> Sound:
    sound, at_s = np.zeros(length), 0.3
    while at_s < length / RATE_HZ - 2:
        add(sound, _vowel(chance, chance.uniform(300, 900), chance.uniform(0.3, 1.4)), at_s)
        at_s += chance.uniform(0.8, 4)
    return sound


BEDS: dict[str, Callable[[Chance, int], Sound]] = {
    "gusts": gusts, "engine": engine, "crackle": crackle, "rain": rain, "ticking": ticking, "waves": waves,
    "wind": wind, "rotor": rotor, "cry": cry,
}  # fmt: skip


def _slow(chance: Chance, length: int, hz: float, spread_db: float) -> Sound:
    knots = chance.standard_normal(int(length / RATE_HZ * hz * 2) + 3) * spread_db / 2
    return np.asarray(10 ** (np.interp(np.arange(length), np.linspace(0, length, knots.size), knots) / 20))


# Sessions -------------------------------------------------------------------------------------------


def draw_session(
    seed: int,
    *,
    length_s: float = 30.0,
    click_db: float | None = 30.0,
    breath_db: float | None = 12.0,
    events: tuple[str, ...] = tuple(EVENTS),
    events_a_minute: float = 14.0,
    bed: str | None = None,
    bed_db: float = 10.0,
    panting: bool = True,
    start_block: bool = False,
    clicker: Clicker | None = None,
) -> Soundscape:
    """A box session of a few reps over a background, at stated levels (None: there is none).

    ``bed_db``: level of the bed (rain, fire, a clock ...) over the background, all frequencies: its RMS, or
    its peaks for a clock. ``start_block``: two quiet seconds, then four marks one second apart.
    """
    chance = np.random.default_rng(seed)
    length = int(length_s * RATE_HZ)
    scape = Soundscape(np.zeros(length), clicker=clicker or draw_clicker(chance), room=draw_room(chance))
    background = coloured(chance, length, chance.uniform(2, 5)) * _slow(chance, length, 0.3, 1.5)
    background *= 1.0 / level(background, 1000, 16_000)
    quiet_s = 6.5 if start_block else 0.3
    breaths, clicks, others = np.zeros(length), np.zeros(length), np.zeros(length)
    _reps(chance, scape, breaths, clicks, quiet_s, length_s, has_clicks=click_db is not None)
    if start_block and click_db is not None:
        for at_s in (2.0, 3.0, 4.0, 5.0):
            _click(chance, scape, clicks, at_s + 0.05 * chance.uniform(-1, 1))
    if panting:
        _pants(chance, scape, breaths, draw_dog(chance), length_s, quiet_s)
    click_scale = _click_scale(chance, scape.clicker, click_db)
    breath_scale = 0.0
    if breath_db is not None:
        breath_scale = (
            10 ** (breath_db / 20) * level(background, 1000, 8000) / max(_bout_level(scape, breaths), 1e-9)
        )
    else:
        scape.inhales, scape.bouts, scape.pants = [], [], []
    _events(chance, others, events, events_a_minute, length_s, quiet_s, max(click_scale, 10.0))
    room = scape.room if scape.room is not None else np.ones(1)
    near = room.copy()
    near[1:] *= 0.5  # the phone is nearer to the box than to the rest
    dry = np.asarray(fftconvolve(clicks * click_scale + others, room)[:length])
    wet = dry + np.asarray(fftconvolve(breaths * breath_scale, near)[:length])
    if bed is not None:
        laid = BEDS[bed](chance, length)
        size = np.abs(laid).max() / 4 if bed == "ticking" else np.sqrt(np.mean(laid**2))
        wet = wet + laid / (size + 1e-12) * 10 ** (bed_db / 20) * np.sqrt(np.mean(background**2))
    scape.sound = wet + background
    scape.sound *= 0.5 * chance.uniform(0.3, 1.0) / np.abs(scape.sound).max()
    scape.marks_s.sort()
    scape.click_scale = click_scale
    return scape


def calibration(seed: int, scape: Soundscape, *, clicks: int = 4) -> Sound:
    """A short recording of a session's clicker in its room: some quiet, then clicks about one a second."""
    chance = np.random.default_rng(seed)
    alone = Soundscape(np.zeros(0), clicker=scape.clicker)
    sound = np.zeros(int((clicks + 2.5) * RATE_HZ))
    for number in range(clicks):
        _click(chance, alone, sound, 1.2 + number + 0.1 * chance.uniform(-1, 1))
    room = scape.room if scape.room is not None else np.ones(1)
    sound = np.asarray(fftconvolve(sound * scape.click_scale, room)[: sound.size])
    background = coloured(chance, sound.size, 3.0)
    sound += background / level(background, 1000, 16_000)
    return sound * 0.4 / float(np.abs(sound).max())


def through_phone(chance: Chance, sound: Sound, kind: str) -> Sound:
    """What a phone does: ``narrow`` (7 kHz), ``codec`` (15 kHz), ``clipped``, ``gain`` or ``plain``."""
    if kind in ("narrow", "codec"):
        edge_hz = 7000.0 if kind == "narrow" else 15_000.0
        return np.asarray(sosfilt(butter(8, edge_hz, fs=RATE_HZ, output="sos"), sound))
    if kind == "clipped":
        top = np.abs(sound).max() * 10 ** (-chance.uniform(3, 12) / 20)
        return np.asarray(np.clip(sound, -top, top) / top)
    if kind == "gain":
        fast = np.sqrt(np.asarray(lfilter([0.0005], [1, -0.9995], sound**2)) + 1e-9)
        return np.asarray(sound / (fast + 0.3 * fast.max())) * 0.3 * float(fast.max())
    return sound


def _reps(
    chance: Chance,
    scape: Soundscape,
    breaths: Sound,
    clicks: Sound,
    from_s: float,
    to_s: float,
    *,
    has_clicks: bool,
) -> None:
    dog, at_s = draw_dog(chance), from_s + chance.uniform(0.2, 1.5)
    while at_s < to_s - 3.5:
        sound, inhales = breath(chance, dog, length_s := chance.uniform(0.35, 2.6))
        add(breaths, sound, at_s)
        scape.inhales += [(at_s + a, at_s + b) for a, b in inhales]
        scape.bouts.append((at_s, at_s + inhales[-1][1]))
        mark_s = at_s + length_s * chance.uniform(0.4, 1.05)
        if has_clicks and chance.random() < 0.85:
            _click(chance, scape, clicks, mark_s)
            if chance.random() < 0.3:
                _click(chance, scape, clicks, mark_s + chance.uniform(0.42, 0.65))
        at_s += length_s + chance.choice([chance.uniform(0.3, 0.7), chance.uniform(1.0, 4.0)])


def _click(chance: Chance, scape: Soundscape, clicks: Sound, at_s: float) -> None:
    clicker = scape.clicker
    if clicker is None:
        return
    level_now = 10 ** (1.5 * chance.standard_normal() / 20)
    add(clicks, clicker.snap(chance) * level_now, at_s)
    scape.marks_s.append(round(at_s * RATE_HZ) / RATE_HZ)
    if clicker.double and chance.random() < 0.97:
        spacing_s = clicker.spacing_s * np.exp(clicker.spacing_sd * chance.standard_normal())
        released = (
            clicker.snap(chance, release=True) * level_now * 10 ** (1.5 * chance.standard_normal() / 20)
        )
        after_s = float(np.clip(spacing_s, 0.06, 0.38))
        add(clicks, released, at_s + after_s)
        scape.releases_s.append(at_s + after_s)


def _click_scale(chance: Chance, clicker: Clicker | None, click_db: float | None) -> float:
    if clicker is None or click_db is None:
        return 0.0
    first = clicker.snap(chance)[: int(0.005 * RATE_HZ)]
    return 10 ** (click_db / 20) / float(np.sqrt(np.mean(first**2)))


def _pants(
    chance: Chance, scape: Soundscape, breaths: Sound, dog: Dog, length_s: float, from_s: float
) -> None:
    at_s = from_s + chance.uniform(0, length_s)
    bout_s = chance.uniform(1.0, 3.0)
    if any(a - bout_s - 1 < at_s < b + 1 for a, b in scape.bouts) or at_s + bout_s > length_s:
        return
    sound, _ = breath(chance, dog, bout_s, pant=True)
    add(breaths, sound * 10 ** (chance.uniform(-6, 4) / 20), at_s)
    scape.pants.append((at_s, at_s + bout_s))


def _events(
    chance: Chance,
    into: Sound,
    kinds: tuple[str, ...],
    a_minute: float,
    length_s: float,
    from_s: float,
    loud: float,
) -> None:
    for _ in range(chance.poisson(a_minute * length_s / 60) if kinds else 0):
        sound = EVENTS[str(chance.choice(kinds))](chance)
        sound = sound / np.abs(sound).max() * loud * 10 ** (chance.uniform(-18, 4) / 20)
        add(into, sound, chance.uniform(from_s, length_s))


def level(sound: Sound, low_hz: float, high_hz: float) -> float:
    """RMS between two frequencies."""
    return float(np.sqrt(np.mean(band(sound, low_hz, high_hz) ** 2)))


def _bout_level(scape: Soundscape, breaths: Sound) -> float:
    parts = [breaths[int(a * RATE_HZ) : int(b * RATE_HZ)] for a, b in scape.bouts]
    return level(np.concatenate(parts), 1000, 8000) if parts else 0.0
