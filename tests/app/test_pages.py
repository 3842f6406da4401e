"""What the pages say, from the empty kennel to a dog with a history."""

from pathlib import Path

import pytest

from nares.app import jobs
from nares.app.deeds import AddDog, ConfirmReps, ImportReps
from nares.app.desk import Desk, open_desk
from nares.app.planning import ahead
from nares.app.summaries import SENTENCES, summary_of
from nares.base.errors import Refused, Unknown
from nares.decide import read_programme, shipped_programme
from nares.record.kinds import KINDS


def test_an_empty_kennel_has_a_founding_and_no_dogs(tmp_path: Path) -> None:
    with open_desk(tmp_path, kennel="Marram") as desk:
        page = jobs.today_page(desk)
        assert (page.kennel, page.entries, page.dogs) == ("Marram", 1, ())


def test_a_record_keeps_its_own_name(tmp_path: Path) -> None:
    with open_desk(tmp_path, kennel="Marram"):
        pass
    with open_desk(tmp_path, kennel="Another") as desk:
        assert desk.store.kennel == "Marram"


def test_a_new_dog_stands_at_the_first_step_without_a_call(desk: Desk) -> None:
    (card,) = jobs.today_page(desk).dogs
    assert (card.name, card.step_number, card.call) == ("Moss", 1, None)
    page = jobs.dog_page(desk, "Moss")
    assert (page.hold, page.success_svg, page.sessions) == (None, None, ())
    assert [step.state for step in page.steps[:2]] == ["current", "ahead"]


def test_a_dog_is_added_once(desk: Desk) -> None:
    with pytest.raises(Refused, match="Moss"):
        jobs.add_dog(desk, AddDog("Moss", "Springer Spaniel"))


def test_a_dog_of_an_unknown_programme_is_not_added(desk: Desk) -> None:
    with pytest.raises(Unknown, match="No programme 'agility'"):
        jobs.add_dog(desk, AddDog("Fern", "Springer Spaniel", programme="agility"))


def test_a_measured_session_shows_how_many_wait(desk: Desk, session: str) -> None:
    assert jobs.today_page(desk).dogs[0].to_confirm == 4
    jobs.confirm_reps(desk, ConfirmReps(session, "Wren"))
    assert jobs.today_page(desk).dogs[0].to_confirm == 2


def test_a_dog_with_a_history_has_both_plots_and_intervals(desk: Desk, tmp_path: Path) -> None:
    table = tmp_path / "reps.csv"
    table.write_text(
        "dog,session,started_at,step,rep,ask_s,hold_s,ended_by,met,hand,pay_place,"
        "distance_m,disturbance,source,cues,paid\n"
        + "".join(
            f"Moss,m-1,2026-03-01T08:00:00Z,source-breaths,{rep},1.0,{0.6 if rep % 4 == 0 else 1.3},"
            f"{'dog' if rep % 4 == 0 else 'mark'},{int(rep % 4 != 0)},inside,inside,0,0,target,target,1\n"
            for rep in range(1, 13)
        ),
        encoding="utf-8",
    )
    jobs.import_reps(desk, ImportReps(table, "Wren"))
    page = jobs.dog_page(desk, "Moss")
    assert page.hold is not None
    assert (page.hold.reps, page.hold.breaks, page.hold.cut_short) == (12, 3, 9)
    assert all(point.low <= point.chance <= point.high for point in page.hold.fitted)
    assert "9 of 12 met, 75 %" in (page.success_svg or "")
    assert page.hold_svg
    (line,) = page.sessions
    assert line.low is not None
    assert line.high is not None
    assert line.low < 0.75 < line.high


def test_the_record_is_listed_newest_first_and_verifies(desk: Desk, session: str) -> None:
    page = jobs.record_page(desk, verify=True)
    assert [line.number for line in page.entries] == list(range(page.total, 0, -1))
    assert page.verification is not None
    assert page.verification.holds
    assert page.verification.head == page.head == page.entries[0].digest


def test_every_kind_of_entry_has_a_sentence() -> None:
    assert SENTENCES.keys() == KINDS.keys()


def test_every_entry_of_the_kennel_is_said_in_words(desk: Desk, session: str) -> None:
    jobs.confirm_reps(desk, ConfirmReps(session, "Wren"))
    said = [line.summary for line in jobs.record_page(desk).entries]
    assert any("Reps 1, 2 of moss-01 confirmed." in text for text in said)
    assert all(text.endswith((".", "!")) for text in said)


def test_an_unknown_kind_is_said_to_be_one() -> None:
    assert "does not know: moon_landed" in summary_of("moon_landed", {})


def test_the_cookie_secret_outlives_the_desk_and_is_the_owners_alone(tmp_path: Path) -> None:
    with open_desk(tmp_path) as desk:
        first = desk.secret
    with open_desk(tmp_path) as desk:
        assert desk.secret == first
    assert len(first) == 64
    assert (tmp_path / "secret").stat().st_mode & 0o077 == 0


def test_a_long_payload_is_cut_in_the_list_and_says_where_the_rest_is(desk: Desk, session: str) -> None:
    texts = {line.kind: line.payload_text for line in jobs.record_page(desk).entries}
    assert "the whole entry: nares record show" in texts["reading_made"]
    assert "more characters" not in texts["dog_added"]


def test_warm_up_and_closing_reps_are_marked_easy(desk: Desk) -> None:
    plan = ahead(desk, "Moss", read_programme(shipped_programme())).plan
    assert plan
    assert [rep.easy for rep in plan.reps] == [True, True] + [False] * 9 + [True]
