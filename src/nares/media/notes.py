"""The plain sentences of a decode report: one rule, one function, nothing said of what is in order."""

from collections.abc import Iterator

from nares.media.header import Header
from nares.media.report import PictureTally, SoundTally

EARLY_S = 0.5
EARLY_SHARE = 0.01
STREAM_EARLY_S = 1.0
SLOW_PER_S = 100.0
STRETCHED = 0.2


def notes_on(header: Header, pictures: PictureTally, sound: SoundTally) -> tuple[str, ...]:
    """Everything odd about a recording, in the order in which a reader should know it."""
    read_s = max(pictures.end_s, sound.end_s)
    return (
        *_missing(header),
        *_early(header.declared_s, read_s),
        *_one_ends_early(header, pictures, sound, read_s),
        *_damaged(pictures, sound),
        *_sound_clock(header, sound),
        *_speed(header, pictures),
    )


def _missing(header: Header) -> Iterator[str]:
    for name in header.undecodable:
        yield f"the {name} cannot be decoded here"
    if header.audio is None and "sound" not in header.undecodable:
        yield "no sound"
    if header.video is None and "pictures" not in header.undecodable:
        yield "no pictures"
    if header.sound_tracks > 1:
        yield f"{header.sound_tracks} sound tracks: the first that can be decoded is used"


def _early(declared_s: float | None, read_s: float) -> Iterator[str]:
    if declared_s and declared_s - read_s > max(EARLY_S, EARLY_SHARE * declared_s):
        yield f"the file ends early: {read_s:.1f} s of {declared_s:.1f} s could be read"


def _one_ends_early(
    header: Header, pictures: PictureTally, sound: SoundTally, read_s: float
) -> Iterator[str]:
    if header.video is None or header.audio is None:
        return
    for name, end_s in (("pictures end", pictures.end_s), ("sound ends", sound.end_s)):
        if read_s - end_s > STREAM_EARLY_S:
            yield f"the {name} at {end_s:.1f} s of {read_s:.1f} s"


def _damaged(pictures: PictureTally, sound: SoundTally) -> Iterator[str]:
    for count, name in ((pictures.corrupt, "pictures"), (sound.corrupt, "sound")):
        if count:
            yield f"{count} damaged {'piece' if count == 1 else 'pieces'} of {name}"
    if pictures.without_time:
        yield f"{pictures.without_time} pictures without a believable time were left out"


def _sound_clock(header: Header, sound: SoundTally) -> Iterator[str]:
    if sound.gaps:
        places = "one place" if sound.gaps == 1 else f"{sound.gaps} places"
        yield f"sound is missing for {sound.missing_s:.2f} s in {places}"
    if sound.clock_jumps:
        yield "the sound's time stamps leap: times after the leap are counted on"
    if not header.priming_stated:
        yield "the file does not say where its sound starts: times may be up to 0.05 s off"


def _speed(header: Header, pictures: PictureTally) -> Iterator[str]:
    if pictures.uneven:
        yield f"variable frame rate: {_spread(pictures)}"
    if header.edit_rates:
        yield _edited(header.edit_rates)
    shown, taken = pictures.per_s or header.stated_per_s, header.capture_per_s
    if shown and taken and abs(taken / shown - 1) > STRETCHED:
        yield _stretched(taken, shown)
    elif shown and shown > SLOW_PER_S:
        yield f"{shown:.0f} pictures a second: a phone may slow this down, times here are those of the file"


def _edited(rates: tuple[float, ...]) -> str:
    speeds = " and ".join(f"{rate:g}" for rate in rates)
    kind = "slow motion" if min(rates) < 1 else "time lapse"
    return (
        f"{kind}: the file asks to be played in places at {speeds} of its speed; "
        "times here are those of the pictures as they were filmed"
    )


def _stretched(taken: float, shown: float) -> str:
    kind, change = ("slow motion", "longer") if taken > shown else ("time lapse", "shorter")
    times = max(taken / shown, shown / taken)
    return (
        f"{kind}: taken at {taken:.0f} pictures a second and played at {shown:.0f}, "
        f"so times here are {times:.1f} times {change} than they were"
    )


def _spread(pictures: PictureTally) -> str:
    common = sorted(ms for ms, n in pictures.spacing_ms.items() if n)
    return f"{common[0]} to {common[-1]} ms between pictures"
