"""The pages of line-ups: the list, one line-up, its sheet and key, closing it."""

from dataclasses import replace

import msgspec
import pytest
from tests.web import lineups as samples
from tests.web.conftest import DeskClient
from tests.web.fakes import FakeJobs
from tests.web.lineups import FakeLineups

from nares.app.lineups.requests import CloseLineup
from nares.app.lineups.values import LineupPage, LineupsPage, SeatView
from nares.base.errors import Refused
from nares.base.lineups import Placed

AT = f"/lineups/{samples.NAME}/"


def page(client: DeskClient, address: str = AT, status: int = 200) -> str:
    answer = client.get(address)
    assert answer.status_code == status
    return answer.content.decode().replace("&#x27;", "'")


def test_the_list_tells_how_far_each_is(client: DeskClient, lineups: FakeLineups) -> None:
    said = page(client, "/lineups/")
    assert said.index(samples.NAME) < said.index("Bracken-line-up-2")
    assert "2 of 4 runs open" in said
    assert "under way" in said
    assert "closed, key opened" in said
    assert "aimed at double-blind" in said
    assert 'href="/lineups/new/"' in said


def test_an_empty_list_says_what_a_line_up_is_for(client: DeskClient, lineups: FakeLineups) -> None:
    lineups.all = samples.page_of_all()
    said = page(client, "/lineups/")
    assert "does the dog find the target where nobody can help it" in said
    assert "Draw the first line-up" in said
    lineups.all = LineupsPage((), ())
    assert "Add the first dog" in page(client, "/lineups/")


def test_the_list_of_one_dog(client: DeskClient, lineups: FakeLineups) -> None:
    other = replace(samples.line("Teasel-line-up-1"), dog="Teasel")
    lineups.all = samples.page_of_all(other, samples.line())
    said = page(client, "/lineups/?dog=Teasel")
    assert "Teasel-line-up-1" in said
    assert samples.NAME not in said
    assert "/lineups/new/?dog=Teasel" in said
    assert 'href="/dogs/Teasel/lineups/"' in said
    assert len(client.get("/lineups.json?dog=Teasel").json()["lines"]) == 1
    assert "No line-up of Sedge yet" in page(client, "/lineups/?dog=Sedge")


def test_a_dogs_page_leads_to_its_line_ups(client: DeskClient, fake: FakeJobs) -> None:
    assert 'href="/lineups/?dog=Bracken"' in client.get("/dogs/Bracken/").content.decode()


@pytest.mark.parametrize("sample", [samples.lineup, samples.closed])
def test_the_twins_hold_the_same_values(client: DeskClient, lineups: FakeLineups, sample: object) -> None:
    lineups.one = sample()  # type: ignore[operator]
    said = client.get(f"/lineups/{samples.NAME}.json").json()
    assert said.pop("schema") == "lineup/1"
    assert msgspec.convert(said, LineupPage) == lineups.one
    said = client.get("/lineups.json").json()
    assert said.pop("schema") == "lineups/1"
    assert msgspec.convert(said, LineupsPage) == lineups.all


def test_a_line_up_says_what_was_asked_and_how_guessable_it_is(
    client: DeskClient, lineups: FakeLineups
) -> None:
    said = page(client)
    for words in (
        "1, but for blank runs, each blank with a chance of 25\u00a0%",
        "rope (novel), tape (used before), biscuit (not known whether novel)",
        "packaging, gloves",
        "double-blind; drawn every run by itself",
        "20\u00a0min",
        "What an opposing expert would raise",
        "Only 4 runs were asked for.",
        "Best possible",
        "25\u00a0%",
        "1 time in 4",
        "1 time in 6",
        "no rule was asked of the order.",
        "not taken yet",
        samples.COMMITMENT,
    ):
        assert words in said, words
    assert f'href="{AT}score/"' in said
    assert 'href="/seat/"' in said
    assert f'href="{AT}calls.pdf"' in said


def test_rules_are_told_in_words_with_the_tries(client: DeskClient, lineups: FakeLineups) -> None:
    rules = (samples.RULES[0].says,)
    lineups.one = replace(lineups.one, aim="known", drawing="constrained", rules=rules, tries=37)
    assert "Work it out" in page(client)
    said = page(client, f"{AT}?guess=1")
    assert samples.RULES[0].says in said
    assert "37 orders drawn until one kept them all" in said
    assert "Work it out" not in said


def test_an_open_run_is_told_in_words_and_signs(client: DeskClient, lineups: FakeLineups) -> None:
    said = page(client)
    assert "target, lot 7" in said
    assert "distractor, rope" in said
    assert "control, gloves" in said
    assert "held a target before" in said
    assert "position 3" in said
    assert "alert at 3; after 14.2\u00a0s; passed 2" in said
    assert "Nobody present had seen the key of this run." in said
    assert 'class="verdict right"' in said
    assert 'class="verdict wrong"' in said


def test_what_lies_in_a_sealed_run_is_not_shown_even_if_it_were_handed_over(
    client: DeskClient, lineups: FakeLineups
) -> None:
    """The page draws an opened run only; a run that is not open shows no plan whatever its value holds."""
    leaky = replace(lineups.one.runs[2], placed=(Placed(5, "target", "leaked lot"),))
    lineups.one = replace(lineups.one, runs=(leaky,))
    assert "leaked lot" not in page(client)
    assert "What lay there" not in page(client)


def test_an_unknown_line_up_is_not_found(client: DeskClient, lineups: FakeLineups) -> None:
    assert "There is no line-up" in page(client, "/lineups/nowhere/", 404)
    assert client.get("/lineups/nowhere.json").json()["status"] == 404
    assert client.get("/lineups/nowhere/calls.pdf").status_code == 404


def test_the_call_sheet_is_a_pdf(client: DeskClient, lineups: FakeLineups) -> None:
    answer = client.get(f"{AT}calls.pdf")
    assert answer.headers["Content-Type"] == "application/pdf"
    assert answer.headers["Content-Disposition"] == 'inline; filename="calls-bracken-line-up-3.pdf"'
    assert answer.content.startswith(b"%PDF")


def test_the_key_is_a_file_once_it_is_opened_and_refused_before(
    client: DeskClient, lineups: FakeLineups
) -> None:
    assert "is sealed" in page(client, f"{AT}key.json", 409)
    lineups.one = samples.closed()
    answer = client.get(f"{AT}key.json")
    assert answer.json() == lineups.one.key
    assert "attachment" in answer.headers["Content-Disposition"]


def test_a_closed_line_up_says_whether_the_key_gives_the_commitment(
    client: DeskClient, lineups: FakeLineups
) -> None:
    lineups.one = samples.closed()
    said = page(client)
    assert "Gives the commitment: yes." in said
    assert "nares lineup check" in said
    assert "Void: Rain came." in said
    assert "Close and open the key" not in said
    lineups.one = replace(lineups.one, holds=False)
    said = page(client)
    assert "Gives the commitment: no." in said
    assert "Do not rely on this line-up" in said


def test_closing_with_runs_left_needs_a_reason_and_a_tick(client: DeskClient, lineups: FakeLineups) -> None:
    answer = client.post(f"{AT}close/", {"why": " "})
    said = answer.content.decode()
    assert (answer.status_code, lineups.asked) == (422, [])
    assert "2 runs are neither open nor void and would become void. Say why." in said
    assert "Not confirmed. Tick this to open the key." in said
    answer = client.post(f"{AT}close/", {"why": "Rain came."})
    assert answer.status_code == 422
    assert "Rain came." in answer.content.decode()


def test_closing_is_asked_for_as_said(client: DeskClient, lineups: FakeLineups) -> None:
    answer = client.post(f"{AT}close/", {"why": "Rain came.", "sure": "on"})
    assert (answer.status_code, answer.headers["Location"]) == (302, AT)
    assert lineups.asked == [CloseLineup(samples.NAME, "Mara Quill", why="Rain came.")]


def test_closing_when_nothing_is_left_asks_for_no_reason(client: DeskClient, lineups: FakeLineups) -> None:
    lineups.one = replace(samples.closed(), closed_at=None, key=None)
    assert 'name="why"' not in page(client)
    assert client.post(f"{AT}close/", {"sure": "on"}).status_code == 302


def test_a_refusal_to_close_is_told_and_the_reason_kept(client: DeskClient, lineups: FakeLineups) -> None:
    lineups.refuse = Refused("It is closed already.")
    answer = client.post(f"{AT}close/", {"why": "Rain came.", "sure": "on"})
    assert answer.status_code == 409
    assert "It is closed already." in answer.content.decode()
    assert "Rain came." in answer.content.decode()


EVIL = '"><script>alert(1)</script><img src=x onerror=alert(1)>{{ 7|add:7 }}'


def test_names_with_markup_stay_text(client: DeskClient, lineups: FakeLineups) -> None:
    area = replace(samples.area(), place=EVIL)
    area = replace(area, spots=tuple(replace(spot, name=EVIL) for spot in area.spots))
    run = replace(
        samples.opened(1, 3, 3), placed=(Placed(3, "target", EVIL),), because=(EVIL,), present=(EVIL,)
    )
    lineups.one = replace(
        samples.closed(), area=area, runs=(run, replace(run, void=EVIL)), rules=(EVIL,), findings=(EVIL,),
        aids=(EVIL,), note=EVIL, key={"nonce": EVIL}, sealed_by=EVIL,
        seats=(SeatView("handler", EVIL),),
    )  # fmt: skip
    lineups.all = samples.page_of_all(replace(samples.line(), lineup=EVIL, dog=EVIL, place=EVIL))
    for address in (AT, "/lineups/", "/lineups/new/", "/lineups/?dog=x%22%3E%3Cscript%3Ealert(1)"):
        said = client.get(address).content.decode()
        assert "<script>alert" not in said, address
        assert "<img" not in said, address
