"""Dogs: on the record, on the page Today as cards, each with a page of its own."""

from collections.abc import Mapping, Sequence
from datetime import date, timedelta
from itertools import groupby

from nares.app.deciding import call_view, programme_of, step_name
from nares.app.deeds import AddDog, Receipt
from nares.app.desk import Desk
from nares.app.pages import (
    CallView,
    DogCard,
    DogPage,
    HoldPoint,
    HoldView,
    StepView,
    TodayPage,
)
from nares.app.sessions import CONFIDENCE, session_line
from nares.base.errors import OutOfRange
from nares.base.interval import wilson_interval
from nares.base.times import utc_text
from nares.base.vocab import Rep
from nares.decide import Evidence, HoldModel, Programme, Step, hold_model_of, step_call
from nares.decide.easing import origin_of
from nares.decide.evidence import latest_stretch
from nares.decide.programme_check import raises_of, relaxes_of
from nares.record.found import Dog, Session, SessionCount
from nares.report.plots import Curve, RatePoint, hold_svg, success_svg

ASK_CHANCE = 0.85
"""The chance of success an ask is chosen for. [-]"""

CURVE_POINTS = 61
SESSIONS_PLOTTED = 40


def add_dog(desk: Desk, asked: AddDog) -> Receipt:
    """Put a dog on the record.

    Raises:
        Refused: If a dog of this name is already there, or the name is empty.
        OutOfRange: If the day of birth is no day, or lies ahead.
        Unknown: If there is no such programme.
    """
    programme_of(desk, asked.programme)
    _require_born(asked.born, desk.now().date())
    payload = {
        "dog": asked.name.strip(),
        "breed": asked.breed.strip(),
        "born": asked.born or None,
        "sex": asked.sex or None,
        "programme": asked.programme,
        "note": asked.note,
    }
    entry = desk.store.append("dog_added", payload, happened_at=desk.now(), by=desk.by(asked.by))
    return Receipt(entry.number, entry.digest, f"{asked.name} is on the record: entry {entry.number}.")


def _require_born(born: str | None, today: date) -> None:
    try:
        day = date.fromisoformat(born) if born else today
    except ValueError:
        raise OutOfRange(f"{born!r} is not a day. Write it like 2024-05-11.") from None
    if day > today + timedelta(days=1):  # somewhere it is tomorrow already
        raise OutOfRange(f"A dog born on {born} is not here yet. Correct the day.")


def today_page(desk: Desk) -> TodayPage:
    """Each dog with its step, its call, why, and the next session."""
    head, counts = desk.store.head(), desk.store.session_counts()
    return TodayPage(
        kennel=desk.store.kennel,
        now=utc_text(desk.now()),
        entries=desk.store.count(),
        head=None if head is None else head[1],
        dogs=tuple(dog_card(desk, dog, desk.store.sessions(dog.dog), counts) for dog in desk.store.dogs()),
    )


def dog_card(
    desk: Desk, dog: Dog, sessions: Sequence[Session], counts: Mapping[str, SessionCount]
) -> DogCard:
    """One dog in short, from its sessions (newest first) and how many reps each of them has."""
    programme = programme_of(desk, dog.programme)
    call = call_view(desk, dog.dog)
    place = programme.place_of(origin_of(call.step, programme)) if call else 0
    return DogCard(
        name=dog.dog,
        breed=dog.breed,
        born=dog.born,
        programme=dog.programme,
        step_number=0 if place is None else place + 1,
        steps=len(programme.steps),
        call=call,
        last_session=sessions[0].session if sessions else None,
        last_session_at=sessions[0].started_at if sessions else None,
        to_confirm=sum(counts[session.session].to_confirm for session in sessions),
    )


def dog_page(desk: Desk, name: str) -> DogPage:
    """Programme, success and hold with their intervals, sessions of one dog.

    Raises:
        Unknown: If there is no such dog.
    """
    dog = desk.store.dog(name)
    programme = programme_of(desk, dog.programme)
    sessions, counts = desk.store.sessions(name), desk.store.session_counts(name)
    recorded = {recording.session for recording in desk.store.recordings()}
    lines = tuple(
        session_line(one, counts[one.session], programme, recorded=one.session in recorded)
        for one in sessions
    )
    reps = [row.rep for row in desk.store.reps(dog=name)]
    card = dog_card(desk, dog, sessions, counts)
    model = hold_model_of(latest_stretch(reps, programme).reps) if reps else None
    hold = None if model is None else hold_view(model)
    return DogPage(
        card=card,
        steps=step_views(programme, reps, card.call),
        sessions=lines,
        hold=hold,
        success_svg=_success_plot(programme, reps, card.call),
        hold_svg=None if hold is None else _hold_plot(hold),
    )


def step_views(programme: Programme, reps: Sequence[Rep], call: CallView | None) -> tuple[StepView, ...]:
    """Every step of the programme with what the dog has shown at it."""
    current = programme.place_of(origin_of(call.step, programme)) if call else 0
    met: dict[str, list[Rep]] = {}
    for rep in reps:
        met.setdefault(rep.step, []).append(rep)
    return tuple(
        StepView(
            key=step.key,
            name=step.name,
            raises=", ".join(raises_of(before, step)),
            relaxes=", ".join(relaxes_of(before, step)),
            teaches=step.teaches,
            state=_state(place, current),
            evidence=_evidence(step, met.get(step.key, [])),
        )
        for place, (before, step) in enumerate(zip((None, *programme.steps), programme.steps, strict=False))
    )


def _state(place: int, current: int | None) -> str:
    if current is None or place > current:
        return "ahead"
    return "current" if place == current else "passed"


def _evidence(step: Step, reps: Sequence[Rep]) -> Evidence | None:
    if not reps:
        return None
    met, sessions = [rep.met for rep in reps], [rep.session for rep in reps]
    found = step_call(met, sessions, ready=step.ready, not_ready=step.not_ready)
    return Evidence(
        found.reps, found.met, found.rate, found.low, found.high, found.confidence, found.sessions
    )


def hold_view(model: HoldModel) -> HoldView:
    """The hold model as the page shows it: what was observed, what was fitted, and how far it reaches."""
    longest = model.longest_asked_s
    reach = max(model.ceiling_s, longest, 1.0)
    times = [reach * index / (CURVE_POINTS - 1) for index in range(CURVE_POINTS)]
    start = HoldPoint(0.0, 1.0, 1.0, 1.0)
    observed = [HoldPoint(at.t_s, at.share, at.low, at.high) for at in model.observed]
    last = observed[-1] if observed else start
    held_on = HoldPoint(max(longest, last.t_s), last.chance, last.low, last.high)
    return HoldView(
        reps=model.reps,
        breaks=model.breaks,
        cut_short=model.cut_short,
        longest_asked_s=longest,
        observed=(start, *observed, held_on),
        fitted=tuple(_fitted(model, at) for at in times),
        shape=model.shape,
        ask_s=model.ask(ASK_CHANCE),
        ask_chance=ASK_CHANCE,
        note=" ".join(model.notes),
    )


def _fitted(model: HoldModel, t_s: float) -> HoldPoint:
    low, high = model.chance_limits(t_s, confidence=CONFIDENCE)
    return HoldPoint(t_s, model.chance(t_s), low, high)


def _hold_plot(hold: HoldView) -> str:
    return hold_svg(
        _curve(hold.observed), _curve(hold.fitted), longest_asked_s=hold.longest_asked_s, ask_s=hold.ask_s
    )


def _curve(points: Sequence[HoldPoint]) -> Curve:
    return Curve(
        [at.t_s for at in points],
        [at.chance for at in points],
        [at.low for at in points],
        [at.high for at in points],
    )


def _success_plot(programme: Programme, reps: Sequence[Rep], call: CallView | None) -> str | None:
    if not reps or call is None:
        return None
    place = programme.place_of(origin_of(call.step, programme))
    step = programme.steps[place or 0]
    points = [
        _rate_point(session, step_name(programme, key), list(group))
        for (session, key), group in groupby(reps, lambda rep: (rep.session, rep.step))
    ]
    return success_svg(points[-SESSIONS_PLOTTED:], ready=step.ready, not_ready=step.not_ready)


def _rate_point(session: str, step: str, reps: Sequence[Rep]) -> RatePoint:
    met = sum(rep.met for rep in reps)
    low, high = wilson_interval(met / len(reps), len(reps), confidence=CONFIDENCE)
    return RatePoint(session, step, len(reps), met, met / len(reps), low, high)
