"""Calls on paper, typed in on a page: all of them or none, marked as typed in, each fault at its field."""

from datetime import datetime, timedelta

import pytest
from tests.web.conftest import DeskClient
from tests.web.test_lineups_real_jobs import desk as desk
from tests.web.test_lineups_real_jobs import door as door
from tests.web.test_lineups_real_jobs import drawn

from nares.app import jobs
from nares.app.desk import Desk


def sheet(**changed: str) -> dict[str, str]:
    """A sheet of today with two calls, as a browser sends it."""
    now = datetime.now().astimezone()
    said = {
        "day": now.date().isoformat(),
        "called_by": "Joss Pike",
        "why": "No signal in the yard.",
        "call_1": "3",
        "time_1": (now + timedelta(seconds=1)).strftime("%H:%M:%S"),
        "call_2": "clear",
        "time_2": (now + timedelta(seconds=1)).strftime("%H:%M:%S"),
    }
    return said | changed


def test_the_calls_of_a_sheet_go_on_the_record_as_from_paper(door: DeskClient, desk: Desk) -> None:
    name = drawn(door)
    at = f"/lineups/{name}/paper/"
    page = door.get(at).content.decode()
    assert "Call of run 1" in page
    assert 'value="Joss Pike"' in page
    assert f'href="{at}"' in door.get(f"/lineups/{name}/").content.decode()
    answer = door.post(at, sheet())
    assert answer.status_code == 302, answer.content.decode()
    runs = jobs.lineup_page(desk, name).runs
    assert [run.called and run.called.position for run in runs[:3]] == [3, None, None]
    assert runs[1].called is not None
    assert runs[2].called is None
    assert any("typed in from paper" in said for said in runs[0].because)
    again = door.get(at).content.decode()
    assert "Call of run 1<" not in again.replace(" <", "<")
    assert "Call of run 3" in again


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"time_1": ""}, "It has a call and no time."),
        ({"call_2": ""}, "It has a time and no call."),
        ({"call_1": "", "time_1": "", "call_2": "", "time_2": ""}, "No call was given."),
        ({"time_1": "noon"}, "This is no time."),
        ({"call_1": "99"}, "There is no 99 to choose."),
        ({"day": ""}, "No day was given."),
        ({"why": ""}, "No reason was given."),
        ({"called_by": ""}, "Nothing was given. Write a name."),
        ({"day": "2020-01-01"}, "before the key was sealed"),
    ],
)
def test_a_sheet_at_fault_is_refused_whole_and_nothing_typed_is_lost(
    door: DeskClient, desk: Desk, changed: dict[str, str], said: str
) -> None:
    name = drawn(door)
    answer = door.post(f"/lineups/{name}/paper/", sheet(**changed))
    page = answer.content.decode()
    assert answer.status_code in (422, 400, 409), answer.status_code
    assert said in page
    if "why" not in changed:
        assert "No signal in the yard." in page
    assert all(run.called is None for run in jobs.lineup_page(desk, name).runs)


def test_a_call_that_would_be_another_is_refused(door: DeskClient, desk: Desk) -> None:
    name = drawn(door)
    assert door.post(f"/lineups/{name}/paper/", sheet()).status_code == 302
    stale = door.post(f"/lineups/{name}/paper/", sheet(call_1="4"))
    assert stale.status_code == 422
    assert "No call was given" in stale.content.decode()  # run 1 has its call and is asked no more
    first = jobs.lineup_page(desk, name).runs[0].called
    assert first is not None
    assert first.position == 3
