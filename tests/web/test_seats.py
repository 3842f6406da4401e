"""Taking, keeping and leaving a seat, and each seat's page and deeds, with fake jobs."""

import logging
import re
from dataclasses import replace

import pytest
from tests.web.fakes import FakeJobs
from tests.web.seated import (
    ADDRESSES,
    CODES,
    DEEDS,
    HIDDEN,
    LINEUP,
    MAY,
    OPENED,
    PEOPLE,
    ROLES,
    SEEN,
    SENT,
    FakeSeats,
    SeatClient,
    evaluating,
    handling,
    placing,
)

from nares.app.lineups.requests import (
    BeginRun,
    CloseLineup,
    MakeCall,
    ObserveRun,
    OpenRun,
    PlaceRun,
    TakeSeat,
    VoidRun,
)
from nares.base.errors import Refused, Unknown
from nares.base.lineups import Called, Observed, Role, Visit
from nares.web.seats.cookie import COOKIE

EVIL = '"><script>alert(1)</script><img src=x onerror=alert(1)>{{ 7|add:7 }}'


@pytest.fixture
def seats(monkeypatch: pytest.MonkeyPatch, fake: FakeJobs) -> FakeSeats:
    made = FakeSeats()
    made.put_in(monkeypatch)
    return made


def sitting(role: Role) -> SeatClient:
    return SeatClient(away=True).sit(next(code for code, its in CODES.items() if its == role))


def page_of(role: Role) -> str:
    return sitting(role).get("/seat/").content.decode()


@pytest.mark.parametrize(
    "typed", ["HANDLERCDE", "handlercde", " hand-lerc de ", "HAND–LERC–DE", "h.a.n.d.lercde"]
)
def test_the_code_is_taken_however_it_is_written(seats: FakeSeats, typed: str) -> None:
    SeatClient(away=True).sit(typed)
    assert seats.asked == [TakeSeat("HANDLERCDE")]


def test_the_cookie_is_kept_from_scripts_and_other_sites_and_ends_with_the_browser(seats: FakeSeats) -> None:
    cookie = sitting("handler").cookies[COOKIE]
    assert cookie["httponly"] is True
    assert (cookie["samesite"], cookie["path"], cookie["max-age"], cookie["expires"]) == (
        "Strict",
        "/",
        "",
        "",
    )


def test_a_wrong_code_is_said_and_seats_nobody(seats: FakeSeats) -> None:
    client = SeatClient(away=True)
    answer = client.post("/seat/", {"code": "WRONG"})
    assert answer.status_code == 409
    assert "opens no seat" in answer.content.decode()
    assert COOKIE not in answer.cookies
    assert client.post("/seat/", {"code": ""}).status_code == 422


def test_too_many_tries_are_said(seats: FakeSeats) -> None:
    seats.refuse = Refused("Too many wrong codes were tried. Wait 30 s, then try again.")
    answer = SeatClient(away=True).post("/seat/", {"code": "HANDLERCDE"})
    assert answer.status_code == 409
    assert "Wait 30 s" in answer.content.decode()


def test_no_form_of_a_seat_is_taken_without_its_token(seats: FakeSeats) -> None:
    strict = SeatClient(away=True, enforce_csrf_checks=True)
    assert strict.post("/seat/", {"code": "HANDLERCDE"}).status_code == 403
    page = strict.get("/seat/").content.decode()
    token = re.search(r'name="csrfmiddlewaretoken" value="([^"]+)"', page)
    assert token
    assert strict.post("/seat/", {"code": "HANDLERCDE", "csrfmiddlewaretoken": token[1]}).status_code == 302
    for name in DEEDS:
        assert strict.post(ADDRESSES[name], SENT[name]).status_code == 403
    assert strict.post("/seat/leave/").status_code == 403
    assert seats.asked == [TakeSeat("HANDLERCDE")]
    assert len(seats.tokens) == 1


@pytest.mark.parametrize("name", DEEDS)
def test_a_deed_is_not_done_by_a_link(seats: FakeSeats, name: str) -> None:
    for role in ROLES:
        assert sitting(role).get(ADDRESSES[name]).status_code == 405


def test_leaving_ends_the_token_itself(seats: FakeSeats) -> None:
    client = sitting("handler")
    copy = client.cookies[COOKIE].value
    answer = client.post("/seat/leave/")
    assert answer.cookies[COOKIE].value == ""
    other = SeatClient(away=True)
    other.cookies[COOKIE] = copy
    assert "Type the code" in other.get("/seat/").content.decode()
    assert other.post("/seat/call/", SENT["make_call"]).status_code == 403


def test_a_second_seat_needs_the_first_left(seats: FakeSeats) -> None:
    client = sitting("handler")
    answer = client.post("/seat/", {"code": "PLACERCODE"})
    assert answer.status_code == 409
    assert "Leave it before you take another" in answer.content.decode()
    assert [asked.code for asked in seats.asked] == ["HANDLERCDE"]


@pytest.mark.parametrize("name", DEEDS)
@pytest.mark.parametrize("role", ROLES)
def test_a_deed_belongs_to_its_seats_whatever_the_form_says(seats: FakeSeats, name: str, role: Role) -> None:
    client = sitting(role)
    seats.asked.clear()
    claimed = {
        **SENT[name],
        "role": MAY[name][0],
        "token": "x",
        "by": "Eve",
        "person": "Eve",
        "lineup": "other",
    }
    answer = client.post(ADDRESSES[name], claimed)
    if role in MAY[name]:
        assert (answer.status_code, len(seats.asked)) == (302, 1)
        assert "Eve" not in repr(seats.asked)
    else:
        assert (answer.status_code, seats.asked) == (403, [])


@pytest.mark.parametrize("name", DEEDS)
def test_no_deed_without_a_seat(seats: FakeSeats, name: str) -> None:
    for client in (SeatClient(), SeatClient(away=True)):
        assert client.post(ADDRESSES[name], SENT[name]).status_code == 403
    assert seats.asked == []


def test_what_each_form_asks_for(seats: FakeSeats) -> None:
    done = {}
    for name in DEEDS:
        client = sitting(MAY[name][0])
        assert client.post(ADDRESSES[name], SENT[name]).status_code == 302
        done[name] = seats.asked[-1]
    token = {seat.role: token for token, seat in seats.tokens.items()}
    assert replace(done["place_run"], token="") == PlaceRun("", 3, "Box 2 was damp.")
    assert replace(done["begin_run"], token="") == BeginRun(
        "", 3, ("Mara Quill", "Ines Harrow", "Wren", "Alder")
    )
    assert done["make_call"] == MakeCall(token["handler"], 3, 4)
    seen = Observed(3, 4, 12.5, (Visit(1, 2.0, 3.0), Visit(4, 9.5, 6.0, True)), "Turned too soon.", "")
    assert replace(done["observe_run"], token="") == ObserveRun("", 3, seen)
    assert replace(done["open_run"], token="") == OpenRun("", 3)
    assert replace(done["void_run"], token="") == VoidRun("", 3, "A cat.")
    assert done["close_lineup"] == CloseLineup(LINEUP, PEOPLE["evaluator"], token["evaluator"], "Rain.")


def test_clear_is_a_call_and_no_alert_an_observation(seats: FakeSeats) -> None:
    assert sitting("handler").post("/seat/call/", {"run": "3", "position": "clear"}).status_code == 302
    assert seats.asked[-1].position is None
    sent = {"run": "3", "alerted_at": "clear", "latency_s": ""}
    assert sitting("recorder").post("/seat/observe/", sent).status_code == 302
    assert seats.asked[-1].observed == Observed(3, None)


@pytest.mark.parametrize("position", ["", "0", "7", "-1", "4.0", "٤", "None", "4 or 5", "04"])
def test_a_call_at_no_position_is_not_sent(seats: FakeSeats, position: str) -> None:
    client = sitting("handler")
    seats.asked.clear()
    assert client.post("/seat/call/", {"run": "3", "position": position}).status_code == 422
    assert seats.asked == []


@pytest.mark.parametrize(
    ("visits", "said"),
    [
        ("4", "Line 1"),
        ("1 2 3\nfour 1 2", "Line 2"),
        ("9 1 2", "no position 9"),
        ("4 -1 2", "Line 1"),
        ("4 nan 2", "Line 1"),
        ("4 1 inf", "Line 1"),
        ("4 1 2 sat", "Line 1"),
        ("4 1 2 alert alert", "Line 1"),
    ],
)
def test_visits_that_cannot_be_read_are_said_by_line_and_nothing_typed_is_lost(
    seats: FakeSeats, visits: str, said: str
) -> None:
    client = sitting("evaluator")
    seats.asked.clear()
    answer = client.post("/seat/observe/", {**SENT["observe_run"], "visits": visits, "note": "Windy here."})
    page = answer.content.decode()
    assert (answer.status_code, seats.asked) == (422, [])
    assert said in page
    assert visits.splitlines()[-1] in page
    assert "Windy here." in page


def test_a_refusal_is_said_on_the_page_with_what_was_typed(seats: FakeSeats) -> None:
    client = sitting("evaluator")
    seats.refuse = Refused("Run 3 is open already.")
    answer = client.post("/seat/void/", {"run": "3", "why": "A cat came by."})
    page = answer.content.decode()
    assert answer.status_code == 409
    assert "Run 3 is open already." in page
    assert "A cat came by." in page
    seats.refuse = Unknown("There is no run 9.")
    assert client.post("/seat/open/", {"run": "9"}).status_code == 404


def test_a_run_that_is_no_number_is_not_sent(seats: FakeSeats) -> None:
    for run in ("", "x", "0", "-3", "1e3"):
        assert sitting("handler").post("/seat/call/", {"run": run, "position": "4"}).status_code == 422


def test_the_placer_sees_what_lies_where_in_the_order_of_placing(seats: FakeSeats) -> None:
    page = page_of("placer")
    assert re.findall(r"Position <strong>(\d)</strong>", page) == ["1", "2", "3", "5", "6", "4"]
    assert page.index(HIDDEN) > page.index("Distractor")
    assert "Keep this screen from everybody else" in page


@pytest.mark.parametrize("state", ["placed", "running", "called", "observed", "open", "void"])
def test_after_placing_the_placer_is_shown_nothing(seats: FakeSeats, state: str) -> None:
    seats.pages["placer"] = placing(state=state)
    page = page_of("placer")
    assert HIDDEN not in page
    assert "plan-target" not in page
    assert "Distractor" not in page


def test_hiding_works_without_scripts(seats: FakeSeats) -> None:
    page = sitting("placer").get("/seat/?hide").content.decode()
    assert HIDDEN not in page
    assert "Position <strong>" not in page
    assert "Show what to place" in page


@pytest.mark.parametrize("step", ["2", "7", "0", "99", "x", "9" * 400, "-1", "²"])
def test_any_step_can_be_asked_for(seats: FakeSeats, step: str) -> None:
    page = sitting("placer").get("/seat/", {"step": step}).content.decode()
    shown = re.findall(r'data-step="(\d)">', page)
    assert shown == [{"2": "2", "7": "7", "99": "7"}.get(step, "1")]


def test_the_sheets_are_the_placers_alone(seats: FakeSeats) -> None:
    answer = sitting("placer").get("/seat/placing.pdf")
    assert answer.headers["Content-Type"] == "application/pdf"
    assert answer.headers["Cache-Control"] == "no-store"
    assert seats.sheets == 1
    for role in ROLES[1:]:
        assert sitting(role).get("/seat/placing.pdf").status_code == 403
    for client in (SeatClient(), SeatClient(away=True)):
        assert client.get("/seat/placing.pdf").status_code == 403
    assert seats.sheets == 1


def test_the_handler_can_call_only_while_the_run_runs_and_no_call_stands(seats: FakeSeats) -> None:
    for state in ("waiting", "placed", "running", "observed", "open", "void"):
        seats.pages["handler"] = handling(state=state)
        assert ('action="/seat/call/"' in page_of("handler")) is (state in ("running", "observed")), state
    called = Called(3, 3, "Mara Quill", "2026-03-14T14:02:11.000Z")
    seats.pages["handler"] = handling(state="called", called=called)
    page = page_of("handler")
    assert "position 3" in page
    assert "14:02:11" in page
    assert 'action="/seat/call/"' not in page
    seats.pages["handler"] = handling(state="called", called=replace(called, position=None))
    assert "<strong>clear</strong>" in page_of("handler")


def test_the_handler_is_told_the_outcome_and_no_count(seats: FakeSeats) -> None:
    seats.pages["handler"] = handling(state="waiting", said="Do not pay")
    page = page_of("handler")
    assert "Do not pay" in page
    for word in ("hits", "misses", "target", "rate", "right", "wrong"):
        assert word not in page.lower()


def test_the_evaluator_begins_with_who_is_present(seats: FakeSeats) -> None:
    seats.pages["evaluator"] = evaluating(state="placed", began_at=None)
    page = page_of("evaluator")
    assert re.findall(r'name="present" value="([^"]+)"', page) == list(PEOPLE.values())
    assert 'action="/seat/observe/"' not in page
    seats.pages["recorder"] = evaluating("recorder", state="placed", began_at=None)
    assert 'action="/seat/begin/"' not in page_of("recorder")


@pytest.mark.parametrize("others", ["", " , "])
def test_a_run_does_not_begin_without_a_name(seats: FakeSeats, others: str) -> None:
    seats.pages["evaluator"] = evaluating(state="placed", began_at=None)
    answer = sitting("evaluator").post("/seat/begin/", {"run": "3", "others": others})
    assert answer.status_code == 422
    assert "Nobody is named. Tick who can see or be seen" in answer.content.decode()
    assert not any(isinstance(one, BeginRun) for one in seats.asked)


def test_a_run_is_opened_only_when_call_and_observation_are_in(seats: FakeSeats) -> None:
    for called, observed, state in (
        (False, None, "running"),
        (True, None, "called"),
        (False, SEEN, "observed"),
    ):
        seats.pages["evaluator"] = evaluating(called=called, observed=observed, state=state)
        assert 'action="/seat/open/"' not in page_of("evaluator")
    seats.pages["evaluator"] = evaluating(called=True, observed=SEEN, state="observed")
    seats.pages["recorder"] = evaluating("recorder", called=True, observed=SEEN, state="observed")
    assert 'action="/seat/open/"' in page_of("evaluator")
    assert 'action="/seat/open/"' not in page_of("recorder")


def test_the_opened_run_is_shown_with_how_blind_it_was(seats: FakeSeats) -> None:
    seats.pages["evaluator"] = evaluating(last=OPENED)
    page = page_of("evaluator")
    assert "Run 2: the call was right" in page
    assert HIDDEN in page
    assert "Double-blind" in page
    assert "sniffed and passed" in page
    seats.pages["evaluator"] = evaluating(last=replace(OPENED, right=False, blinding=None))
    assert "the call was wrong" in page_of("evaluator")
    assert "cannot be said" in page_of("evaluator")


def test_the_box_of_an_opened_target_is_not_named_to_the_evaluator(seats: FakeSeats) -> None:
    seats.pages["evaluator"] = evaluating(last=OPENED)
    assert OPENED.placed[3].container == "T4"
    client = sitting("evaluator")
    assert "T4" not in client.get("/seat.json").content.decode()
    assert "T4" not in client.get("/seat/").content.decode()


def test_a_closed_line_up_takes_no_deed(seats: FakeSeats) -> None:
    seats.pages["evaluator"] = evaluating(closed=True, run=None, state="open", last=OPENED)
    page = page_of("evaluator")
    assert re.findall(r'action="/seat/(\w+)/"', page) == ["leave"]


@pytest.mark.parametrize("role", ROLES)
def test_page_and_twin_hold_the_same_and_change_together(seats: FakeSeats, role: Role) -> None:
    client = sitting(role)
    twin = client.get("/seat.json").json()
    assert (twin["schema"], twin["role"], twin["lineup"]) == ("seat/1", role, LINEUP)
    assert f'data-seen="{twin["seen"]}"' in client.get("/seat/").content.decode()
    seats.pages[role] = replace(seats.pages[role], says="Something else.")
    assert client.get("/seat.json").json()["seen"] != twin["seen"]


@pytest.mark.parametrize("role", ROLES)
def test_no_seat_needs_inline_script_or_names_another_host(seats: FakeSeats, role: Role) -> None:
    page = page_of(role)
    assert not re.search(r"<script(?![^>]*\bsrc=)", page)
    assert not re.search(r"\sstyle=|<style|\son[a-z]+=|javascript:|https?://", page)
    assert "/record/" not in page
    assert 'href="/"' not in page


@pytest.mark.parametrize("role", ROLES)
def test_names_and_notes_are_text(seats: FakeSeats, role: Role) -> None:
    page = seats.pages[role]
    spots = tuple(replace(spot, name=EVIL) for spot in page.area.spots)
    seats.pages[role] = replace(
        page, says=EVIL, person=EVIL, area=replace(page.area, place=EVIL, spots=spots)
    )
    shown = page_of(role)
    assert "<script>alert" not in shown
    assert "<img" not in shown
    assert "&lt;script&gt;" in shown


def test_no_log_line_holds_a_code_a_token_or_a_call(
    seats: FakeSeats, caplog: pytest.LogCaptureFixture, monkeypatch: pytest.MonkeyPatch
) -> None:
    caplog.set_level(logging.DEBUG)

    def broken(desk: object, asked: object) -> None:
        raise RuntimeError("no luck")

    client = sitting("handler")
    client.post("/seat/", {"code": "PLACERCODE"})
    SeatClient(away=True).post("/seat/", {"code": "NOTMYCODE1"})
    client.post("/seat/call/", {"run": "3", "position": "4"})
    client.get("/seat/placing.pdf")
    client.get("/record/")
    sitting("placer").post("/seat/place/", SENT["place_run"])
    for name in ("make_call", "take_seat"):
        monkeypatch.setattr(f"nares.app.jobs.{name}", broken, raising=False)
    assert client.post("/seat/call/", {"run": "3", "position": "5"}).status_code == 500
    assert SeatClient(away=True).post("/seat/", {"code": "EVALUATRCD"}).status_code == 500
    said = caplog.text
    assert "no luck" in said
    for secret in (*CODES, "NOTMYCODE1", *seats.tokens, client.cookies[COOKIE].value, HIDDEN, "damp"):
        assert secret not in said
