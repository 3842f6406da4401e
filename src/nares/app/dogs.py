"""Dogs: on the record, on the page Today as cards, each with a page of its own."""

from collections.abc import Sequence
from datetime import date, timedelta
from functools import lru_cache
from itertools import groupby
from math import ceil

from nares.app.deciding import call_view, programme_of, step_name
from nares.app.deeds import AddDog, Receipt
from nares.app.desk import Desk
from nares.app.kennel_holds import other_dogs
from nares.app.pages import (
    CallView,
    DogCard,
    DogPage,
    HoldPoint,
    HoldView,
    SessionLine,
    StepView,
    TodayPage,
)
from nares.app.risks import risk_view
from nares.app.sessions import CONFIDENCE, session_line
from nares.base.errors import OutOfRange, Unknown
from nares.base.interval import session_spread, wilson_interval
from nares.base.times import utc_text
from nares.decide import Evidence, HoldModel, Programme, hold_model_of
from nares.decide.evidence import latest_stretch
from nares.decide.isolation.easing import origin_of
from nares.decide.steps.programme_check import raises_of, relaxes_of
from nares.record.found import Dog, Tally
from nares.report.plots import Curve, RatePoint, hold_svg, success_svg

ASK_CHANCE = 0.85
"""The chance of success an ask is chosen for. [-]"""

CURVE_POINTS = 61
SESSIONS_PLOTTED = 40

SESSIONS_LISTED = 30
"""Sessions on one page of a dog's list. [count]"""

REPS_THAT_WEIGH = 300
"""Reps read to learn how long the dog holds; what lies further back is not looked at. [count]"""


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
    head = desk.store.head()
    return TodayPage(
        kennel=desk.store.kennel,
        now=utc_text(desk.now()),
        entries=desk.store.count(),
        head=None if head is None else head[1],
        dogs=tuple(dog_card(desk, dog) for dog in desk.store.dogs()),
    )


def dog_card(desk: Desk, dog: Dog) -> DogCard:
    """One dog in short: its step, its call, its last session."""
    last = next(iter(desk.store.sessions(dog.dog, most=1)), None)
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
        last_session=None if last is None else last.session,
        last_session_at=None if last is None else last.started_at,
        to_confirm=desk.store.to_confirm(dog.dog),
    )


def dog_page(desk: Desk, name: str, *, page: int = 1) -> DogPage:
    """Programme, success and hold with their intervals, sessions of one dog, `SESSIONS_LISTED` a list page.

    What is shown of years of reps is counted by the record; only reps recent enough to weigh anything are
    read.

    Raises:
        Unknown: If there is no such dog, or no such page of its sessions.
    """
    dog = desk.store.dog(name)
    programme = programme_of(desk, dog.programme)
    tallies = desk.store.tallies(name)
    total = desk.store.sessions_of(name)
    pages = max(1, ceil(total / SESSIONS_LISTED))
    if not 1 <= page <= pages:
        raise Unknown(f"{name} has {pages} pages of sessions and no page {page}. Give a lower number.")
    card = dog_card(desk, dog)
    hold = _hold_of(desk, name, programme, tallies)
    return DogPage(
        card=card,
        steps=step_views(programme, tallies, card.call),
        sessions=_lines(desk, name, programme, page),
        hold=hold,
        success_svg=_success_plot(programme, tallies, card.call),
        hold_svg=None if hold is None else _hold_plot(hold),
        risk=None if card.call is None else risk_view(programme, origin_of(card.call.step, programme)),
        sessions_total=total,
        page=page,
        pages=pages,
    )


def _lines(desk: Desk, name: str, programme: Programme, page: int) -> tuple[SessionLine, ...]:
    """The sessions of one page of the list, newest first."""
    listed = desk.store.sessions(name, most=SESSIONS_LISTED, newer=SESSIONS_LISTED * (page - 1))
    counts, recorded = desk.store.session_counts(name), desk.store.recorded()
    return tuple(
        session_line(one, counts[one.session], programme, recorded=one.session in recorded) for one in listed
    )


def _hold_of(desk: Desk, name: str, programme: Programme, tallies: Sequence[Tally]) -> HoldView | None:
    """How long the dog holds at its step, from the reps recent enough to weigh anything."""
    counted = sessions = 0
    for _, group in groupby(reversed(tallies), lambda tally: tally.session):
        counted, sessions = counted + sum(tally.reps for tally in group), sessions + 1
        if counted >= REPS_THAT_WEIGH:
            break
    # Twice as many sessions: some in between have no counted rep.
    reps = [row.rep for row in desk.store.reps(dog=name, newest=2 * sessions)] if sessions else []
    if not reps:
        return None
    step = latest_stretch(reps, programme).step
    model = hold_model_of(reps, step=step, others=other_dogs(desk, name, reps, step))
    return None if model is None else hold_view(model)


def step_views(programme: Programme, tallies: Sequence[Tally], call: CallView | None) -> tuple[StepView, ...]:
    """Every step of the programme with what the dog has shown at it."""
    current = programme.place_of(origin_of(call.step, programme)) if call else 0
    at: dict[str, list[Tally]] = {}
    for tally in tallies:
        at.setdefault(tally.step, []).append(tally)
    return tuple(
        StepView(
            key=step.key,
            name=step.name,
            raises=", ".join(raises_of(before, step)),
            relaxes=", ".join(relaxes_of(before, step)),
            teaches=step.teaches,
            state=_state(place, current),
            evidence=_evidence(at.get(step.key, [])),
        )
        for place, (before, step) in enumerate(zip((None, *programme.steps), programme.steps, strict=False))
    )


def _state(place: int, current: int | None) -> str:
    if current is None or place > current:
        return "ahead"
    return "current" if place == current else "passed"


def _evidence(tallies: Sequence[Tally]) -> Evidence | None:
    if not tallies:
        return None
    reps, met = sum(tally.reps for tally in tallies), sum(tally.met for tally in tallies)
    # Which of a session's reps were met does not matter for how much sessions differ.
    hits = [n < tally.met for tally in tallies for n in range(tally.reps)]
    sessions = [place for place, tally in enumerate(tallies) for _ in range(tally.reps)]
    worth = session_spread(hits, sessions).effective_reps
    low, high = wilson_interval(met / reps, worth, confidence=CONFIDENCE)
    return Evidence(reps, met, met / reps, low, high, CONFIDENCE, len({tally.session for tally in tallies}))


def hold_view(model: HoldModel) -> HoldView:
    """The hold model as the page shows it: what was observed, what was fitted, and how far it reaches."""
    longest = model.longest_asked_s
    reach = max(model.ceiling_s, longest, 1.0)
    times = [reach * index / (CURVE_POINTS - 1) for index in range(CURVE_POINTS)]
    low, high = model.limits(times, confidence=CONFIDENCE)
    start = HoldPoint(0.0, 1.0, 1.0, 1.0)
    observed = [HoldPoint(at.t_s, at.share, at.low, at.high) for at in model.observed]
    last = observed[-1] if observed else start
    held_on = HoldPoint(max(longest, last.t_s), last.chance, last.low, last.high)
    ask_low_s, ask_high_s = model.ask_limits(ASK_CHANCE, confidence=CONFIDENCE)
    return HoldView(
        reps=model.reps,
        breaks=model.breaks,
        cut_short=model.cut_short,
        longest_asked_s=longest,
        observed=(start, *observed, held_on),
        fitted=tuple(
            HoldPoint(*(float(value) for value in point))
            for point in zip(times, model.chances(times), low, high, strict=True)
        ),
        shape=model.shape,
        ask_s=model.ask(ASK_CHANCE),
        ask_chance=ASK_CHANCE,
        note=" ".join(model.notes),
        ask_low_s=ask_low_s,
        ask_high_s=None if ask_high_s > model.ceiling_s else ask_high_s,
        borrowed=model.borrowed,
        other_dogs=model.other_dogs,
        from_others=model.from_others,
        ask_extrapolates=model.extrapolates(model.ask(ASK_CHANCE)),
    )


@lru_cache(maxsize=128)
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


def _success_plot(programme: Programme, tallies: Sequence[Tally], call: CallView | None) -> str | None:
    if not tallies or call is None:
        return None
    place = programme.place_of(origin_of(call.step, programme))
    step = programme.steps[place or 0]
    points = tuple(
        _rate_point(tally, step_name(programme, tally.step)) for tally in tallies[-SESSIONS_PLOTTED:]
    )
    return _drawn(points, step.ready, step.not_ready)


@lru_cache(maxsize=128)
def _drawn(points: tuple[RatePoint, ...], ready: float, not_ready: float) -> str:
    """The plot of these sessions, drawn once: the page is looked at more often than it changes."""
    return success_svg(points, ready=ready, not_ready=not_ready)


def _rate_point(tally: Tally, step: str) -> RatePoint:
    rate = tally.met / tally.reps
    low, high = wilson_interval(rate, tally.reps, confidence=CONFIDENCE)
    return RatePoint(tally.session, step, tally.reps, tally.met, rate, low, high)
