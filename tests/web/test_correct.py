"""Correcting a rep: every value can change, and a change needs its reason."""

from dataclasses import replace
from typing import Any

import pytest
from tests.web import samples
from tests.web.conftest import DeskClient
from tests.web.fakes import FakeJobs

from nares.app.deeds import ConfirmReps
from nares.base.errors import OutOfRange
from nares.base.vocab import Rep
from nares.web.sessions.forms import initial_of

AT = f"/sessions/{samples.SESSION}"


def sent(rep: Rep, **changed: Any) -> dict[str, Any]:
    return {**initial_of(rep), "why": "", **changed}


CHANGES = [
    ({"ask_s": "1.4"}, {"ask_s": 1.4}),
    ({"ask_s": ""}, {"ask_s": None}),
    ({"hold_s": "0.65"}, {"hold_s": 0.65}),
    ({"ended_by": "dog"}, {"ended_by": "dog"}),
    ({"met": "0"}, {"met": False}),
    ({"hand": "front"}, {"hand": "front"}),
    ({"pay_place": "away"}, {"pay_place": "away"}),
    ({"paid": "0"}, {"paid": False}),
    ({"distance_m": "2.5"}, {"distance_m": 2.5}),
    ({"disturbance": "3"}, {"disturbance": 3}),
    ({"source": "blank"}, {"source": "blank"}),
    ({"step": "hold"}, {"step": "hold"}),
    ({"cues": "hand food"}, {"cues": ("hand", "food")}),
]


@pytest.mark.parametrize(("typed", "meant"), CHANGES, ids=[next(iter(typed)) for typed, _ in CHANGES])
def test_each_value_can_be_corrected(
    client: DeskClient, fake: FakeJobs, typed: dict[str, str], meant: dict[str, Any]
) -> None:
    client.post(f"{AT}/reps/1/correct/", sent(samples.row(1), why="Seen on the film.", **typed))
    row = replace(samples.row(1), **meant)
    assert fake.asked == [ConfirmReps(samples.SESSION, "Mara Quill", (row,), "Seen on the film.")]


def test_a_changed_value_without_a_reason_is_not_sent(client: DeskClient, fake: FakeJobs) -> None:
    answer = client.post(f"{AT}/reps/1/correct/", sent(samples.row(1), hold_s="0.65"))
    page = answer.content.decode()
    assert answer.status_code == 422
    assert "Say why this differs" in page
    assert 'value="0.65"' in page
    assert fake.asked == []


def test_a_measured_rep_sent_unchanged_is_confirmed_without_a_reason(
    client: DeskClient, fake: FakeJobs
) -> None:
    client.post(f"{AT}/reps/1/correct/", sent(samples.row(1)))
    assert fake.asked == [ConfirmReps(samples.SESSION, "Mara Quill", (samples.row(1),), "")]


def test_a_time_that_was_only_shown_rounded_stays_exact(client: DeskClient, fake: FakeJobs) -> None:
    exact = replace(samples.row(1), hold_s=0.9000412)
    lines = (replace(fake.session.reps[0], proposed=exact, start=exact), *fake.session.reps[1:])
    fake.session = replace(fake.session, reps=lines)
    client.post(f"{AT}/reps/1/correct/", sent(exact))
    assert fake.asked == [ConfirmReps(samples.SESSION, "Mara Quill", (exact,), "")]


def test_a_confirmed_rep_needs_a_reason_to_change(client: DeskClient, fake: FakeJobs) -> None:
    assert client.post(f"{AT}/reps/3/correct/", sent(samples.row(3), met="0")).status_code == 422
    assert (
        client.post(f"{AT}/reps/3/correct/", sent(samples.row(3), met="0", why="Too early.")).status_code
        == 302
    )
    assert fake.asked == [
        ConfirmReps(samples.SESSION, "Mara Quill", (replace(samples.row(3), met=False),), "Too early.")
    ]


def test_a_confirmed_rep_sent_unchanged_writes_nothing(client: DeskClient, fake: FakeJobs) -> None:
    answer = client.post(f"{AT}/reps/3/correct/", sent(samples.row(3), why="Again."))
    assert answer.status_code == 422
    assert "already stands with these values" in answer.content.decode()
    assert fake.asked == []


def test_a_rep_without_a_proposal_is_filled_in_by_hand(client: DeskClient, fake: FakeJobs) -> None:
    given = sent(samples.row(5), why="The nose was hidden by the body.")
    client.post(f"{AT}/reps/5/correct/", given)
    assert fake.asked == [
        ConfirmReps(samples.SESSION, "Mara Quill", (samples.row(5),), "The nose was hidden by the body.")
    ]


@pytest.mark.parametrize("hold", ["-1", "nan", "inf", "1e9", "long"])
def test_a_hold_that_cannot_be_is_said_beside_it(client: DeskClient, fake: FakeJobs, hold: str) -> None:
    answer = client.post(f"{AT}/reps/1/correct/", sent(samples.row(1), hold_s=hold, why="x"))
    assert answer.status_code == 422
    assert f'value="{hold}"' in answer.content.decode()
    assert fake.asked == []


def test_what_the_app_finds_wrong_is_said_in_place(client: DeskClient, fake: FakeJobs) -> None:
    fake.refuse = OutOfRange("A hold of 0.65 s is longer than the rep.")
    answer = client.post(f"{AT}/reps/1/correct/", sent(samples.row(1), hold_s="0.65", why="Seen."))
    assert answer.status_code == 422
    assert "longer than the rep" in answer.content.decode()
    assert 'value="Seen."' in answer.content.decode()
