"""How far two observers agree: in one session, or over all sessions both have looked at.

Conventions
-----------
Observers are ``machine`` (the reading as it was made), ``standing`` (with everybody's corrections; only where
somebody corrected) and people by name (what each marked from an empty sheet). Nothing stored is changed.
"""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from nares.app.desk import Desk
from nares.app.sessions import CONFIDENCE
from nares.app.standing import MACHINE, STANDING, LanesAs, lanes_as, own_sheets, timeline_of
from nares.base.errors import Unknown
from nares.base.vocab import MeasuredRep
from nares.measure.agreement.compare import compare
from nares.measure.agreement.found import Agreement as Agreement  # shown as it was compared
from nares.measure.agreement.sheets import HeldRep, Sheet, TwoSheets, sheet_of
from nares.measure.reps import assemble_reps
from nares.measure.sound.breath import bouts_of
from nares.report.agreement_plots import Difference, difference_svg

PLOTTED = ("mark", "nose_in", "hold", "mark_delay")
"""What is drawn: what coaching and calls rest on; the rest stands in the tables."""
NAMES = {MACHINE: "the machine", STANDING: "what stands, with corrections"}


@dataclass(frozen=True, slots=True)
class Observer:
    """Somebody who has seen sessions. ``whose``: as in an address; ``sessions``: how many of those here."""

    whose: str
    name: str
    sessions: int


@dataclass(frozen=True, slots=True)
class DifferencePlot:
    """A plot of differences against their mean. ``of``: an event or a value of the comparison."""

    of: str
    svg: str


@dataclass(frozen=True, slots=True)
class AgreementPage:
    """Two observers compared. ``session`` and ``dog``: what it was narrowed to.

    ``read``: sessions with a reading. ``compared``: those both observers have. ``why_none``: a sentence where
    there is nothing to compare. ``anchored``: one of the two began from the other's events.
    """

    session: str | None
    dog: str | None
    first: str
    second: str
    observers: tuple[Observer, ...]
    read: int
    compared: tuple[str, ...]
    agreement: Agreement | None
    plots: tuple[DifferencePlot, ...]
    why_none: str
    anchored: bool
    confidence: float


def agreement_page(
    desk: Desk, *, session: str | None = None, dog: str | None = None, first: str = "", second: str = ""
) -> AgreementPage:
    """Compare two observers over one session, one dog's sessions, or all.

    Args:
        desk: Where the record is.
        session: One session; all when None.
        dog: Only this dog's sessions.
        first: One observer; the machine when empty.
        second: The other; what stands where somebody corrected, else the first person with a sheet.

    Raises:
        Unknown: If there is no such session or dog, or nobody of that name has a sheet here.
    """
    seen = _observers(desk, session, dog)
    counted = Counter({MACHINE: 0, STANDING: 0})
    counted.update(whose for found in seen.values() for whose in found)
    one, other = first or MACHINE, second or _usual(counted, first or MACHINE)
    _require_known(counted, [name for name in (first, second) if name])
    both = [name for name, found in seen.items() if one in found and other in found and one != other]
    agreement = None
    if both:
        pairs = [_two_sheets(desk, name, one, other) for name in both]
        agreement = compare(pairs, confidence=CONFIDENCE)
    return AgreementPage(
        session=session,
        dog=dog,
        first=one,
        second=other,
        observers=tuple(Observer(whose, _name(whose), count) for whose, count in counted.items()),
        read=counted[MACHINE],
        compared=tuple(both),
        agreement=agreement,
        plots=_plots(agreement),
        why_none="" if both else _why_none(session, counted, one, other),
        anchored=STANDING in (one, other) and MACHINE in (one, other),
        confidence=CONFIDENCE,
    )


def sheet_as(desk: Desk, session: str, whose: str) -> tuple[Sheet, float]:
    """One observer's sheet of a session, and how long the recording is.

    Raises:
        Unknown: If that observer has none.
    """
    shared = whose in (MACHINE, STANDING)
    timeline = timeline_of(desk, session, corrected=whose == STANDING) if shared else None
    lanes = lanes_as(desk, session, whose) if timeline is None else timeline.lanes
    reps = _reps_of(lanes) if timeline is None else timeline.reps
    sheet = sheet_of(_name(whose), lanes.marks, lanes.inhales, lanes.nose_in, lanes.hand_in, held_reps(reps))
    return sheet, lanes.duration_s


def held_reps(reps: Sequence[MeasuredRep]) -> tuple[HeldRep, ...]:
    """The reps in which a nose was seen to go in."""
    return tuple(
        HeldRep(rep.nose_in_s, rep.hold_s, rep.mark_delay_s) for rep in reps if rep.nose_in_s is not None
    )


def _observers(desk: Desk, session: str | None, dog: str | None) -> dict[str, list[str]]:
    """For each session with a recording: who has seen it."""
    if dog is not None:
        desk.store.dog(dog)
    names = [session] if session is not None else [one.session for one in desk.store.sessions(dog)]
    found: dict[str, list[str]] = {}
    for name in names:
        seen = list(own_sheets(desk, name))
        readings = desk.store.readings_of(name)
        if readings:
            corrected = any(one.reading == readings[-1] for one in desk.store.corrections_of(name))
            seen = [MACHINE, *([STANDING] if corrected else []), *seen]
        found[name] = seen
    return found


def _usual(counted: Counter[str], first: str) -> str:
    """Whom to hold the first against: what stands where somebody corrected, else whoever has a sheet."""
    others = [whose for whose, count in counted.items() if count and whose not in (first, MACHINE)]
    return STANDING if STANDING in others or not others else others[0]


def _require_known(counted: Counter[str], asked: Sequence[str]) -> None:
    for name in asked:
        if name not in counted:
            known = ", ".join(whose for whose in counted if whose not in (MACHINE, STANDING)) or "nobody yet"
            raise Unknown(f"{name} has no sheet of their own here. Those who have: {known}.")


def _two_sheets(desk: Desk, session: str, one: str, other: str) -> TwoSheets:
    first, duration_s = sheet_as(desk, session, one)
    second, _ = sheet_as(desk, session, other)
    return TwoSheets(session, first, second, duration_s)


def _reps_of(lanes: LanesAs) -> tuple[MeasuredRep, ...]:
    """Reps of a sheet marked by hand; none without a lane of the nose."""
    if lanes.nose_in is None:
        return ()
    return assemble_reps(
        marks=lanes.marks or (),
        inhales=lanes.inhales,
        bouts=None if lanes.inhales is None else bouts_of(list(lanes.inhales)),
        nose_in=lanes.nose_in,
        hand_in=lanes.hand_in,
        duration_s=lanes.duration_s,
    )


def _name(whose: str) -> str:
    return NAMES.get(whose, whose)


def _why_none(session: str | None, counted: Counter[str], one: str, other: str) -> str:
    where = "this session" if session else "any of these sessions"
    if one == other:
        return "Choose two different observers."
    if not any(counted.values()):
        return f"Nothing was measured in {where} and nobody marked it. Add a recording first."
    if STANDING in (one, other) and not counted[STANDING]:
        return (
            f"Nobody has corrected {where} yet, so there is nothing to hold the machine against. Open the "
            "session's timeline and put right what is wrong, or mark a sheet of your own without seeing "
            "the reading."
        )
    return (
        f"{_name(one)} and {_name(other)} have not both looked at {where}. "
        "Choose another pair, or mark what is missing."
    )


def _plots(agreement: Agreement | None) -> tuple[DifferencePlot, ...]:
    if agreement is None:
        return ()
    told = [(event.event, event.timing, event.pairs) for event in agreement.events]
    told += [(value.value, value.timing, value.pairs) for value in agreement.values]
    return tuple(
        DifferencePlot(
            of,
            difference_svg(
                [Difference(pair.mean_s, pair.difference_s) for pair in pairs],
                what=of.replace("_", " "),
                observers=(agreement.first, agreement.second),
                bias_s=timing.bias.value,
                lower_s=timing.lower.value,
                upper_s=timing.upper.value,
                along="of the two" if of in ("hold", "mark_delay") else "in the recording",
            ),
        )
        for of, timing, pairs in told
        if timing is not None and of in PLOTTED
    )
