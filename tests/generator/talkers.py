"""Invented talkers who say words: phones, one talker's mouth, one utterance after another.

Conventions
-----------
A word is a string of phones parted by blanks, such as ``"j eh s"``. Each phone is a handful of numbers
(where its resonances lie, how much voice and how much rush it has, how long it lasts); a `Talker` bends them
once and for all, and every utterance bends them again a little, as mouths do. Sound is a pulse train and
noise, each shaped by an envelope that moves from phone to phone. Formant places are round textbook figures
written from memory. Not a speech synthesiser: enough like speech to learn and to judge with.
"""

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray
from tests.generator.soundcraft import RATE_HZ, Chance, Sound, hump

HOP = 240
SIZE = 1024
HZ = np.fft.rfftfreq(SIZE, 1 / RATE_HZ)
Rows = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Phone:
    """``formants``: F1 to F3 [Hz]. ``voice``, ``rush``: levels [dB], -90 is none. ``band``: of the rush [Hz]
    (0, 0: through the mouth's own resonances). ``length_s``: usual length."""

    formants: tuple[float, float, float]
    voice: float
    rush: float
    band: tuple[float, float]
    length_s: float


def _v(f1: float, f2: float, f3: float, length_s: float = 0.11) -> Phone:
    return Phone((f1, f2, f3), 0.0, -32.0, (0, 0), length_s)


VOWELS = {
    "iy": _v(290, 2250, 2950), "ih": _v(400, 1950, 2550, 0.08), "eh": _v(550, 1780, 2480, 0.1),
    "ae": _v(690, 1700, 2420, 0.13), "aa": _v(730, 1120, 2450, 0.13), "ao": _v(570, 860, 2420, 0.13),
    "uh": _v(450, 1050, 2250, 0.08), "uw": _v(310, 880, 2250, 0.12), "ah": _v(640, 1200, 2400, 0.09),
    "ax": _v(500, 1450, 2450, 0.05), "er": _v(480, 1350, 1700, 0.12), "ow": _v(450, 830, 2400, 0.13),
    "ey": _v(430, 2080, 2600, 0.13),
}  # fmt: skip
CONSONANTS = {
    "j": Phone((290, 2200, 2900), -4, -35, (0, 0), 0.06),
    "w": Phone((310, 700, 2200), -5, -38, (0, 0), 0.06),
    "l": Phone((370, 1100, 2700), -6, -40, (0, 0), 0.06),
    "r": Phone((380, 1150, 1600), -5, -38, (0, 0), 0.06),
    "m": Phone((260, 1050, 2200), -12, -50, (0, 0), 0.07),
    "n": Phone((270, 1550, 2400), -12, -50, (0, 0), 0.06),
    "s": Phone((330, 1700, 2600), -90, -9, (4800, 9500), 0.11),
    "z": Phone((310, 1700, 2600), -14, -15, (4800, 9500), 0.08),
    "sh": Phone((330, 1850, 2600), -90, -8, (2300, 6500), 0.11),
    "f": Phone((330, 1100, 2300), -90, -23, (1200, 10_000), 0.09),
    "v": Phone((300, 1150, 2300), -12, -28, (1200, 10_000), 0.06),
    "th": Phone((330, 1400, 2550), -90, -26, (1800, 10_000), 0.09),
    "h": Phone((500, 1500, 2500), -90, -20, (0, 0), 0.06),
}
BURSTS = {
    "p": (600, 2500, -16, 0.05), "b": (500, 2000, -20, 0.012), "t": (3500, 8500, -10, 0.05),
    "d": (3000, 7500, -16, 0.014), "k": (1400, 4200, -11, 0.055), "g": (1300, 3800, -16, 0.02),
}  # fmt: skip
PLACES = {"p": (350, 950, 2200), "b": (350, 950, 2200), "t": (350, 1750, 2650), "d": (350, 1750, 2650),
          "k": (350, 1950, 2400), "g": (350, 1950, 2400)}  # fmt: skip
GLIDES = {"ay": ("aa", "ih"), "aw": ("aa", "uh"), "oy": ("ao", "ih")}
MARKERS = (
    "j eh s", "j eh p", "g uh d", "n ay s", "k l ih k", "b ih ng g ow", "ow k ey", "j aa", "t ae p",
    "s uw p er", "b r aa v", "t ao p", "r ay t", "m aa r k", "f r iy", "d ah n", "g uh d d ao g", "hw iy",
    "w eh l d ah n", "b ao l", "z iy", "v ao n", "sh aa k", "p iy p", "h ey", "th ae ng k s",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Talker:
    """One mouth. ``tract``: formants times this; ``bent``: for each phone, its own small bend of F1 to F3."""

    tract: float
    pitch_hz: float
    tilt_db: float
    breath_db: float
    width: float
    hiss: float
    pace: float
    bent: dict[str, Rows] = field(default_factory=dict)

    def bend(self, name: str) -> Rows:
        """How this talker bends a phone."""
        return self.bent.get(name, np.ones(3))


def draw_talker(chance: Chance) -> Talker:
    """Anybody: man, woman, child."""
    tract = chance.uniform(0.87, 1.28)
    pitch = float(np.clip(110 * tract**3 * np.exp(0.18 * chance.standard_normal()), 75, 380))
    names = [*VOWELS, *CONSONANTS, *BURSTS]
    return Talker(
        tract, pitch, chance.uniform(-4, 3), chance.uniform(-6, 10), chance.uniform(0.7, 1.5),
        chance.uniform(0.85, 1.15) * tract**0.3, chance.uniform(0.8, 1.3),
        {name: np.exp(0.04 * chance.standard_normal(3)) for name in names},
    )  # fmt: skip


def draw_word(chance: Chance, *, syllables: int | None = None) -> str:
    """A word without sense: one to three syllables."""
    count = syllables or int(chance.choice([1, 2, 3], p=[0.5, 0.38, 0.12]))
    consonants = [*CONSONANTS, *BURSTS]
    phones: list[str] = []
    for number in range(count):
        if chance.random() < 0.85 or number:
            first = str(chance.choice(consonants))
            phones.append(first)
            if first in BURSTS and chance.random() < 0.15:
                phones.append(str(chance.choice(["l", "r", "w"])))
        phones.append(str(chance.choice([*VOWELS, *GLIDES])))
    if chance.random() < 0.65:
        phones.append(str(chance.choice(consonants)))
    return " ".join(phones)


def near_word(chance: Chance, word: str) -> str:
    """A word that differs in one phone, has one more, or lacks one."""
    phones = word.split()
    where = int(chance.integers(len(phones)))
    kind = chance.random()
    if kind < 0.15 and len(phones) > 2:
        phones.pop(where)
    elif kind < 0.3:
        phones.insert(0 if chance.random() < 0.5 else len(phones), str(chance.choice(["s", "ax", "t", "n"])))
    else:
        old = phones[where]
        alike = [*VOWELS, *GLIDES] if old in VOWELS or old in GLIDES else [*CONSONANTS, *BURSTS]
        phones[where] = str(chance.choice([one for one in alike if one != old]))
    return " ".join(phones)


def said(chance: Chance, talker: Talker, word: str, *, connected: bool = False, care: float = 1.0) -> Sound:
    """One utterance, RMS of its loudest tenth about 1; it begins with the first sample that sounds.

    ``connected``: said in the flow of speech: faster, flatter. ``care``: 1 as usual, less for more alike.
    """
    spans = _spans(chance, talker, word, connected, care)
    frames = int(np.ceil(spans[-1][1] / HOP * RATE_HZ)) + 1
    formants, voice, rush, low, high, mouth = _tracks(chance, talker, spans, frames, care)
    voiced, noise = _sources(chance, talker, frames, connected, care)
    tilt = talker.tilt_db + 2.0 * care * chance.standard_normal()
    through = _resonances(formants, talker.width)
    slope = np.maximum(HZ, 200.0) / 1000.0
    glottal = through * slope ** (-1.0 + tilt / 6.02)
    own = through * slope ** (-0.2)
    hiss = np.exp(-0.5 * (np.log(np.maximum(HZ, 50)[None, :] / np.sqrt(low * high)[:, None])
                          / (0.5 * np.log(high / low) + 1e-3)[:, None]) ** 2)  # fmt: skip
    hiss = hiss / np.sqrt((hiss**2).mean(axis=1, keepdims=True) + 1e-9) * 0.35
    breath = np.where(mouth[:, None] > 0.5, own, hiss) * 10 ** (rush[:, None] / 20)
    sound = _shaped(voiced, glottal * 10 ** (voice[:, None] / 20)) + _shaped(noise, breath)
    first = int(np.argmax(np.abs(sound) > 0.02 * np.abs(sound).max()))
    last = sound.size - int(np.argmax(np.abs(sound[::-1]) > 0.005 * np.abs(sound).max()))
    sound = sound[first:last]
    ends = min(192, sound.size // 4)
    sound[:ends] *= np.linspace(0, 1, ends)
    sound[-ends:] *= np.linspace(1, 0, ends)
    loud = np.quantile(sound**2, 0.9)
    return np.asarray(sound / np.sqrt(loud + 1e-12))


def running_speech(
    chance: Chance,
    talker: Talker,
    length_s: float,
    *,
    words: list[str] | None = None,
    near_share: float = 0.1,
) -> Sound:
    """Connected words with a pause now and then, the given words among others."""
    parts: list[Sound] = []
    total = 0
    while total < length_s * RATE_HZ:
        listed = words is not None and len(words) > 0 and chance.random() < near_share
        word = str(chance.choice(words)) if listed and words else draw_word(chance)
        one = said(chance, talker, word, connected=True) * 10 ** (chance.uniform(-5, 3) / 20)
        gap_s = chance.choice([0.0, chance.uniform(0.02, 0.1), chance.uniform(0.2, 0.8)], p=[0.55, 0.3, 0.15])
        parts += [one, np.zeros(int(gap_s * RATE_HZ))]
        total += parts[-1].size + parts[-2].size
    return np.concatenate(parts)[: int(length_s * RATE_HZ)]


Spans = list[tuple[float, float, str, str]]


def _spans(chance: Chance, talker: Talker, word: str, connected: bool, care: float) -> Spans:
    """(start, end, kind, phone) of every piece of a word; a plosive is a closure and a burst."""
    pace = talker.pace * np.exp(0.1 * care * chance.standard_normal()) * (0.8 if connected else 1.15)
    phones: list[tuple[float, str, str]] = []
    for name in word.split():
        if name in GLIDES:
            phones += [(0.09, "vowel", GLIDES[name][0]), (0.07, "vowel", GLIDES[name][1])]
        elif name in BURSTS:
            phones += [(0.055, "closure", name), (BURSTS[name][3], "burst", name)]
        elif name == "ng":
            phones += [(0.06, "consonant", "n")]
        elif name == "hw":
            phones += [(0.05, "consonant", "h"), (0.05, "consonant", "w")]
        else:
            kind = "vowel" if name in VOWELS else "consonant"
            phones += [((VOWELS.get(name) or CONSONANTS[name]).length_s, kind, name)]
    if phones[0][1] == "closure":
        phones.pop(0)
    spans, at_s = [], 0.0
    for number, (length_s, kind, name) in enumerate(phones):
        last = 1.25 if number >= len(phones) - 2 and not connected else 1.0
        length = length_s * pace * last * np.exp(0.13 * care * chance.standard_normal())
        spans.append((at_s, at_s + max(length, 0.01), kind, name))
        at_s = spans[-1][1]
    return spans


def _tracks(
    chance: Chance, talker: Talker, spans: Spans, frames: int, care: float
) -> tuple[Rows, Rows, Rows, Rows, Rows, Rows]:
    at_s = np.arange(frames) * HOP / RATE_HZ
    rows = np.zeros((frames, 8))
    low: float
    high: float
    for start, end, kind, name in spans:
        here = (at_s >= start - 1e-9) & (at_s < end)
        if end == spans[-1][1]:
            here |= at_s >= end
        bend = talker.tract * talker.bend(name) * np.exp(0.025 * care * chance.standard_normal(3))
        strength = 1.5 * care * chance.standard_normal()
        if kind in ("closure", "burst"):
            low, high, burst_db, _ = BURSTS[name]
            murmur = -22.0 if name in "bdg" and kind == "closure" else -90.0
            rush = burst_db + strength if kind == "burst" else -90.0
            rows[here] = [*(bend * PLACES[name]), murmur, rush, low, high, 0.0]
        else:
            phone = VOWELS.get(name) or CONSONANTS[name]
            own = phone.band == (0, 0)
            low, high = (1000.0, 3000.0) if own else phone.band
            rush = phone.rush + (talker.breath_db if own else strength)
            rows[here] = [*(bend * phone.formants), phone.voice + strength, rush,
                          low * talker.hiss, high * talker.hiss, float(own)]  # fmt: skip
    smooth = hump(9, 1.0, 1.0)
    smooth /= smooth.sum()
    for column in (0, 1, 2):
        rows[:, column] = np.convolve(np.pad(rows[:, column], 4, mode="edge"), smooth, "valid")
    quick = np.array([0.25, 0.5, 0.25])
    for column in (3, 4):
        level = np.convolve(np.pad(10 ** (rows[:, column] / 20), 1, mode="edge"), quick, "valid")
        rows[:, column] = 20 * np.log10(level + 1e-6)
    return rows[:, :3], rows[:, 3], rows[:, 4], rows[:, 5], rows[:, 6], rows[:, 7]


def _sources(
    chance: Chance, talker: Talker, frames: int, connected: bool, care: float
) -> tuple[Sound, Sound]:
    length = (frames + 8) * HOP
    reach = 0.1 if connected else 0.25
    pitch = talker.pitch_hz * np.exp(0.08 * care * chance.standard_normal())
    contour = np.interp(
        np.linspace(0, 1, length), [0, 0.4, 1],
        [chance.uniform(-0.3, 0.6) * reach, chance.uniform(0, 1) * reach, -chance.uniform(0, 1.2) * reach],
    )  # fmt: skip
    knots = np.arange(0, length + 480, 480)
    wobble = np.interp(np.arange(length), knots, 0.012 * chance.standard_normal(knots.size))
    turns = np.cumsum(pitch * np.exp(contour + wobble)) / RATE_HZ
    pulses = np.diff(np.floor(turns), prepend=0.0)
    pulses *= 1 + 0.08 * chance.standard_normal(length)
    pulses *= np.sqrt(RATE_HZ / pitch) * 0.5
    return pulses, chance.standard_normal(length)


def _resonances(formants: Rows, width: float) -> Rows:
    """Envelope of a mouth: the product of five resonances, shape (frames, bins)."""
    scale = formants[:, 2:3] / 2500.0
    every = np.concatenate([formants, 3500.0 * scale, 4500.0 * scale], axis=1)
    wide = width * np.array([70.0, 90.0, 130.0, 200.0, 280.0])
    gain = np.ones((formants.shape[0], HZ.size))
    for k in range(5):
        centre = every[:, k : k + 1]
        gain *= centre**2 / np.sqrt((HZ[None, :] ** 2 - centre**2) ** 2 + (HZ[None, :] * wide[k]) ** 2)
    # Above the modelled resonances a mouth goes on; without this the product falls off a cliff.
    beyond = np.maximum(HZ[None, :] / (4900.0 * scale), 1.0)
    return np.asarray(np.minimum(gain, 40.0) * beyond**7.0)


def _shaped(source: Sound, envelope: Rows) -> Sound:
    """A source heard through an envelope that changes every 5 ms."""
    frames = envelope.shape[0]
    window = np.hanning(SIZE + 1)[:SIZE]
    starts = HOP * np.arange(frames)
    padded = np.pad(source, (SIZE // 2, SIZE))
    pieces = padded[starts[:, None] + np.arange(SIZE)] * window
    pieces = np.fft.irfft(np.fft.rfft(pieces, axis=1) * envelope, axis=1) * (HOP / (SIZE / 2))
    out = np.zeros(frames * HOP + SIZE)
    for k in range(frames):
        out[starts[k] : starts[k] + SIZE] += pieces[k]
    return out[SIZE // 2 : SIZE // 2 + frames * HOP]
