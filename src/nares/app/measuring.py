"""One session through decoder, ear, eye and rep assembler, in one pass over the file."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from importlib.metadata import version
from pathlib import Path
from typing import cast, get_args

from nares import __version__
from nares.app.beside import hear_beside
from nares.base.errors import Unusable, WrongUse
from nares.base.vocab import Reading, RecordingFacts, Region
from nares.measure.inputs import SoundBlock
from nares.measure.picture.eye import Eye, Watched
from nares.measure.picture.stir import Stir
from nares.measure.reps import assemble_reps
from nares.measure.skew import Skew, skew_of
from nares.measure.sound.clicker import learn_clicker
from nares.measure.sound.ear import Ear, Marker, Print
from nares.measure.sound.heard import Heard
from nares.measure.sound.whistle import learn_whistle
from nares.measure.sound.word_print import learn_word
from nares.media import Joined, open_parts, open_recording
from nares.media.recording import Recording

Progress = Callable[[float, str], None]

ANALYSER = "2"
"""Counts up whenever the same recording would be read differently."""
FIRST_SHARE = 0.9
"""Of the work on two phones' recordings, how much is the first one's: only its pictures are looked at."""


def measure_recording(
    path: Path,
    *,
    front: Region | None = None,
    side: Region | None = None,
    clicker: Path | None = None,
    marker: str = "click",
    then: Sequence[Path] = (),
    beside: Path | None = None,
    progress: Progress | None = None,
) -> Reading:
    """Measure one session: a recording, or several that follow one another, or two phones' recordings of it.

    Args:
        path: The recording as it came from the phone.
        front: Around the front (nose) opening, as fractions of the picture.
        side: Around the side (hand) opening, as fractions of the picture.
        clicker: A short recording of this clicker or whistle in this room, or of the marker word said
            three to ten times with pauses.
        marker: ``click``, ``whistle`` or ``word``.
        then: The recordings that follow the first one, in order; the regions are those of the first.
        beside: Another phone's recording of the session, heard in place of this one where that is better.
        progress: Told how much is done, 0 to 1, and what is being done.

    Raises:
        Unusable: If the file cannot be read, or regions are given and it has no pictures.
        WrongUse: If the marker is not one that can be listened for, or a recording is named twice.
    """
    say = progress or _unheard
    first = 1.0 if beside is None else FIRST_SHARE
    _require_other(beside, (path, *then))
    known = None if clicker is None else _learn(clicker, _marker(marker))
    with open_parts((path, *then)) as recording:
        _require_pictures(recording, front, side)
        ear = Ear(marker=_marker(marker), clicker=known)
        eye, stir = Eye(front, side), Stir()
        looking = front is not None or side is not None
        doing = "listening and looking" if looking else "listening"
        pieces = recording.play(
            pictures=looking,
            sight=lambda: None if stir.looking else eye.sight(),
            progress=lambda done: say(first * done, doing),
        )
        for piece in pieces:
            if isinstance(piece, SoundBlock):
                ear.hear(piece)
            else:
                eye.see(piece)
                stir.see(piece)
        say(first, "putting reps together")
        watched = eye.finish() if looking else None
        heard, facts = ear.finish(), recording.facts()
    if then and looking:
        facts = replace(facts, notes=(*facts.notes, _SAME_PLACE))
    if beside is not None:
        other = Ear(marker=_marker(marker), clicker=known)
        heard, told, said = hear_beside(
            beside, heard, other, lambda done: say(first + (1 - first) * done, "listening to the other phone")
        )
        facts = replace(facts, beside=told, notes=(*facts.notes, said))
    skew = skew_of(stir.finish(), heard.start_block)
    return _reading(facts, heard, watched, skew, front is not None, side is not None)


_SAME_PLACE = (
    "the regions were drawn on the first part: they hold for the others if the phone stayed where it was"
)


def _reading(
    facts: RecordingFacts, heard: Heard, watched: Watched | None, skew: Skew | None, front: bool, side: bool
) -> Reading:
    """Join what was heard and seen to reps, and every note to one list. What was not looked at is None."""
    nose_in = watched.nose_in if watched and front else None
    hand_in = watched.hand_in if watched and side else None
    reps = assemble_reps(
        marks=heard.marks,
        inhales=heard.inhales if heard.breath_measurable else None,
        bouts=heard.bouts if heard.breath_measurable else None,
        nose_in=nose_in,
        hand_in=hand_in,
        duration_s=facts.duration_s,
        lost=watched.lost if watched else (),
        doubtful_marks=heard.doubtful_marks,
        start_block_s=heard.start_block,
        skew_s=skew.skew_s if skew else None,
        skew_within_s=skew.within_s if skew else None,
    )
    notes = (
        *facts.notes,
        *heard.notes,
        *(watched.notes if watched else ()),
        *_skew_notes(skew, heard, looked=watched is not None),
    )
    return Reading(
        replace(facts, notes=notes),
        heard.marks,
        heard.inhales,
        nose_in or (),
        hand_in or (),
        reps,
        bouts=heard.bouts,
        doubtful_marks=heard.doubtful_marks,
        lost=watched.lost if watched else (),
        start_block_s=heard.start_block,
        skew_s=skew.skew_s if skew else None,
        skew_within_s=skew.within_s if skew else None,
    )


def _skew_notes(skew: Skew | None, heard: Heard, *, looked: bool) -> tuple[str, ...]:
    """What the start block showed of the distance between sound and picture."""
    if not heard.start_block:
        return ()
    said = "The four marks at the start are no reps."
    if not looked:
        return (said,)
    if skew is None:
        return (f"{said} No hand was seen to move with them: sound against picture is not known.",)
    ms, within_ms = round(1000 * skew.skew_s), round(1000 * skew.within_s)
    if skew.is_plain:
        return (f"{said} The picture is {ms:+d} ms after the sound (within {within_ms} ms): taken out.",)
    return (f"{said} Sound and picture agree ({ms:+d} ms, within {within_ms} ms).",)


def _require_other(beside: Path | None, paths: Sequence[Path]) -> None:
    if beside is not None and beside.exists() and any(p.exists() and beside.samefile(p) for p in paths):
        raise WrongUse(f"{beside.name} cannot stand beside itself. Name the other phone's recording.")


def _require_pictures(recording: Recording | Joined, front: Region | None, side: Region | None) -> None:
    if recording.header.video is None and (front or side):
        raise Unusable(
            f"{recording.path.name} has no pictures to look at in these regions. Leave the regions out, "
            "or give the recording with pictures."
        )


def _marker(marker: str) -> Marker:
    """Check the word for the marker."""
    known = get_args(Marker)
    if marker not in known:
        raise WrongUse(f"{marker!r} is no marker that can be listened for. Say {' or '.join(known)}.")
    return cast(Marker, marker)


def _learn(clicker: Path, marker: str) -> Print:
    """Learn how this clicker, whistle or word sounds in this room from a short recording of it."""
    learn: dict[str, Callable[[Iterable[SoundBlock]], Print]] = {
        "click": learn_clicker,
        "whistle": learn_whistle,
        "word": learn_word,
    }
    with open_recording(clicker) as recording:
        return learn[marker](
            piece for piece in recording.play(pictures=False) if isinstance(piece, SoundBlock)
        )


def made_with() -> dict[str, str]:
    """The versions a reading depends on, to be kept beside it."""
    return {
        "nares": __version__,
        "analyser": ANALYSER,
        **{name: version(name) for name in ("av", "numpy", "scipy")},
    }


def _unheard(done: float, doing: str) -> None:
    """Take progress where nobody asked for it."""
