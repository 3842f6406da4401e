"""Sessions made of invented sounds, with the truth known: clickers, rooms, dogs' breath, and disturbance.

Conventions
-----------
48 kHz mono. Everything is drawn from the generator handed in: one seed, one session. ``click_db`` is the
level of the first 5 ms of the direct snap over the steady background, 1 to 16 kHz; ``breath_db`` the level of
a bout over it, 1 to 8 kHz. No recording is used. Seeds below 10,000 are for learning settings (the recipe in
``benchmarks``), from 10,000 on for judging them.
"""

from dataclasses import dataclass, field

import numpy as np
from scipy.signal import oaconvolve
from tests.generator.breaths import Dog, breath, draw_dog
from tests.generator.clickers import Clicker, draw_clicker
from tests.generator.noises import BEDS, EVENTS, event
from tests.generator.rooms import draw_room, elsewhere
from tests.generator.soundcraft import RATE_HZ, Chance, Sound, add, coloured, level, slow


@dataclass(slots=True)
class Soundscape:
    """A session and its truth.

    ``inhales`` and ``bouts`` in seconds; ``pants`` are bouts of panting; ``others`` what disturbed, and when.
    """

    sound: Sound
    marks_s: list[float] = field(default_factory=list)
    releases_s: list[float] = field(default_factory=list)
    inhales: list[tuple[float, float]] = field(default_factory=list)
    bouts: list[tuple[float, float]] = field(default_factory=list)
    pants: list[tuple[float, float]] = field(default_factory=list)
    others: list[tuple[float, float, str]] = field(default_factory=list)
    clicker: Clicker | None = None
    room: Sound | None = None
    click_scale: float = 0.0
    hand: Chance | None = None


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
    moving: bool = False,
    chatter_db: float | None = None,
) -> Soundscape:
    """A box session of a few reps over a background, at stated levels (None: there is none).

    ``bed_db``: level of the bed (rain, fire, a clock ...) over the background, all frequencies: its RMS, or
    its peaks for a clock. ``start_block``: two quiet seconds, then four marks one second apart. ``moving``:
    the clicker is in a hand that moves, no two snaps go the same way through the room. ``chatter_db``:
    somebody talks a third of the time, at this level over the background.
    """
    chance = np.random.default_rng(seed)
    length = int(length_s * RATE_HZ)
    scape = Soundscape(np.zeros(length), clicker=clicker or draw_clicker(chance), room=draw_room(chance))
    background = coloured(chance, length, chance.uniform(2, 5)) * slow(chance, length, 0.3, 1.5)
    background *= 1.0 / level(background, 1000, 16_000)
    if moving:
        scape.hand = np.random.default_rng([seed, 1])
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
    _events(chance, scape, others, events, events_a_minute, length_s, quiet_s, max(click_scale, 10.0))
    room = scape.room if scape.room is not None else np.ones(1)
    near = room.copy()
    near[1:] *= 0.5  # the phone is nearer to the box than to the rest
    wet = clicks * click_scale + np.asarray(oaconvolve(others, room)[:length])
    if chatter_db is not None:
        wet += _chatter(np.random.default_rng([seed, 2]), scape, length, quiet_s) * 10 ** (chatter_db / 20)
    wet += np.asarray(oaconvolve(breaths * breath_scale, near)[:length])
    if bed is not None:
        laid = BEDS[bed](chance, length)
        size = np.abs(laid).max() / 4 if bed == "ticking" else np.sqrt(np.mean(laid**2))
        wet = wet + laid / (size + 1e-12) * 10 ** (bed_db / 20) * np.sqrt(np.mean(background**2))
    scape.sound = wet + background
    scape.sound *= 0.5 * chance.uniform(0.3, 1.0) / np.abs(scape.sound).max()
    scape.marks_s.sort()
    scape.click_scale = click_scale
    return scape


def calibration(seed: int, scape: Soundscape, *, clicks: int = 4, moved: bool = False) -> Sound:
    """A short recording of a session's clicker in its room: some quiet, then clicks about one a second.

    ``moved``: the phone stands elsewhere in the room than in the session.
    """
    chance = np.random.default_rng(seed)
    room = scape.room if scape.room is not None else np.ones(1)
    if moved:
        room = elsewhere(np.random.default_rng([seed, 3]), room)
    alone = Soundscape(np.zeros(0), clicker=scape.clicker, room=room)
    sound = np.zeros(int((clicks + 2.5) * RATE_HZ))
    for number in range(clicks):
        _click(chance, alone, sound, 1.2 + number + 0.1 * chance.uniform(-1, 1))
    sound *= scape.click_scale
    background = coloured(chance, sound.size, 3.0)
    sound += background / level(background, 1000, 16_000)
    return sound * 0.4 / float(np.abs(sound).max())


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
    add(clicks, _in_the_room(scape, clicker.snap(chance) * level_now), at_s)
    scape.marks_s.append(round(at_s * RATE_HZ) / RATE_HZ)
    if clicker.double and chance.random() < 0.97:
        spacing_s = clicker.spacing_s * np.exp(clicker.spacing_sd * chance.standard_normal())
        released = (
            clicker.snap(chance, release=True) * level_now * 10 ** (1.5 * chance.standard_normal() / 20)
        )
        after_s = float(np.clip(spacing_s, 0.06, 0.38))
        add(clicks, _in_the_room(scape, released), at_s + after_s)
        scape.releases_s.append(at_s + after_s)


def _in_the_room(scape: Soundscape, sound: Sound) -> Sound:
    if scape.room is None:
        return sound
    room = scape.room if scape.hand is None else elsewhere(scape.hand, scape.room)
    return np.asarray(oaconvolve(sound, room))


def _chatter(chance: Chance, scape: Soundscape, length: int, from_s: float) -> Sound:
    """Speech for a third of the time, RMS about 1 above 1 kHz while it lasts."""
    sound, length_s = np.zeros(length), length / RATE_HZ
    left_s = length_s / 3
    while left_s > 0:
        said = event(chance, "speech")
        add(sound, said / max(level(said, 1000, 16_000), 1e-9), at_s := chance.uniform(from_s, length_s))
        scape.others.append((at_s, at_s + said.size / RATE_HZ, "chatter"))
        left_s -= said.size / RATE_HZ
    return sound


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
    scape: Soundscape,
    into: Sound,
    kinds: tuple[str, ...],
    a_minute: float,
    length_s: float,
    from_s: float,
    loud: float,
) -> None:
    for _ in range(chance.poisson(a_minute * length_s / 60) if kinds else 0):
        kind = str(chance.choice(kinds))
        sound = event(chance, kind)
        sound = sound / np.abs(sound).max() * loud * 10 ** (chance.uniform(-18, 4) / 20)
        add(into, sound, at_s := chance.uniform(from_s, length_s))
        scape.others.append((at_s, at_s + sound.size / RATE_HZ, kind))


def _bout_level(scape: Soundscape, breaths: Sound) -> float:
    parts = [breaths[int(a * RATE_HZ) : int(b * RATE_HZ)] for a, b in scape.bouts]
    return level(np.concatenate(parts), 1000, 8000) if parts else 0.0
