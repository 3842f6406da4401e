"""The form that draws a line-up: what it asks for, every refusal beside its field, codes shown once."""

from dataclasses import replace
from typing import Any

import pytest
from tests.web import lineups as samples
from tests.web.conftest import DeskClient
from tests.web.lineups import FakeLineups

from nares.app.lineups.requests import DrawLineup
from nares.app.lineups.values import LineupsPage
from nares.base.errors import NotEnoughData
from nares.base.lineups import Area, Smell, Spot
from nares.web.lineups.once import MOST, ONCE, Once

AT = "/lineups/new/"


def sent(**changed: Any) -> dict[str, Any]:
    """Everything a browser sends, with some of it changed; None: not sent."""
    form: dict[str, Any] = {
        "once": ONCE.give(),
        "do": "draw",
        "dog": "Bracken",
        "place": "Yard",
        "shape": "straight",
        "positions": "3",
        "width_m": "6",
        "depth_m": "3",
        "runs": "10",
        "targets_low": "0",
        "targets_high": "1",
        "blank_runs": "20",
        "aids": "lot 7\r\nlot 9\r\n",
        "controls": ["gloves", "packaging"],
        "blinding": "double",
        "rules": ["no-long-run"],
        "set_time_min": "",
        "placer": "Tobin Fell",
        "handler": "Joss Pike",
        "evaluator": "Ines Harrow",
        "recorder": "",
        "note": "Wind from the sea.",
        "smell-1": "rope",
        "met-1": "novel",
        "smell-2": "",
        "met-2": "",
    }
    for n, (name, x, y) in enumerate(
        [("gate", "1", "1.5"), ("2", "2.5", "1,5"), ("", "4.0", "1.5")], start=1
    ):
        form |= {f"name-{n}": name, f"x-{n}": x, f"y-{n}": y}
    return {key: value for key, value in (form | changed).items() if value is not None}


def refused(client: DeskClient, lineups: FakeLineups, status: int = 422, **changed: Any) -> str:
    """The page that comes back: nothing was drawn, and what was typed is still there."""
    answer = client.post(AT, sent(**changed))
    said = answer.content.decode().replace("&#x27;", "'")
    assert (answer.status_code, lineups.asked) == (status, [])
    assert "Wind from the sea." in said
    return said


def test_the_form_comes_with_what_is_likely(client: DeskClient, lineups: FakeLineups) -> None:
    said = client.get(f"{AT}?dog=Teasel").content.decode()
    assert '<option value="Teasel" selected>' in said
    assert 'name="place" value="Yard"' in said
    assert 'name="x-6" value="9"' in said
    assert 'name="x-7"' not in said
    assert 'value="double" checked' in said
    assert 'value="no-long-run" checked' in said
    assert 'value="halves">' in said
    assert said.count('class="number"') == 6


def test_each_aim_says_how_the_order_is_drawn(client: DeskClient, lineups: FakeLineups) -> None:
    said = client.get(AT).content.decode()
    assert "All runs are drawn together so that the rules below hold" in said
    assert said.count("drawn by itself") == 2
    assert "not announced" in said


def test_without_a_dog_there_is_nothing_to_draw_for(client: DeskClient, lineups: FakeLineups) -> None:
    lineups.all = LineupsPage((), ())
    assert "Add the first dog" in client.get(AT).content.decode()
    assert "Add the first dog" in client.post(AT, sent()).content.decode()
    assert lineups.asked == []


def test_a_line_up_is_asked_for_as_said(client: DeskClient, lineups: FakeLineups) -> None:
    assert client.post(AT, sent(tested=["2"])).status_code == 200
    spots = (Spot(1, "gate", 1, 1.5), Spot(2, "2", 2.5, 1.5), Spot(3, "3", 4, 1.5))
    assert lineups.asked == [
        DrawLineup(
            area=Area("Yard", "straight", 6, 3, spots, False),
            runs=10,
            targets_low=0,
            targets_high=1,
            dog="Bracken",
            by="Mara Quill",
            blank_runs=0.2,
            aids=("lot 7", "lot 9"),
            distractors=(Smell("rope", True),),
            controls=("packaging", "gloves"),
            blinding="double",
            rules=None,
            tested=(2,),
            people={"placer": "Tobin Fell", "handler": "Joss Pike", "evaluator": "Ines Harrow"},
            set_time_min=None,
            note="Wind from the sea.",
        )
    ]


def test_rules_are_asked_of_a_known_order_alone(client: DeskClient, lineups: FakeLineups) -> None:
    client.post(
        AT, sent(blinding="known", blank_runs="", targets_low="0", keeps_odour="on", set_time_min="20")
    )
    (asked,) = lineups.asked
    assert isinstance(asked, DrawLineup)
    assert (asked.rules, asked.blank_runs, asked.set_time_min) == (("no-long-run",), None, 20)
    client.post(AT, sent(blinding="known", rules=["no-long-run", "win-stay"]))  # the usual ones
    assert isinstance(lineups.asked[1], DrawLineup)
    assert lineups.asked[1].rules is None
    assert asked.area.keeps_odour


def test_the_codes_are_shown_once_each_on_a_card(client: DeskClient, lineups: FakeLineups) -> None:
    form = sent()
    answer = client.post(AT, form)
    said = answer.content.decode()
    assert answer.headers["Cache-Control"] == "no-store"
    assert said.count('<details class="code-card"') == 3
    assert "<span>K7PR</span><span>WXH</span><span>4MD</span>" in said
    assert samples.COMMITMENT in said
    assert "send it to somebody before the first run" in said
    assert "Loading the page again does not show them again" in said
    again = client.post(AT, form)
    assert (again.status_code, again.headers["Location"]) == (302, f"/lineups/{samples.NAME}/")
    assert len(lineups.asked) == 1
    for code in samples.CODES:
        assert code[-3:] not in client.get(AT).content.decode()


def test_a_form_from_before_a_restart_draws_nothing_and_goes_on(
    client: DeskClient, lineups: FakeLineups
) -> None:
    said = refused(client, lineups, 409, once="never given out")
    assert "Nothing was drawn now" in said
    fresh = said.split('name="once" value="')[1].split('"')[0]
    assert client.post(AT, sent(once=fresh)).status_code == 200
    assert len(lineups.asked) == 1


def test_a_refusal_of_the_job_is_told_and_the_same_form_may_be_sent_again(
    client: DeskClient, lineups: FakeLineups
) -> None:
    lineups.refuse = NotEnoughData("No order of 3 runs keeps these rules. Take one away.")
    form = sent()
    answer = client.post(AT, form)
    assert answer.status_code == 422
    assert "No order of 3 runs keeps these rules. Take one away." in answer.content.decode()
    lineups.refuse = None
    assert client.post(AT, form).status_code == 200
    assert len(lineups.asked) == 1


def test_two_presses_at_once_draw_once() -> None:
    once = Once()
    token = once.give()
    assert once.claim(token) == (True, None)
    assert once.claim(token) == (False, "")
    once.drew(token, "Bracken-line-up-3")
    assert once.claim(token) == (False, "Bracken-line-up-3")


def test_a_second_press_while_it_draws_is_told_so(client: DeskClient, lineups: FakeLineups) -> None:
    form = sent()
    assert ONCE.claim(form["once"]) == (True, None)
    assert "is being drawn" in refused(client, lineups, 409, once=form["once"])


def test_forms_given_out_are_not_remembered_without_end() -> None:
    once = Once()
    first = once.give()
    for _ in range(MOST):
        once.give()
    assert once.claim(first) == (False, None)


FAULTS = [
    ("dog", {"dog": ""}, "Nothing was chosen. Choose one."),
    ("dog", {"dog": "Rex"}, "There is no Rex to choose."),
    ("place", {"place": " "}, "Nothing was given. Write a name."),
    ("place", {"place": "y" * 81}, "Too long. Give at most 80 letters."),
    ("shape", {"shape": "star"}, "There is no star to choose."),
    ("positions", {"positions": ""}, "Nothing was given. Give positions from 2 to 60."),
    ("positions", {"positions": "1"}, "1 is out of range. Give positions from 2 to 60."),
    ("positions", {"positions": "5"}, "5 positions are asked for and 3 are on the plan."),
    ("width_m", {"width_m": "wide"}, "'wide' is no number. Give metres from 0.5 to 200."),
    ("width_m", {"width_m": "nan"}, "nan is out of range."),
    ("depth_m", {"depth_m": "0"}, "0 is out of range. Give metres from 0.5 to 200."),
    ("runs", {"runs": "2.5"}, "2.5 is not a whole number. Give runs, like 2."),
    ("runs", {"runs": "501"}, "501 is out of range. Give runs from 1 to 500."),
    ("targets_low", {"targets_low": "-1"}, "-1 is out of range."),
    (
        "targets_high",
        {"targets_low": "2", "blank_runs": ""},
        "At least 2 and at most 1 cannot be. Give 2 or more.",
    ),
    ("targets_high", {"targets_high": "4"}, "4 targets do not fit into 3 positions."),
    ("placer", {"placer": ""}, "Nothing was given. Write a name."),
    ("handler", {"handler": " "}, "Nothing was given. Write a name."),
    ("evaluator", {"evaluator": ""}, "Nothing was given. Write a name."),
    ("blank_runs", {"blank_runs": "101"}, "101 is out of range. Give per cent from 0 to 100."),
    ("blank_runs", {"targets_low": "1"}, "A run with at least 1 is never blank."),
    ("targets_high", {"targets_high": "0"}, "No run would ever hold a target. Give 1 or more."),
    ("aids", {"aids": "\n"}, "No aid was given."),
    ("aids", {"aids": "a" * 81}, "aaaaaaaaaaaaaaaaaaaa… has 81 letters. Give at most 80 a line."),
    ("aids", {"aids": "\n".join(f"lot {n}" for n in range(13))}, "13 aids are too many. Name at most 12."),
    ("set_time_min", {"set_time_min": "soon"}, "'soon' is no number. Give minutes from 0 to 20160."),
    ("handler", {"handler": "tobin fell"}, "tobin fell places too and would know. Name somebody else"),
    ("evaluator", {"evaluator": "Tobin Fell"}, "Tobin Fell places too and would know."),
    ("recorder", {"recorder": "Tobin Fell"}, "Tobin Fell places too and would know."),
]


@pytest.mark.parametrize(("field", "changed", "fault"), FAULTS)
def test_a_fault_stands_at_its_field(
    client: DeskClient, lineups: FakeLineups, field: str, changed: dict[str, str], fault: str
) -> None:
    said = refused(client, lineups, 422, **changed)
    assert f'id="id_{field}_error">{fault}' in said


@pytest.mark.parametrize(
    ("changed", "fault"),
    [
        ({"blinding": "triple"}, "There is no triple to choose."),
        ({"blinding": None}, "Nothing was chosen. Choose one."),
        ({"controls": ["hat"]}, "There is no control hat."),
        ({"rules": ["luck"]}, "There is no rule luck."),
        ({"x-2": " "}, "Nothing was given. Give metres within the width from 0 to 6."),
        ({"x-2": "far"}, "'far' is no number. Give metres within the width from 0 to 6."),
        ({"x-2": "6.1"}, "6.1 is out of range. Give metres within the width from 0 to 6."),
        ({"y-3": "-1"}, "-1 is out of range. Give metres within the depth from 0 to 3."),
        ({"x-2": "1.2"}, "Position 1 is 0.2 m away. Leave 0.3 m between two."),
        ({"name-2": "Gate"}, "Position 1 has the same name. Give each its own."),
        ({"name-1": "n" * 61}, "The name has 61 letters. Give at most 60."),
        ({"smell-2": "Rope"}, "Rope is distractor 1 already. Leave it out here."),
        ({"smell-2": "lot 9"}, "lot 9 is an aid of the target."),
        ({"smell-1": "s" * 81}, "The name has 81 letters. Give at most 80."),
    ],
)
def test_a_fault_of_a_row_or_a_choice_is_told(
    client: DeskClient, lineups: FakeLineups, changed: dict[str, Any], fault: str
) -> None:
    assert fault in refused(client, lineups, **changed)


def test_a_handler_who_places_too_is_no_fault_where_everybody_knows(
    client: DeskClient, lineups: FakeLineups
) -> None:
    assert client.post(AT, sent(blinding="known", handler="Tobin Fell")).status_code == 200


def test_nothing_typed_is_lost(client: DeskClient, lineups: FakeLineups) -> None:
    said = refused(client, lineups, runs="many", tested=["3"])
    for kept in (
        'name="name-1" value="gate"',
        'name="y-2" value="1,5"',
        'name="tested" value="3" checked',
        'name="smell-1" value="rope"',
        '<option value="novel" selected>',
        'value="gloves" checked',
        'value="many"',
        "lot 7\r\nlot 9",
        'value="Tobin Fell"',
    ):
        assert kept in said, kept


def test_looking_it_over_draws_nothing(client: DeskClient, lineups: FakeLineups) -> None:
    for what in ("look", None):
        answer = client.post(AT, sent(do=what))
        assert answer.status_code == 200
        assert "Nothing here has a fault." in answer.content.decode()
    assert lineups.asked == []


def test_positions_are_laid_out_anew_without_a_script(client: DeskClient, lineups: FakeLineups) -> None:
    said = client.post(AT, sent(do="lay", shape="ring", positions="8", place="")).content.decode()
    assert 'name="x-8"' in said
    assert 'name="width_m" value="8"' in said
    assert "shape-ring" in said
    assert 'class="fault"' not in said  # nobody asked for the other fields yet
    assert "Wind from the sea." in said
    assert 'name="keeps_odour"' in said
    said = client.post(AT, sent(do="lay", shape="vehicles", positions="many")).content.decode()
    assert "'many' is no number" in said.replace("&#x27;", "'")
    assert 'name="x-3"' in said


def test_there_are_more_rows_for_distractors_without_a_script(
    client: DeskClient, lineups: FakeLineups
) -> None:
    said = client.post(AT, sent(do="more")).content.decode()
    assert 'name="smell-5"' in said
    assert 'name="smell-6"' not in said
    assert 'name="smell-1" value="rope"' in said


@pytest.mark.parametrize(
    ("asked", "fault"),
    [
        ("shape=star&positions=4", "There is no shape 'star'."),
        ("shape=ring&positions=1", "'1' is no number of positions. Give 2 to 60."),
        ("shape=ring&positions=many", "'many' is no number of positions."),
        ("shape=ring&positions=55", "55 positions do not fit."),
        ("shape=ring&positions=" + "9" * 5000, "is no number of positions."),
    ],
)
def test_a_layout_that_cannot_be_is_refused(
    client: DeskClient, lineups: FakeLineups, asked: str, fault: str
) -> None:
    answer = client.get(f"{AT}area.json?{asked}")
    assert answer.status_code == 422
    assert fault in answer.json()["error"]


def test_a_layout_is_asked_for_by_the_plan(client: DeskClient, lineups: FakeLineups) -> None:
    said = client.get(f"{AT}area.json?shape=ring&positions=8").json()
    assert (said["schema"], said["shape"], len(said["spots"])) == ("lineup-area/1", "ring", 8)


def test_the_form_needs_its_token(strict_client: DeskClient, lineups: FakeLineups) -> None:
    assert strict_client.post(AT, sent()).status_code == 403
    assert lineups.asked == []


def test_typed_markup_stays_text(client: DeskClient, lineups: FakeLineups) -> None:
    evil = '"><script>alert(1)</script>'
    typed: dict[str, Any] = dict.fromkeys(("runs", "place", "aids", "name-1", "x-1", "smell-1"), evil)
    assert "<script>alert" not in refused(client, lineups, **typed)
    lineups.all = replace(lineups.all, dogs=(evil,))
    assert "<script>alert" not in client.get(AT).content.decode()


@pytest.mark.parametrize("typed", ["\x00", "1e999", "−1", "٣", "1" * 4000, "inf"])
def test_odd_numbers_are_refused_calmly(client: DeskClient, lineups: FakeLineups, typed: str) -> None:
    for name in ("runs", "width_m", "x-1"):
        assert client.post(AT, sent(**{name: typed})).status_code in (200, 422)
