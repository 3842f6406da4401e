"""The demo table is the one the simulated dogs leave; the demo builds, measures, and adds nothing twice."""

import math
from collections import Counter
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from tests.demo.simulated_dogs import DOGS, Truth, true_chance
from tests.demo.simulated_dogs import table_text as table_of_the_simulation

from nares.app import jobs
from nares.app.desk import open_desk
from nares.app.tables import reps_of_table
from nares.base.errors import Refused
from nares.decide import read_programme, shipped_programme
from nares.demo import lineup
from nares.demo.build import Built, build
from nares.demo.scenario import FILMED, recording, table_text

NOW = datetime(2026, 11, 20, 9, 30, tzinfo=UTC)


@pytest.fixture(scope="module")
def kennel(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Built]:
    data = tmp_path_factory.mktemp("saltmarsh")
    return data, build(data, now=NOW, progress=lambda done, doing: None)


def test_the_shipped_table_is_what_the_simulated_dogs_did() -> None:
    assert table_text() == table_of_the_simulation().replace("\r\n", "\n")


@pytest.mark.parametrize("dog", DOGS, ids=lambda dog: dog.dog)
def test_the_table_agrees_with_the_hidden_truth(dog: Truth) -> None:
    """The reps met differ from what the truth makes us expect by no more than chance does (four sigma)."""
    steps = {step.key: step.ask_s[1] for step in read_programme(shipped_programme()).steps}
    reps = [rep for rep in reps_of_table(table_text()) if rep.dog == dog.dog]
    seen: Counter[str] = Counter()
    chances = []
    for rep in reps:
        chances.append(true_chance(dog, seen[rep.step], steps[rep.step], rep.ask_s or 0))
        seen[rep.step] += 1
    spread = math.sqrt(sum(chance * (1 - chance) for chance in chances))
    assert abs(sum(rep.met for rep in reps) - sum(chances)) < 4 * spread
    assert len(reps) > 60


def test_the_recording_is_small_enough_to_ship() -> None:
    assert recording().stat().st_size < 4_000_000


def test_the_demo_measures_its_recording(kennel: tuple[Path, Built]) -> None:
    with open_desk(kennel[0]) as desk:
        page = jobs.session_page(desk, FILMED.session)
        assert page.reading is not None
        assert len(page.reading.marks) == 14
        assert len(page.reading.reps) == 15
        assert page.line.to_confirm > 0


def test_the_demo_has_three_dogs_each_with_a_call(kennel: tuple[Path, Built]) -> None:
    with open_desk(kennel[0]) as desk:
        cards = jobs.today_page(desk).dogs
        assert [card.name for card in cards] == ["Bracken", "Teasel", "Plover"]
        assert all(card.call and card.call.next_session for card in cards)
        assert len({card.call.step for card in cards if card.call}) == 3


def test_the_demo_shows_a_correction_in_the_open(kennel: tuple[Path, Built]) -> None:
    with open_desk(kennel[0]) as desk:
        changes = jobs.session_page(desk, "teasel-17").reps[3].changes
        assert [(change.old, change.new) for change in changes] == [("0", "1")]


def test_the_demo_shows_a_sign_seen_and_two_calls_overruled_with_their_outcome(
    kennel: tuple[Path, Built],
) -> None:
    with open_desk(kennel[0]) as desk:
        signs = jobs.signs_page(desk, "Plover")
        assert [line.session for line in signs.lines] == ["plover-05"]
        assert signs.standing.level <= 1
        overruled = jobs.overrulings_page(desk, dog="Teasel").lines
        assert [(line.advised, line.decided) for line in overruled] == [("raise", "stay"), ("raise", "stay")]
        assert all(line.came for line in overruled)


def test_the_demo_shows_a_line_up_run_double_blind_opened_and_scored(kennel: tuple[Path, Built]) -> None:
    with open_desk(kennel[0]) as desk:
        page = jobs.lineup_page(desk, lineup.NAME)
        assert page.holds
        assert [run.blinding for run in page.runs] == ["double"] * lineup.AIM.runs
        wrong = {run.run: run for run in page.runs if not run.right}
        assert wrong.keys() == {4, 7}
        assert wrong[7].called is not None
        assert wrong[7].called.position is None
        assert {one.holds for run in page.runs for one in run.placed if run.run == 7} > {"target"}
        answered = wrong[4].called.position if wrong[4].called else None
        assert [one.item for one in wrong[4].placed if one.position == answered] == ["sausage"]


def test_the_demo_run_again_adds_nothing(kennel: tuple[Path, Built]) -> None:
    again = build(kennel[0], now=NOW + timedelta(days=3), progress=lambda done, doing: None)
    assert again.entries == again.entries_before == kennel[1].entries


def test_the_demo_record_verifies(kennel: tuple[Path, Built]) -> None:
    with open_desk(kennel[0]) as desk:
        assert jobs.verify_record(desk).holds


def test_a_stopped_build_goes_on_where_it_stopped(tmp_path: Path, kennel: tuple[Path, Built]) -> None:
    def stop(done: float, doing: str) -> None:
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        build(tmp_path, now=NOW, progress=stop)
    resumed = build(tmp_path, now=NOW + timedelta(days=1), progress=lambda done, doing: None)
    assert resumed.entries_before < resumed.entries == kennel[1].entries


def test_a_build_stopped_between_measuring_and_looking_goes_on(
    tmp_path: Path, kennel: tuple[Path, Built], monkeypatch: pytest.MonkeyPatch
) -> None:
    def stop(*_: object) -> None:
        raise KeyboardInterrupt

    with monkeypatch.context() as planted:
        planted.setattr(jobs, "confirm_reps", stop)
        with pytest.raises(KeyboardInterrupt):
            build(tmp_path, now=NOW, progress=lambda done, doing: None)
    resumed = build(tmp_path, now=NOW + timedelta(days=1), progress=lambda done, doing: None)
    assert resumed.entries_before < resumed.entries == kennel[1].entries


def test_the_demo_refuses_a_folder_of_another_kennel(tmp_path: Path) -> None:
    with open_desk(tmp_path, kennel="Marram"):
        pass
    with pytest.raises(Refused, match=r"holds the record of Marram.*--data"):
        build(tmp_path, now=NOW, progress=lambda done, doing: None)
