"""Drawing on the record: names, seats, smells a dog has met, spots that are warm, what is refused."""

from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from tests.app.kennels import TickingClock
from tests.app.lineups.saltmarsh import HANDLER, PEOPLE, PLACER, asked, kennel, sat_down

from nares.app import jobs
from nares.app.desk import Desk
from nares.base.errors import NaresError, OutOfRange, Refused, Unknown
from nares.base.lineups import Smell
from nares.design.keys import key_findings

ROOM: dict[str, Any] = {"runs": 2, "targets_low": 1, "blank_runs": None}


def test_what_was_drawn_follows_from_the_seed_and_says_what_was_asked(desk: Desk) -> None:
    session = sat_down(desk)
    assert key_findings(session.key()) == ()
    page = jobs.lineup_page(desk, session.lineup)
    assert (page.targets_low, page.targets_high, page.blank_runs) == (0, 1, 0.25)
    assert (page.drawing, page.rules, page.aim) == ("independent", (), "double")
    assert [seat.person for seat in page.seats] == list(PEOPLE.values())
    assert all(seat.taken_at for seat in page.seats)
    assert [guess.name for guess in page.guesses][-1] == "best possible"
    assert "seed" not in desk.store.entry(page.entry).payload["asked"]


def test_line_ups_are_named_after_the_dog_and_a_name_is_taken_once(desk: Desk) -> None:
    assert sat_down(desk).lineup == "teasel-lineup-01"
    assert sat_down(desk).lineup == "teasel-lineup-02"
    assert sat_down(desk, lineup=" monday ").lineup == "monday"
    with pytest.raises(Refused, match="already a line-up 'monday'"):
        jobs.draw_lineup(desk, asked(lineup="monday"))
    assert [line.lineup for line in jobs.lineups_page(desk).lines] == [
        "monday",
        "teasel-lineup-02",
        "teasel-lineup-01",
    ]


REFUSED: list[tuple[dict[str, Any], type[NaresError], str]] = [
    ({"dog": "Nobody"}, Unknown, "no dog called 'Nobody'"),
    ({"people": {}}, Refused, "Nobody is named as placer or as handler or as evaluator"),
    ({"people": {"placer": PLACER, "handler": HANDLER, "evaluator": " "}}, Refused, "named as evaluator"),
    ({"seed": "00"}, OutOfRange, "not 32 bytes in hex"),
    ({"seed": "zz" * 32}, OutOfRange, "not 32 bytes in hex"),
    ({"runs": 0}, OutOfRange, "0 runs cannot be drawn"),
    ({"targets_high": 7}, OutOfRange, "do not fit"),
]


@pytest.mark.parametrize(("other", "kind", "why"), REFUSED)
def test_what_cannot_be_drawn_leaves_neither_entry_nor_key(
    desk: Desk, other: dict[str, Any], kind: type[NaresError], why: str
) -> None:
    count = desk.store.count()
    with pytest.raises(kind, match=why):
        jobs.draw_lineup(desk, asked(**other))
    assert desk.store.count() == count
    assert not desk.vault.path.exists()


def smells(desk: Desk, lineup: str) -> dict[str, bool | None]:
    return {one.smell: one.novel for one in jobs.lineup_page(desk, lineup).distractors}


def test_a_smell_is_new_until_a_line_up_with_it_was_begun(desk: Desk) -> None:
    first = sat_down(desk)
    assert smells(desk, first.lineup) == {"tape": True, "food": False}  # as was said of food
    second = sat_down(desk, distractors=(Smell("Tape "), Smell("soap")))
    assert smells(desk, second.lineup) == {"Tape ": True, "soap": True}
    first.place(1)
    first.begin(1)
    third = sat_down(desk, distractors=(Smell("Tape "), Smell("soap")))
    assert smells(desk, third.lineup) == {"Tape ": False, "soap": True}


@pytest.fixture
def clock() -> TickingClock:
    return TickingClock()


def test_spots_of_opened_runs_are_warm_for_48_h_unless_tested(tmp_path: Path, clock: TickingClock) -> None:
    with kennel(tmp_path / "data", clock=clock) as desk:
        first = sat_down(desk, area=jobs.lineup_area("room", 20, "Old Mill"), **ROOM)
        first.work(1)
        (target,) = first.run(1).targets
        first.close("rain")
        again = jobs.lineup_area("room", 20, "old  mill")
        warm = sat_down(desk, area=again, **ROOM)
        assert warm.key()["asked"]["warm"] == [target]
        assert desk.store.lineup(warm.lineup).sealed.asked["warm"] == [target]
        assert any(
            f"Warm from earlier at {target}" in one for one in jobs.lineup_page(desk, warm.lineup).findings
        )
        tested = sat_down(desk, area=again, tested=(target,), **ROOM)
        assert tested.key()["asked"]["warm"] == []
        elsewhere = sat_down(desk, area=jobs.lineup_area("room", 20, "barn"), **ROOM)
        assert elsewhere.key()["asked"]["warm"] == []
        swapped = sat_down(desk, area=jobs.lineup_area("boxes", 20, "Old Mill"), **ROOM)
        assert swapped.key()["asked"]["warm"] == []
        clock.at += timedelta(hours=48, minutes=10)
        later = sat_down(desk, area=again, **ROOM)
        assert later.key()["asked"]["warm"] == []


def test_a_run_that_was_placed_and_void_leaves_its_spot_warm_once_the_key_is_known(desk: Desk) -> None:
    area = jobs.lineup_area("room", 20, "old mill")
    first = sat_down(desk, area=area, **ROOM)
    target = first.run(1).targets
    first.place(1)
    first.void(1)
    first.void(2)  # never placed: nothing lay there
    first.close()
    assert sat_down(desk, area=area, **ROOM).key()["asked"]["warm"] == list(target)


def test_a_lost_key_of_a_place_that_keeps_odour_means_nobody_can_say(desk: Desk) -> None:
    area = jobs.lineup_area("room", 20, "old mill")
    first = sat_down(desk, area=area, **ROOM)
    first.place(1)
    desk.vault.path.unlink()
    with pytest.raises(Refused, match=r"its key is lost.*Test the spots, or wait"):
        jobs.draw_lineup(desk, asked(area=area, **ROOM))
