"""Which signs stand: what ends by itself, what only a person ends, and when it takes a vet."""

import pytest

from nares.care.standing import Seen, Worked, standing

DAYS = {name: f"2026-03-{day:02d}T08:00:00.000Z" for day, name in enumerate(("s1", "s2", "s3", "s4"), 1)}
WORKED = [Worked(name, at) for name, at in DAYS.items()]


def seen(entry: int, signs: str, level: int, session: str | None = "s1", **other: object) -> Seen:
    at = DAYS[session] if session else "2026-03-01T09:00:00.000Z"
    return Seen(entry, tuple(signs.split()), level, at, session, **other)  # type: ignore[arg-type]


def test_nothing_seen_nothing_stands() -> None:
    assert (standing([]).level, standing([]).because) == (0, ())


@pytest.mark.parametrize(("signs", "level"), [("yawn", 1), ("ears_tail", 2)])
def test_mild_signs_pass_with_a_later_session_without_them(signs: str, level: int) -> None:
    one = [seen(1, signs, level)]
    assert standing(one, worked=WORKED[:1]).level == level
    assert standing(one, worked=WORKED[:2]).level == 0


def test_a_later_session_with_such_signs_ends_nothing() -> None:
    two = [seen(1, "ears_tail", 2), seen(2, "move_away", 2, "s2")]
    found = standing(two, worked=WORKED[:2])
    assert (found.level, found.entries) == (2, (1, 2))
    assert standing(two, worked=WORKED[:3]).level == 0


def test_an_earlier_session_ends_nothing() -> None:
    assert standing([seen(1, "ears_tail", 2, "s3")], worked=WORKED[:3]).level == 2
    apart = seen(1, "ears_tail", 2, None)  # seen at 9:00 on the first day, in no session
    assert standing([apart], worked=[Worked("s0", "2026-03-01T09:00:00.000Z")]).level == 2
    assert standing([apart], worked=[Worked("s0", "2026-03-01T09:00:00.001Z")]).level == 2
    assert standing([apart], worked=[Worked("s0", "2026-03-02T09:00:00.000Z")]).level == 0


@pytest.mark.parametrize(("signs", "level"), [("crouch", 3), ("refuses_food", 3), ("pain", 3), ("stuck", 4)])
def test_strong_signs_stand_until_a_person_looked_into_them(signs: str, level: int) -> None:
    assert standing([seen(1, signs, level)], worked=WORKED).level == level
    assert standing([seen(1, signs, level, cleared=True)], worked=WORKED).level == 0


def test_two_mild_signs_within_three_reps_are_a_plain_one() -> None:
    near = [seen(1, "yawn", 1, rep=4), seen(2, "paw_lift", 1, rep=6)]
    far = [seen(1, "yawn", 1, rep=4), seen(2, "paw_lift", 1, rep=7)]
    assert (standing(near).level, standing(far).level) == (2, 1)


def test_without_a_rep_two_mild_signs_of_a_session_are_taken_as_near() -> None:
    assert standing([seen(1, "yawn", 1, rep=4), seen(2, "paw_lift", 1)]).level == 2
    assert standing([seen(1, "yawn", 1), seen(2, "paw_lift", 1, "s2")]).level == 1


@pytest.mark.parametrize(("signs", "level"), [("pain", 3), ("injury", 4)])
def test_pain_and_emergencies_want_a_vet(signs: str, level: int) -> None:
    found = standing([seen(1, signs, level)])
    assert found.vet
    assert any(text.startswith("A vet sees the dog before more work") for text in found.because)


def test_strong_signs_at_two_sessions_want_a_vet_also_when_the_first_was_looked_into() -> None:
    first = seen(1, "crouch", 3, cleared=True)
    assert not standing([seen(1, "crouch", 3)]).vet
    assert not standing([seen(1, "crouch", 3), seen(2, "whine", 3)]).vet
    assert standing([first, seen(5, "whine", 3, "s2")]).vet
    assert not standing([first, seen(5, "whine", 3, "s2")], vet_looked=3).vet


def test_the_first_sentence_says_what_where_and_what_to_do() -> None:
    found = standing([seen(1, "yawn", 1), seen(2, "crouch trembling", 3, "s2")])
    assert found.because[0].startswith(
        "Signs come before the numbers: crouches and trembles (level 3, in s2). Stop the session."
    )


def test_a_dog_that_refuses_food_stops_for_the_day() -> None:
    assert any("heat, nausea or fear" in text for text in standing([seen(1, "refuses_food", 3)]).because)
