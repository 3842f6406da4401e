"""Sessions for judging breath: one dog, panting beside sniffing, and all that may be taken for either.

Conventions
-----------
As in `sessions`: 48 kHz mono, one seed one session, ``breath_db`` is the RMS of the sniffing bouts over the
steady background, 1 to 8 kHz, before the echo of box and room makes them louder by up to 3 dB. A *bed* under
the session is not part of that background.
"""

import numpy as np
from scipy.signal import fftconvolve
from tests.generator.breaths import breath, draw_dog
from tests.generator.clickers import Clicker, draw_clicker
from tests.generator.noises import BEDS, EVENTS
from tests.generator.phones import through_phone
from tests.generator.rooms import draw_room
from tests.generator.sessions import Soundscape
from tests.generator.soundcraft import RATE_HZ, Chance, Sound, add, coloured, hump, level, slow
from tests.generator.voices import speech

PHONES = ("plain", "aac", "codec", "narrow", "clipped", "gain")


def draw_sniffing(
    seed: int,
    *,
    length_s: float = 30.0,
    breath_db: float | None = 12.0,
    click_db: float | None = 30.0,
    events: tuple[str, ...] = tuple(EVENTS),
    events_a_minute: float = 6.0,
    talk: float = 0.0,
    rubs_a_minute: float = 2.0,
    bed: str | None = None,
    bed_db: float = 6.0,
    pants: int = 2,
    phone: str = "plain",
) -> Soundscape:
    """A session of sniffing at the box and panting beside it, at stated levels (None: there is none).

    ``talk``: share of the time somebody speaks, about as loud as the background. ``rubs_a_minute``: cloth
    and hands on the phone or the box. ``bed_db``: RMS of the bed over the background, all frequencies.
    ``phone``: one of `PHONES`.
    """
    chance = np.random.default_rng(seed)
    length = int(length_s * RATE_HZ)
    scape = Soundscape(np.zeros(length), clicker=draw_clicker(chance), room=draw_room(chance))
    background = coloured(chance, length, chance.uniform(0, 6)) * slow(chance, length, 0.3, 1.5)
    background *= 1.0 / level(background, 1000, 16_000)
    sniffed, panted, clicks, others = (np.zeros(length) for _ in range(4))
    if breath_db is not None:
        _bouts(chance, scape, sniffed, clicks, length_s, has_clicks=click_db is not None)
    for _ in range(pants):
        _pants(chance, scape, panted, length_s)
    loud = 10.0 if click_db is None else _loudness(chance, scape.clicker, click_db)
    _around(chance, others, events, events_a_minute, max(loud, 10.0))
    _rubs(chance, others, rubs_a_minute)
    _talk(chance, others, talk)
    breaths = (sniffed + panted) * _breath_scale(scape, sniffed, background, breath_db)
    room = scape.room if scape.room is not None else np.ones(1)
    near = room.copy()
    near[1:] *= chance.uniform(0.2, 1.0)
    near = np.asarray(fftconvolve(near, _box(chance.spawn(1)[0])))
    wet = fftconvolve(clicks * loud + others, room)[:length] + fftconvolve(breaths, near)[:length]
    if bed is not None:
        laid = BEDS[bed](chance, length)
        size = np.abs(laid).max() / 4 if bed == "ticking" else np.sqrt(np.mean(laid**2))
        wet = wet + laid / (size + 1e-12) * 10 ** (bed_db / 20) * np.sqrt(np.mean(background**2))
    sound = np.asarray(wet + background)
    sound *= 0.5 * chance.uniform(0.3, 1.0) / np.abs(sound).max()
    scape.sound = through_phone(chance, sound, phone)
    scape.marks_s.sort()
    return scape


def _box(chance: Chance) -> Sound:
    """What the box adds to breath inside it: a short dense tail, mostly gone within a tenth of a second."""
    time_s = np.arange(int(0.15 * RATE_HZ)) / RATE_HZ
    tail = coloured(chance, time_s.size, chance.uniform(-1, 4)) * np.exp(
        -time_s / chance.uniform(0.004, 0.03)
    )
    tail *= 10 ** (chance.uniform(-18, 3) / 20) / np.sqrt(np.sum(tail**2))
    tail[0] = 1.0
    return np.asarray(tail)


def _breath_scale(scape: Soundscape, sniffed: Sound, background: Sound, breath_db: float | None) -> float:
    """What brings the bouts to their level; panting without sniffing stands 15 dB over the background."""
    quiet = level(background, 1000, 8000)
    if breath_db is None or not scape.bouts:
        return 10 ** (15 / 20) * quiet
    parts = [sniffed[int(a * RATE_HZ) : int(b * RATE_HZ)] for a, b in scape.bouts]
    return float(10 ** (breath_db / 20) * quiet / max(level(np.concatenate(parts), 1000, 8000), 1e-9))


def _bouts(
    chance: Chance, scape: Soundscape, into: Sound, clicks: Sound, length_s: float, *, has_clicks: bool
) -> None:
    dog, at_s = draw_dog(chance), chance.uniform(0.3, 2.5)
    while at_s < length_s - 3.5:
        sound, inhales = breath(chance, dog, bout_s := chance.uniform(0.5, 3.2))
        add(into, sound * 10 ** (1.5 * chance.standard_normal() / 20), at_s)
        scape.inhales += [(at_s + a, at_s + b) for a, b in inhales]
        scape.bouts.append((at_s, at_s + inhales[-1][1]))
        if has_clicks and chance.random() < 0.8:
            _press(chance, scape, clicks, at_s + bout_s * chance.uniform(0.4, 1.05))
        at_s += bout_s + chance.choice([chance.uniform(0.3, 0.7), chance.uniform(1.0, 5.0)])


def _loudness(chance: Chance, clicker: Clicker | None, click_db: float) -> float:
    if clicker is None:
        return 0.0
    return 10 ** (click_db / 20) / float(np.sqrt(np.mean(clicker.snap(chance)[: int(0.005 * RATE_HZ)] ** 2)))


def _press(chance: Chance, scape: Soundscape, into: Sound, at_s: float) -> None:
    """A mark: the snap of the press, and mostly that of the release."""
    if scape.clicker is None:
        return
    add(into, scape.clicker.snap(chance), at_s)
    scape.marks_s.append(at_s)
    if scape.clicker.double:
        released_s = at_s + float(np.clip(scape.clicker.spacing_s * chance.uniform(0.85, 1.15), 0.06, 0.38))
        add(into, scape.clicker.snap(chance, release=True), released_s)
        scape.releases_s.append(released_s)


def _pants(chance: Chance, scape: Soundscape, into: Sound, length_s: float) -> None:
    """One bout of panting where nobody sniffs or pants, mostly right before or after sniffing."""
    bout_s, gap_s = chance.uniform(1.0, 3.5), chance.uniform(0.15, 0.6)
    free = [chance.uniform(0.3, max(length_s - bout_s - 0.8, 0.4))]
    for start, end in scape.bouts:
        free += [end + gap_s + 0.15, start - gap_s - bout_s - 0.4]
    taken = [*scape.bouts, *scape.pants]
    at = [
        at_s for at_s in free
        if 0.1 < at_s < length_s - bout_s - 0.6
        and all(at_s + bout_s + 0.3 < a or at_s > b + 0.12 for a, b in taken)
    ]  # fmt: skip
    if not at:
        return
    at_s = float(chance.choice(at))
    sound, inhales = breath(chance, draw_dog(chance), bout_s, pant=True)
    add(into, sound * 10 ** (chance.uniform(-6, 5) / 20), at_s)
    scape.pants.append((at_s, at_s + max(inhales[-1][1], bout_s)))


def _around(chance: Chance, into: Sound, kinds: tuple[str, ...], a_minute: float, loud: float) -> None:
    length_s = into.size / RATE_HZ
    for _ in range(chance.poisson(a_minute * length_s / 60) if kinds else 0):
        sound = EVENTS[str(chance.choice(kinds))](chance)
        peak = loud * 10 ** (chance.uniform(-22, 4) / 20)
        add(into, sound / np.abs(sound).max() * peak, chance.uniform(0, length_s))


def _talk(chance: Chance, into: Sound, share: float) -> None:
    at_s, length_s = chance.uniform(0, 3), into.size / RATE_HZ
    while share > 0 and at_s < length_s:
        words = speech(chance, chance.uniform(0.8, 3.0))
        words *= 10 ** (chance.uniform(-6, 8) / 20) / np.sqrt(np.mean(words**2))
        add(into, words, at_s)
        at_s += words.size / RATE_HZ / share * chance.uniform(0.6, 1.4)


def _rubs(chance: Chance, into: Sound, a_minute: float) -> None:
    """Handling: cloth and hands, uneven rushing noise, once or to and fro."""
    length_s = into.size / RATE_HZ
    for _ in range(chance.poisson(a_minute * length_s / 60)):
        at_s = chance.uniform(0, length_s)
        for _ in range(int(chance.integers(1, 5))):
            length = int(chance.uniform(0.06, 0.7) * RATE_HZ)
            rub = coloured(chance, length, chance.uniform(1, 8)) * slow(chance, length, 12, 8)
            rub *= hump(length, chance.uniform(0.3, 1.2), chance.uniform(0.6, 1.4))
            add(into, rub * 10 ** (chance.uniform(0, 24) / 20), at_s)
            at_s += length / RATE_HZ * chance.uniform(0.9, 1.8)
