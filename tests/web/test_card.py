"""The session card in the browser: one rep large, the plan below, taken, fed, printed; the handler's own."""

from dataclasses import replace

import pytest
from tests.web import samples
from tests.web.conftest import DeskClient
from tests.web.fakes import FakeJobs

from nares.app.deeds import SetRation, TakeCard
from nares.base.errors import Refused
from nares.web.today.plans import plan_of

AT = "/dogs/Bracken/card/"


def panels_shown(page: str) -> list[str]:
    """The reps whose panel is not hidden."""
    parts = page.split('data-rep="')[1:]
    return [part.split('"')[0] for part in parts if " hidden" not in part.split(">")[0]]


@pytest.mark.parametrize(
    ("asked", "shown"),
    [("", "1"), ("?rep=3", "3"), ("?rep=0", "1"), ("?rep=99", "13"), ("?rep=x", "1"), ("?rep=9999999", "1")],
)
def test_the_rep_asked_for_is_the_one_shown(client: DeskClient, asked: str, shown: str) -> None:
    page = client.get(AT + asked).content.decode()
    assert panels_shown(page) == [shown]


def test_without_scripts_every_rep_is_a_link_and_the_next_one_too(client: DeskClient) -> None:
    page = client.get(f"{AT}?rep=3").content.decode()
    assert all(f'href="?rep={n}"' in page for n in range(1, 14))
    assert page.count('aria-current="step"') == 1


def test_a_rep_without_target_asks_no_hold(client: DeskClient) -> None:
    page = client.get(f"{AT}?rep=4").content.decode()
    panel = page.split('data-rep="4"')[1].split('class="turn"')[0]
    assert "no target" in panel
    assert "Going on is right" in panel
    assert "ask-now-u" not in panel


def test_signs_come_before_every_other_reason_to_stop(client: DeskClient) -> None:
    page = client.get(AT).content.decode()
    assert page.index("Signs of stress") < page.index("To the vet at once") < page.index("End on success")


def test_a_call_to_stop_is_said_above_the_first_rep(client: DeskClient, fake: FakeJobs) -> None:
    fake.card = replace(fake.card, call="stop")
    page = client.get(AT).content.decode()
    assert page.index("The call is to stop.") < page.index('id="now"')


def test_a_card_is_taken_as_it_was_seen(client: DeskClient, fake: FakeJobs) -> None:
    assert 'name="seen" value="40"' in client.get(AT).content.decode()
    answer = client.post(f"{AT}take/", {"seen": "40"})
    assert fake.asked == [TakeCard("Bracken", "Mara Quill", 40)]
    assert answer.headers["Location"] == AT


def test_a_refused_card_is_shown_again_with_the_reason(client: DeskClient, fake: FakeJobs) -> None:
    fake.refuse = Refused("Another call was made for Bracken since this card was shown.")
    answer = client.post(f"{AT}take/", {"seen": "40"})
    assert answer.status_code == 409
    assert "Another call was made" in answer.content.decode()


def test_a_taken_card_says_by_whom_and_is_not_taken_again(client: DeskClient, fake: FakeJobs) -> None:
    from nares.app.card_values import CardTakenBy

    fake.card = replace(fake.card, taken=CardTakenBy("Mara Quill", samples.STARTED, 42))
    page = client.get(AT).content.decode()
    assert "Taken by Mara Quill" in page
    assert "Take this card" not in page


def test_what_the_dog_is_fed_is_sent(client: DeskClient, fake: FakeJobs) -> None:
    typed = {"ration_g": "320.5", "reward_g": "0.3", "bowl_g": "200", "rewards_per_rep": "2", "note": "Cold."}
    assert client.post(f"{AT}ration/", typed).headers["Location"] == AT
    asked = SetRation("Bracken", "Mara Quill", 320.5, 0.3, 200.0, None, 2, None, "Cold.")
    assert fake.asked == [asked]


def test_a_count_alone_is_enough(client: DeskClient, fake: FakeJobs) -> None:
    client.post(f"{AT}ration/", {"rewards": "40"})
    assert fake.asked == [SetRation("Bracken", "Mara Quill", rewards=40)]


def test_a_refused_ration_keeps_what_was_typed(client: DeskClient, fake: FakeJobs) -> None:
    fake.refuse = Refused("300 g from the bowl are more than the day's 20 g.")
    answer = client.post(f"{AT}ration/", {"ration_g": "20", "reward_g": "1", "bowl_g": "300"})
    page = answer.content.decode()
    assert answer.status_code == 409
    assert "more than the day" in page
    assert 'value="300"' in page
    assert "<details open>" in page


def test_what_is_no_number_is_said_at_its_field(client: DeskClient, fake: FakeJobs) -> None:
    answer = client.post(f"{AT}ration/", {"ration_g": "a handful"})
    assert answer.status_code == 422
    assert fake.asked == []


def test_the_print_is_a_pdf_with_a_name(client: DeskClient) -> None:
    answer = client.get("/dogs/Bracken/card.pdf?paper=letter")
    assert answer.content == b"%PDF of Bracken on letter"
    assert answer.headers["Content-Type"] == "application/pdf"
    assert answer.headers["Content-Disposition"] == 'inline; filename="card-bracken.pdf"'
    assert client.get("/dogs/Bracken/card.pdf?paper=a5").status_code == 404


def test_the_handlers_page_shows_no_rep_and_no_way_to_the_trainers_card(client: DeskClient) -> None:
    page = client.get(f"{AT}handler/").content.decode()
    assert "is not on this card" in page
    assert "?rep=" not in page
    assert f'href="{AT}"' not in page
    assert "Target in box" not in page


def test_an_empty_card_says_why(client: DeskClient, fake: FakeJobs) -> None:
    fake.card = samples.session_card(0)
    page = client.get(AT).content.decode()
    assert "pays for no more reps" in page
    assert 'js/card.js"' not in page
    assert "Take this card" not in page


def test_a_dog_nobody_added_has_no_card(client: DeskClient) -> None:
    for address in (AT, f"{AT}handler/", "/dogs/Bracken/card.json", "/dogs/Bracken/card.pdf"):
        assert client.get(address.replace("Bracken", "Rex")).status_code == 404


def test_pages_open_to_everybody_do_not_tell_which_reps_are_without_target() -> None:
    call = samples.call("stay")
    reps = list(call.next_session)
    reps[3] = replace(reps[3], ask_s=None, source="blank", target_box=None, pay_place="away")
    plan = plan_of(replace(call, next_session=tuple(reps)))
    assert plan
    assert (plan.veiled, plan.varies) == (True, ())
    assert ("Pay", "inside the box") in plan.same


def test_today_does_not_show_the_order_of_such_a_session(client: DeskClient, fake: FakeJobs) -> None:
    call = samples.call("stay")
    reps = list(call.next_session)
    reps[3] = replace(reps[3], ask_s=None, source="blank", target_box=None, pay_place="away")
    veiled = replace(samples.card(), call=replace(call, next_session=tuple(reps)))
    fake.today = samples.today(veiled)
    page = client.get("/").content.decode()
    assert "Some have no target" in page
    assert '<ol class="asks"' not in page
    assert "blank" not in page.replace("Blank", "")
