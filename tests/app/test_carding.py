"""The session card: the same each time, bounded by food, taken once, and telling the handler nothing."""

import itertools
from dataclasses import asdict, replace
from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path

import numpy as np
import pytest
from tests.app.kennels import TickingClock, kennel, measure_by_hand

from nares.app import carding, jobs, planning
from nares.app.deeds import (
    AddDog,
    ConfirmReps,
    ImportReps,
    NoteSigns,
    SetAside,
    SetRation,
    TakeCard,
)
from nares.app.desk import Desk
from nares.base.errors import NotEnoughData, Refused, Unknown, Unusable
from nares.base.times import read_utc
from nares.care.signs import SIGNS

HEAD = (
    "dog,session,started_at,step,rep,ask_s,hold_s,ended_by,met,hand,pay_place,distance_m,disturbance,source,"
    "cues,paid\n"
)


def table(to: Path, session: str, step: str, met: str, started_at: str = "2026-03-01T08:00:00Z") -> Path:
    """A rep table of one session; ``met`` like 11101."""
    rows = (
        f"Moss,{session},{started_at},{step},{n},1.2,{1.3 if one == '1' else 0.6},"
        f"{'mark' if one == '1' else 'dog'},{one},away,inside,0,0,target,target,{one}\n"
        for n, one in enumerate(met, start=1)
    )
    path = to / f"{session}.csv"
    path.write_text(HEAD + "".join(rows), encoding="utf-8")
    return path


def at_step(desk: Desk, tmp_path: Path, step: str, session: str = "t1", met: str = "1011") -> None:
    """Bring Moss to a step by a few reps there, too few to raise or ease."""
    jobs.import_reps(desk, ImportReps(table(tmp_path, session, step, met), "Wren"))


def test_a_new_dog_has_a_card_for_its_first_step(desk: Desk) -> None:
    card = jobs.card_page(desk, "Moss")
    assert (card.step, card.call, card.call_entry, card.taken) == ("source-value", None, None, None)
    assert len(card.reps) == planning.REPS_PLANNED
    assert all(0.3 <= rep.ask_s <= 0.8 for rep in card.reps if rep.ask_s)
    assert "not known and does not bound it" in card.notes[0]
    assert card.food is None


def test_a_card_is_the_same_each_time_it_is_opened(desk: Desk, tmp_path: Path) -> None:
    at_step(desk, tmp_path, "distractors-2")
    first = jobs.card_page(desk, "Moss")
    assert first.reps == jobs.card_page(desk, "Moss").reps
    assert any(rep.source == "distractor" for rep in first.reps)
    assert (first.step, first.call) == ("distractors-2", "stay")


def test_today_dog_page_and_card_show_one_plan(desk: Desk, tmp_path: Path) -> None:
    at_step(desk, tmp_path, "blanks")
    card = jobs.card_page(desk, "Moss")
    names = ("rep", "ask_s", "source", "target_box", "pay_place", "easy")
    shown = jobs.today_page(desk).dogs[0].call
    assert shown
    assert [[getattr(rep, n) for n in names] for rep in shown.next_session] == [
        [getattr(rep, n) for n in names] for rep in card.reps
    ]
    page = jobs.dog_page(desk, "Moss").card.call
    assert page
    assert page.next_session == shown.next_session


def test_plans_of_two_calls_differ(desk: Desk, tmp_path: Path) -> None:
    at_step(desk, tmp_path, "blanks")
    first = jobs.card_page(desk, "Moss").reps
    at_step(desk, tmp_path, "blanks", "t2", "1101")
    assert jobs.card_page(desk, "Moss").reps != first


def test_a_taken_card_stands_until_a_session_is_run_on_it(desk: Desk, tmp_path: Path) -> None:
    at_step(desk, tmp_path, "blanks")
    shown = jobs.card_page(desk, "Moss")
    receipt = jobs.take_card(desk, TakeCard("Moss", "Mara", seen=shown.call_entry))
    assert "12 reps" in receipt.said
    taken = jobs.card_page(desk, "Moss")
    assert taken.reps == shown.reps
    assert taken.taken
    assert (taken.taken.by, taken.taken.entry) == ("Mara", receipt.entry)
    with pytest.raises(Refused, match=f"already taken: entry {receipt.entry}"):
        jobs.take_card(desk, TakeCard("Moss"))
    run = {"session": "m2", "dog": "Moss", "step": "blanks", "started_at": taken.taken.at}
    desk.store.append("session_run", run, happened_at=desk.now(), by="Wren")
    after = jobs.card_page(desk, "Moss")
    assert after.taken is None
    assert after.reps != taken.reps
    asks = sorted(rep.ask_s for rep in after.reps if rep.ask_s)
    drawn = desk.store.latest_call("Moss")
    assert drawn
    assert set(asks) <= set(drawn.asks_s)


def test_a_session_written_down_late_does_not_use_up_the_card(desk: Desk, tmp_path: Path) -> None:
    at_step(desk, tmp_path, "blanks")
    jobs.take_card(desk, TakeCard("Moss"))
    earlier = {"session": "m0", "dog": "Moss", "step": "blanks", "started_at": "2026-02-20T08:00:00Z"}
    desk.store.append("session_run", earlier, happened_at=desk.now(), by="Wren")
    assert jobs.card_page(desk, "Moss").taken


def test_a_card_of_yesterday_and_one_of_an_older_call_no_longer_stand(tmp_path: Path) -> None:
    clock = TickingClock()
    with kennel(tmp_path / "data", clock) as desk:
        jobs.take_card(desk, TakeCard("Moss"))
        before = jobs.card_page(desk, "Moss")
        clock.at += timedelta(days=1)
        after = jobs.card_page(desk, "Moss")
        assert before.taken
        assert after.taken is None
        assert after.reps != before.reps
        jobs.take_card(desk, TakeCard("Moss"))
        at_step(desk, tmp_path, "blanks")
        assert jobs.card_page(desk, "Moss").taken is None


def test_a_card_shown_before_another_call_is_not_taken(desk: Desk, tmp_path: Path) -> None:
    at_step(desk, tmp_path, "blanks")
    shown = jobs.card_page(desk, "Moss")
    at_step(desk, tmp_path, "blanks", "t2")
    before = desk.store.count()
    with pytest.raises(Refused, match="Another call was made for Moss"):
        jobs.take_card(desk, TakeCard("Moss", seen=shown.call_entry))
    assert desk.store.count() == before


# Food


def test_todays_ration_bounds_the_reps(desk: Desk) -> None:
    said = jobs.set_ration(desk, SetRation("Moss", "Mara", ration_g=30.0, reward_g=1.0, bowl_g=22.0)).said
    assert "pays for 8 more reps" in said
    card = jobs.card_page(desk, "Moss")
    assert (len(card.reps), card.limited_by) == (8, "left")
    assert card.reps[-1].easy
    assert card.food
    assert (card.food.left_reps, card.food.session_reps, card.food.by) == (8, 10, "Mara")


def test_a_third_of_the_day_bounds_one_session(desk: Desk) -> None:
    jobs.set_ration(desk, SetRation("Moss", ration_g=27.0, reward_g=1.0))
    card = jobs.card_page(desk, "Moss")
    assert (len(card.reps), card.limited_by) == (9, "session")
    assert "at most a third" in card.notes[0]


def test_paid_reps_of_today_are_taken_off_also_unconfirmed_ones(desk: Desk) -> None:
    """The measured session began at eight today: four reps read, none judged yet."""
    measure_by_hand(desk)
    jobs.set_ration(desk, SetRation("Moss", rewards=20))
    card = jobs.card_page(desk, "Moss")
    assert card.food
    assert (card.food.paid_reps, card.food.waiting_reps, card.food.left_reps) == (4, 4, 16)
    jobs.confirm_reps(desk, ConfirmReps("moss-01", "Wren"))
    jobs.set_aside(desk, SetAside("moss-01", 3, "Wren", "a cat"))
    card = jobs.card_page(desk, "Moss")
    assert card.food
    # Rep 1 was paid, rep 2 was not, rep 3 is none, rep 4 still waits.
    assert (card.food.paid_reps, card.food.waiting_reps, card.food.left_reps) == (2, 1, 18)


def test_reps_of_yesterday_are_not_taken_off(tmp_path: Path) -> None:
    with kennel(tmp_path, TickingClock(datetime(2026, 3, 3, 9, 0, tzinfo=UTC))) as desk:
        measure_by_hand(desk)
        jobs.set_ration(desk, SetRation("Moss", rewards=20))
        card = jobs.card_page(desk, "Moss")
        assert card.food
        assert (card.day, card.food.paid_reps) == ("2026-03-03", 0)


def test_the_day_is_the_one_where_the_dogs_are(tmp_path: Path) -> None:
    """Nine in the morning in London is a new day in Auckland, where the session was yesterday's."""
    with kennel(tmp_path) as desk:
        measure_by_hand(desk)
        far = replace(desk, zone=timezone(timedelta(hours=15)))
        assert (desk.today().isoformat(), far.today().isoformat()) == ("2026-03-02", "2026-03-03")
        assert far.midnight(far.today()) == read_utc("2026-03-02T09:00:00Z")
        jobs.set_ration(far, SetRation("Moss", rewards=20))
        card = jobs.card_page(far, "Moss")
        assert card.food
        assert (card.food.day, card.food.paid_reps) == ("2026-03-03", 0)
        assert jobs.card_page(desk, "Moss").food is None


def test_a_used_up_ration_gives_an_empty_card_that_cannot_be_taken(desk: Desk) -> None:
    jobs.set_ration(desk, SetRation("Moss", rewards=0))
    card = jobs.card_page(desk, "Moss")
    assert card.reps == ()
    assert "Feed what was not earned" in card.missing
    assert card.stops[0].key == "vet"
    with pytest.raises(NotEnoughData, match="no more reps"):
        jobs.take_card(desk, TakeCard("Moss"))
    with pytest.raises(NotEnoughData, match="no more reps"):
        jobs.printed_card(desk, "Moss")


def test_a_taken_card_stays_and_says_when_food_got_short(desk: Desk) -> None:
    jobs.take_card(desk, TakeCard("Moss"))
    jobs.set_ration(desk, SetRation("Moss", rewards=5))
    card = jobs.card_page(desk, "Moss")
    assert len(card.reps) == 12
    assert "now pays for 5 reps" in card.notes[0]


def test_a_session_that_paid_out_over_a_third_is_said(desk: Desk) -> None:
    measure_by_hand(desk)
    jobs.set_ration(desk, SetRation("Moss", ration_g=9.0, reward_g=1.0))
    assert jobs.card_page(desk, "Moss").warnings == (
        "Session moss-01 paid out more than a third of the day's ration.",
    )


def test_a_ration_for_tomorrow_does_not_hold_today(desk: Desk) -> None:
    said = jobs.set_ration(desk, SetRation("Moss", rewards=5, day="2026-03-03")).said
    assert "for 2026-03-03 is set" in said
    assert jobs.card_page(desk, "Moss").food is None


def test_rations_that_cannot_be_leave_the_record_as_it_was(desk: Desk) -> None:
    before = desk.store.count()
    with pytest.raises(Refused, match="ration and one reward"):
        jobs.set_ration(desk, SetRation("Moss"))
    with pytest.raises(Refused, match="is not a day"):
        jobs.set_ration(desk, SetRation("Moss", rewards=5, day="tomorrow"))
    with pytest.raises(Unknown, match="no dog called 'Rex'"):
        jobs.set_ration(desk, SetRation("Rex", rewards=5))
    assert desk.store.count() == before


def test_there_is_no_card_of_a_dog_nobody_added(desk: Desk) -> None:
    for job in (jobs.card_page, jobs.handler_page, jobs.printed_card):
        with pytest.raises(Unknown, match="no dog called 'Rex'"):
            job(desk, "Rex")


# Signs


def test_signs_come_before_every_other_reason_to_stop(desk: Desk) -> None:
    card = jobs.card_page(desk, "Moss")
    assert [rule.key for rule in card.stops][:3] == ["vet", "signs", "early"]
    said = {rule.key: rule.says for rule in card.stops}
    for sign in (one for one in SIGNS if one.level > 1):
        rule = {4: "vet", 3: "signs", 2: "early"}[sign.level]
        assert sign.name.lower() in said[rule].lower()
    assert said["signs"].startswith("No further rep.")
    assert {(one.level, one.name) for one in card.signs} == {
        (one.level, one.name) for one in SIGNS if one.level in (2, 3)
    }


def test_signs_seen_take_a_card_back_and_the_next_one_is_easier(desk: Desk, tmp_path: Path) -> None:
    at_step(desk, tmp_path, "disturb-hold")
    jobs.take_card(desk, TakeCard("Moss"))
    jobs.note_signs(desk, NoteSigns("Moss", ("crouch",), "Wren"))
    card = jobs.card_page(desk, "Moss")
    assert (card.taken, card.call) == (None, "stop")
    assert card.step != "disturb-hold"
    assert card.reps
    assert jobs.handler_page(desk, "Moss").step_name == card.step_name


# The handler


def test_the_handlers_card_is_the_same_whatever_was_drawn(
    desk: Desk, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Forty draws of a session with blanks and distractors: forty different cards, one handler's card."""
    at_step(desk, tmp_path, "distractors-2")
    seeds = itertools.count(20_000)
    monkeypatch.setattr(planning, "draws_of", lambda *_: np.random.default_rng(next(seeds)))
    trainers = {jobs.card_page(desk, "Moss").reps for _ in range(40)}
    handlers = {str(asdict(jobs.handler_page(desk, "Moss"))) for _ in range(40)}
    assert len(trainers) == 40
    assert len(handlers) == 1


def test_the_handlers_card_names_neither_asks_nor_places_nor_the_number_of_reps(
    desk: Desk, tmp_path: Path
) -> None:
    at_step(desk, tmp_path, "distractors-2")
    said = carding.handler_answer(jobs.handler_page(desk, "Moss"))
    assert said["schema"] == "handler-card/1"
    assert not {"reps", "asks_s", "limited_by", "food", "call", "pay"} & set(said)
    assert "Pay" not in dict(said["conditions"])
    text = str(said)
    assert "target in box" not in text.lower()
    assert "paid rep" not in text


def test_food_does_not_change_the_handlers_card(desk: Desk) -> None:
    before = jobs.handler_page(desk, "Moss")
    jobs.set_ration(desk, SetRation("Moss", rewards=5))
    jobs.take_card(desk, TakeCard("Moss"))
    assert jobs.handler_page(desk, "Moss") == before


# From a table, and a step outside the programme


def test_a_card_comes_from_a_rep_table_alone(tmp_path: Path) -> None:
    rows = table(tmp_path, "t1", "blanks", "1011")
    now = datetime(2026, 3, 14, 9, tzinfo=UTC)
    card = carding.card_of_table(rows, dog="Moss", programme=None, now=now)
    assert (card.step, card.day, card.head, card.call) == ("blanks", "2026-03-14", None, "stay")
    assert len(card.reps) == 12
    assert carding.card_as_pdf(card).startswith(b"%PDF")
    with pytest.raises(Unknown, match="no rep of a dog named 'Rex'"):
        carding.card_of_table(rows, dog="Rex", programme=None, now=now)
    with pytest.raises(Unusable, match="no file"):
        carding.card_of_table(tmp_path / "none.csv", dog="Moss", programme=None, now=now)


def test_a_step_outside_the_programme_gives_no_card_and_says_so(desk: Desk, tmp_path: Path) -> None:
    at_step(desk, tmp_path, "my-own-step")
    card = jobs.card_page(desk, "Moss")
    assert card.reps == ()
    assert "has no step 'my-own-step'" in card.missing
    with pytest.raises(NotEnoughData, match="has no step"):
        jobs.take_card(desk, TakeCard("Moss"))


def test_a_session_of_another_dog_does_not_use_up_a_card(desk: Desk) -> None:
    jobs.add_dog(desk, AddDog("Fern", "Whippet"))
    jobs.take_card(desk, TakeCard("Moss"))
    jobs.take_card(desk, TakeCard("Fern"))
    measure = {
        "session": "f1",
        "dog": "Fern",
        "step": "source-value",
        "started_at": desk.now().isoformat(),
    }
    desk.store.append("session_run", measure, happened_at=desk.now(), by="Wren")
    assert jobs.card_page(desk, "Moss").taken
    assert jobs.card_page(desk, "Fern").taken is None
