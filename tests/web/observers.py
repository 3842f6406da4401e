"""Sample pages of agreement and marks, summed up from invented times by the parts themselves."""

from dataclasses import replace
from functools import cache

from tests.web import samples

from nares.app.agreement_page import AgreementPage, DifferencePlot, Observer
from nares.app.marks_page import MarkSeen, MarksLine, MarksPage
from nares.measure.agreement.compare import compare
from nares.measure.agreement.sheets import HeldRep, Sheet, TwoSheets
from nares.measure.marking.practice import practice_for
from nares.measure.marking.timing import timing_of

NOBODY = (
    "Nobody has corrected this session yet, so there is nothing to hold the machine against. Open the "
    "session's "
    "timeline and put right what is wrong, or mark a sheet of your own without seeing the reading."
)


@cache
def agreement() -> AgreementPage:
    starts = [1.0 + 2.0 * n for n in range(4)]
    reps = tuple(HeldRep(at, 0.9, 0.9) for at in starts)
    visits = tuple((at, at + 1.5) for at in starts)
    one = Sheet("the machine", tuple(at + 0.9 for at in starts), (), visits, (), reps)
    moved = tuple((at + 0.03, end) for at, end in visits)
    held = tuple(HeldRep(at + 0.03, 0.87 + 0.01 * n, 0.87) for n, at in enumerate(starts))
    other = Sheet(
        "what stands, with corrections", (*(at + 0.91 for at in starts[1:]), 9.4), (), moved, (), held
    )
    found = compare([TwoSheets(samples.SESSION, one, other, 10.0)], confidence=0.95)
    return AgreementPage(
        session=samples.SESSION,
        dog=None,
        first="machine",
        second="standing",
        observers=(
            Observer("machine", "the machine", 1),
            Observer("standing", "what stands, with corrections", 1),
            Observer("Tobias Reed", "Tobias Reed", 1),
        ),
        read=1,
        compared=(samples.SESSION,),
        agreement=found,
        plots=(DifferencePlot("mark", samples.plot("Differences in mark")),),
        why_none="",
        anchored=True,
        confidence=0.95,
    )


def over_sessions() -> AgreementPage:
    return replace(agreement(), session=None)


def nothing_to_compare() -> AgreementPage:
    empty = replace(agreement(), compared=(), agreement=None, plots=(), why_none=NOBODY, anchored=False)
    return replace(empty, observers=(Observer("machine", "the machine", 1),))


@cache
def marks() -> MarksPage:
    seen = tuple(_mark(n) for n in range(18))
    timing = timing_of(seen, confidence=0.95)
    return MarksPage(
        dog="",
        person="Ines Marlowe",
        since="",
        until="",
        dogs=("Bracken", "Samphire", "Teasel"),
        people=("Ines Marlowe", "Tobias Reed"),
        sessions=3,
        without_marks=0,
        set_aside=1,
        timing=timing,
        by_person=(MarksLine("Ines Marlowe", timing, practice_for(timing)),),
        by_dog=(MarksLine("Bracken", timing),),
        marks=seen,
        delays_svg=samples.plot("How soon marks fall after nose-in"),
        over_ask_svg=samples.plot("How soon marks fall after the ask"),
        phases_svg=samples.plot("Where in the sniff marks fall"),
        why_none="",
        confidence=0.95,
    )


def no_marks() -> MarksPage:
    said = "There is no session here yet. Choose another person, dog or period, or add a recorded session."
    empty = replace(marks(), timing=None, by_person=(), by_dog=(), marks=(), why_none=said)
    return replace(empty, delays_svg=None, over_ask_svg=None, phases_svg=None, sessions=0, set_aside=0)


def _mark(n: int) -> MarkSeen:
    measured = n % 6 != 5
    return MarkSeen(
        session=samples.SESSION,
        dog="Bracken",
        person="Ines Marlowe",
        rep=n + 1,
        at_s=1.9 + 0.1 * n,
        delay_s=0.9 + 0.02 * n if measured else None,
        over_ask_s=0.7 + 0.02 * (n % 5) if measured else None,
        after_intake_s=0.05 if measured else None,
        phase=0.2 + 0.03 * (n % 4) if measured else None,
        cycle_s=0.2 if measured else None,
        sniffing="yes" if measured else "unclear",
        inhaling="unclear",
        looked_at=n % 2 == 0,
    )
