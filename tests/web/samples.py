"""Realistic page values of the invented Saltmarsh Kennels, to show pages without a record."""

import hashlib
import json
from dataclasses import replace
from functools import cache

from nares.app import pages
from nares.app.card_values import CardFood, CardRep, CardSign, HandlerCard, SessionCard, StopRule
from nares.app.pages import (
    CallView,
    DogCard,
    DogPage,
    EntryLine,
    Evidence,
    PlannedRep,
    RecordingView,
    RecordPage,
    RepLine,
    SessionLine,
    SessionPage,
    StepView,
    TodayPage,
    Verification,
)
from nares.base.vocab import Mark, MeasuredRep, Reading, RecordingFacts, Rep, Span

SHA = hashlib.sha256(b"a film of Bracken").hexdigest()
HEAD = hashlib.sha256(b"the newest entry").hexdigest()
STARTED = "2026-03-14T08:30:00.000Z"
SESSION = "Bracken-2026-03-14"
EVIDENCE = Evidence(reps=15, met=13, rate=13 / 15, low=0.6212, high=0.9626, confidence=0.95, sessions=2)
STEPS = (
    ("nose-in", "Nose in the box", "nothing yet", "Putting the nose in makes food come."),
    ("hand-inside", "Hand inside, pay at source", "hold", "Food comes to the nose, at the source."),
    ("hand-side", "Hand at the side opening", "where the hand is", "A hand nearby changes nothing."),
    ("hand-front", "Hand as a temptation", "where the hand is", "Only the source pays, not the hand."),
    ("food-front", "Food in front of the dog", "food in sight", "Food in sight is paid at the source."),
    ("hold", "Longer hold", "hold", "Staying at the source makes food come."),
    ("disturbance", "Disturbance", "disturbance", "Noise and people change nothing."),
    ("distance", "Handler farther away", "distance", "The dog works where nobody stands by."),
    ("pay-away", "Pay away from the box", "place of pay", "Pay may come from elsewhere."),
)


def planned(step_ask_s: float = 1.5) -> tuple[PlannedRep, ...]:
    asks = (1.0, step_ask_s, 2.0, 1.2, 1.8, 1.0, 2.2, 1.6)
    return tuple(
        PlannedRep(n, ask_s, ask_s == 1.0, "side", "inside", 0.0, 1 if n % 4 == 0 else 0, "target")
        for n, ask_s in enumerate(asks, start=1)
    )


def call(what: str = "raise") -> CallView:
    because = {
        "raise": (
            "13 of the last 15 reps at this step met their ask.",
            "A dog that meets 60 in 100 would do that in fewer than 5 of 100 such runs.",
        ),
        "stay": (
            "4 of 6 reps met their ask; that fits a ready dog and one that is not.",
            "About 6 more reps will tell.",
        ),
        "ease": (
            "3 of 11 reps met their ask.",
            "A ready dog would do so badly in fewer than 2 of 100 such runs.",
        ),
        "stop": (
            "The dog left before the mark in 5 of the last 6 reps.",
            "Look at the dog before the next rep.",
        ),
    }[what]
    moves = what == "raise"
    return CallView(
        step="hand-side",
        step_name="Hand at the side opening",
        call=what,  # type: ignore[arg-type]
        evidence=EVIDENCE if moves else Evidence(6, 4, 2 / 3, 0.2993, 0.9251, 0.95, 1),
        next_step="hand-front" if moves else "hand-side",
        next_step_name="Hand as a temptation" if moves else "Hand at the side opening",
        because=because,
        risk=("Two marks came before the nose was in; watch the box, not the hand.",)
        if what == "stay"
        else (),
        asks_s=tuple(rep.ask_s for rep in planned() if rep.ask_s) if what != "stop" else (),
        next_session=planned() if what != "stop" else (),
    )


STOPS = (
    StopRule("signs", "Signs of stress", "Stop at once, without one more rep: crouching, whining."),
    StopRule("vet", "To the vet at once", "A stuck head: open the box. To the veterinarian at once."),
    StopRule("end", "End on success", "The last rep is an easy one that is met and paid."),
)


def card_rep(n: int, *, last: int = 12) -> CardRep:
    """One rep of a card: the fourth and the ninth without target."""
    blank, easy = n in (4, 9), n in (1, 2, last)
    return CardRep(
        rep=n,
        ask_s=None if blank else 1.0 if easy else 1.4,
        easy=easy,
        hand="away",
        pay_place="away" if blank else "inside",
        distance_m=0.0,
        disturbance=0,
        source="distractor" if blank else "target",
        boxes=4,
        target_box=None if blank else 2,
        distractor_boxes=(1, 3),
        food_in_front=False,
        where="No target" if blank else "Target in box 2",
        others="Distractors in 1 and 3",
        deed="Going on is right: pay that, away from the box" if blank else "Hold 1.4 s, mark, pay inside it",
        rest_after=n == 6,
    )


def session_card(reps: int = 12) -> SessionCard:
    return SessionCard(
        dog="Bracken",
        kennel="Saltmarsh Kennels",
        day="2026-03-14",
        now="2026-03-14T17:05:00.000Z",
        programme="Box",
        step="distractors-2",
        step_name="Two distractors",
        teaches="Only the target is held.",
        call="raise",
        call_entry=40,
        conditions=(("Hand", "away"), ("Pay", "inside the box"), ("Boxes", "4")),
        reps=tuple(card_rep(n, last=reps) for n in range(1, reps + 1)),
        limited_by="session",
        notes=("One session pays out at most a third of the day's ration: 12 reps.",),
        stops=STOPS,
        signs=(CardSign(3, "Crouches"), CardSign(2, "Moves away")),
        food=CardFood("2026-03-14", 320.0, 1.5, 290.0, None, 1, 4, 2, 16, 12, "Mara Quill", STARTED, 39),
        warnings=("Session Bracken-2026-03-11 paid out more than a third of the day's ration.",),
        cautions=("Water between sets, always.",),
        taken=None,
        head_entry=41,
        head=HEAD,
        missing="" if reps else "Today's ration pays for no more reps.",
    )


def handler_card() -> HandlerCard:
    says = ("Where the target is, and in which reps there is one, is not on this card.",)
    conditions = (("Hand", "away"), ("Boxes", "4"))
    step = ("Two distractors", "Only it is held.")
    return HandlerCard("Bracken", "Saltmarsh Kennels", "2026-03-14", *step, conditions, says, STOPS)


def card(name: str = "Bracken", what: str | None = "raise", *, to_confirm: int = 3) -> DogCard:
    return DogCard(
        name=name,
        breed="Springer Spaniel",
        born="2024-05-02",
        programme="box",
        step_number=3,
        steps=len(STEPS),
        call=call(what) if what else None,
        last_session=SESSION if what or to_confirm else None,
        last_session_at=STARTED if what or to_confirm else None,
        to_confirm=to_confirm,
    )


def today(*cards: DogCard) -> TodayPage:
    return TodayPage("Saltmarsh Kennels", "2026-03-14T17:05:00.000Z", 41, HEAD, cards)


def full_today() -> TodayPage:
    return today(card(), card("Samphire", "stay", to_confirm=0), card("Teasel", "ease", to_confirm=0))


def line(*, to_confirm: int = 3, has_recording: bool = True) -> SessionLine:
    return SessionLine(
        SESSION,
        "Bracken",
        STARTED,
        "hand-side",
        "Hand at the side opening",
        2,
        1,
        0.0126,
        0.9874,
        to_confirm,
        has_recording,
    )


def dog() -> DogPage:
    steps = tuple(
        StepView(key, name, raises, teaches, _state(n), EVIDENCE if n < 3 else None)
        for n, (key, name, raises, teaches) in enumerate(STEPS)
    )
    earlier = replace(
        line(to_confirm=0, has_recording=False),
        session="Bracken-2026-03-11",
        reps=13,
        met=12,
        low=0.64,
        high=0.998,
    )
    points = tuple(
        pages.HoldPoint(t, 1 - t / 8, max(0, 0.8 - t / 5), min(1, 1.05 - t / 12))
        for t in (0.5, 1.0, 1.5, 2.0, 3.0)
    )
    hold = pages.HoldView(
        28,
        5,
        23,
        2.2,
        points,
        points,
        "Weibull",
        1.6,
        0.85,
        "Asks beyond 2.2 s were never tried at this step.",
    )
    lines = (line(), earlier)
    return DogPage(card(), steps, lines, hold, plot("Reps met"), plot("Holds"), risk(), sessions_total=2)


def risk() -> pages.RiskView:
    points = tuple(
        pages.RiskPoint(rate, up, 1 - up - 0.01, 0.01, 9.5)
        for rate, up in ((0.5, 0.01), (0.6, 0.049), (0.7, 0.22), (0.85, 0.80), (0.9, 0.92))
    )
    return pages.RiskView(
        ready=0.85,
        not_ready=0.60,
        false_raise=0.05,
        missed_raise=0.20,
        cap=40,
        points=points,
        raise_counts=((8, 8), (10, 11)),
        ease_counts=((0, 2), (2, 4)),
        habits=(pages.HabitRisk("8 of the last 10", 0.7679, 0.9999),),
        raises=27,
        over=0.74,
        each_for_fifth=0.0082,
        uneven=0.145,
        svg=plot("Chance of a raise"),
    )


def _state(n: int) -> str:
    return "passed" if n < 2 else "current" if n == 2 else "ahead"


def plot(title: str) -> str:
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 480 260" role="img"><title>{title}</title>'
        '<g class="plot-stroke-line" fill="none"><path d="M40 20 V220 H460"/></g>'
        '<path class="plot-stroke-second" fill="none" stroke-width="2" '
        'd="M60 200 L160 150 L260 110 L360 80 L440 60"/></svg>'
    )


@cache
def reading() -> Reading:
    reps = (*(_measured(n, 1.0 + 2.0 * (n - 1)) for n in range(1, 5)), _lone_mark(5, 9.4))
    inhales = tuple(
        Span(r.nose_in_s + 0.1 + 0.17 * k, r.nose_in_s + 0.18 + 0.17 * k, 0.86 if k % 3 else 0.55)
        for r in reps
        if r.nose_in_s
        for k in range(5)
    )
    return Reading(
        RecordingFacts(10.0, 25.0, SHA, ("video", "audio"), ("The frame rate varies a little.",)),
        tuple(Mark(r.mark_s, r.sure) for r in reps if r.mark_s),
        inhales,
        tuple(Span(r.nose_in_s, r.nose_out_s, 0.97) for r in reps if r.nose_in_s and r.nose_out_s),
        tuple(Span(r.pay_s, r.pay_s + 0.5, 0.72 if r.rep == 2 else 0.95) for r in reps if r.pay_s),
        reps,
    )


def _measured(n: int, start_s: float) -> MeasuredRep:
    return MeasuredRep(
        rep=n,
        nose_in_s=start_s,
        nose_out_s=start_s + 1.5,
        mark_s=start_s + 0.9,
        mark_delay_s=0.9,
        hold_s=0.9,
        ended_by="mark",
        inhales_before_mark=None if n == 2 else 4,
        sniffing_at_mark="yes",
        inhaling_at_mark="unclear",
        pay_s=start_s + 1.2,
        pay_delay_s=0.3,
        pay_place="inside",
        sure=0.62 if n == 2 else 0.96,
        notes=("Inhalations not counted: rain was louder than the breath.",) if n == 2 else (),
    )


def _lone_mark(n: int, mark_s: float) -> MeasuredRep:
    nothing = MeasuredRep(
        n, None, None, mark_s, None, None, "unknown", None, "no", "no", None, None, None, 0.58
    )
    return replace(nothing, notes=("A mark with no nose in the box.",))


def row(n: int) -> Rep:
    return Rep(
        "Bracken",
        SESSION,
        STARTED,
        "hand-side",
        n,
        0.8,
        0.9,
        "mark",
        True,
        "side",
        "inside",
        0.0,
        0,
        "target",
        ("hand",),
    )


def session() -> SessionPage:
    read = reading().reps
    change = pages.Change(
        "hold_s",
        "0.9",
        "0.7",
        "The nose slid out before the mark.",
        "Mara Quill",
        "2026-03-14T17:00:00.000Z",
        41,
    )
    corrected = replace(row(4), hold_s=0.7, met=False)
    blank = replace(row(5), hold_s=None, ended_by="dog", met=False, paid=False)
    lines = (
        RepLine(1, read[0], row(1), None, row(1), "measured", False, ()),
        RepLine(2, read[1], row(2), None, row(2), "measured", True, ()),
        RepLine(3, read[2], row(3), row(3), row(3), "confirmed", False, ()),
        RepLine(4, read[3], row(4), corrected, corrected, "corrected", False, (change,)),
        RepLine(5, read[4], None, None, blank, "measured", True, ()),
    )
    film = RecordingView(SHA, "saltmarsh.mp4", "video/mp4", 10.0, 25.0, ("The frame rate varies a little.",))
    return SessionPage(
        line(),
        film,
        reading(),
        38,
        lines,
        (0.42, 0.42, 0.05, 0.15),
        (0.64, 0.43, 0.05, 0.1),
        "Wind from the east.",
    )


def entry(
    number: int, kind: str = "reps_confirmed", *, late_s: float = 12.0, amends: int | None = None
) -> EntryLine:
    return EntryLine(
        number=number,
        kind=kind,
        happened_at=STARTED,
        entered_at="2026-03-14T17:00:00.000Z",
        by="Mara Quill",
        site="yard laptop",
        summary=f"Two reps of {SESSION} stand.",
        payload_text=json.dumps({"session": SESSION, "reps": [{"rep": 3, "hold_s": 0.9}]}),
        digest=hashlib.sha256(str(number).encode()).hexdigest(),
        previous=hashlib.sha256(str(number - 1).encode()).hexdigest(),
        late_s=late_s,
        amended_by=(41,) if number == 39 else (),
        amends=amends,
    )


def record(*, verification: Verification | None = None, page: int = 1, kind: str = "") -> RecordPage:
    entries = (
        entry(41, "amended", amends=39),
        entry(40, "step_called"),
        entry(39, late_s=30600.0),
        entry(38, "reading_made"),
    )
    return RecordPage(
        entries, 41, page, 11, ("amended", "dog_added", "reps_confirmed"), kind, verification, HEAD
    )


HOLDS = Verification(True, 41, HEAD, None, ())
BROKEN = Verification(False, 41, HEAD, 12, ("entry 12: Its digest does not fit what it holds.",))
