from __future__ import annotations

from datetime import date, timedelta

import pytest
from django.test import Client

from pinset.chain.plain import to_plain
from pinset.farm import plan_requests
from pinset.services.asking.view import EndangeredRow, HelpRow, PromiseAnswer, Verdict
from pinset.services.clock import now_utc
from pinset.services.plans import planning_day, work
from web.answers import answer
from web.asking import (
    CONFLICT,
    FORBIDDEN,
    FOUND,
    MISSING,
    NO_CONTENT,
    OK,
    UNFIT,
    sent_to_sign_in,
    words,
)
from web.shed import Shed

ASK = "/can-promise/"
WEEKLY = {
    "variety": "oyster", "step": "picked", "amount": "2.5", "weekday": "wed", "certainty": "90",
}  # fmt: skip


def _asked(client: Client, **more: str) -> str:
    response = client.post(ASK, {**WEEKLY, **more})
    assert response.status_code == FOUND, words(response)
    return str(response.headers["Location"])


def _take(address: str) -> int:
    number = plan_requests.take(now_utc())
    assert number == int(address.split("/")[2])
    return number


def _answered(client: Client, found: PromiseAnswer) -> str:
    address = _asked(client)
    plan_requests.end(_take(address), now_utc(), answer=to_plain(found))
    return address


def test_it_is_reached_from_promises_and_asked_by_owner_and_worker(
    owner: Client, worker: Client
) -> None:
    for client in (owner, worker):
        assert f'href="{ASK}"' in client.get("/promises/").content.decode()
        page = client.get(ASK)
        assert page.status_code == OK
        assert 'name="certainty" type="text" value="95"' in page.content.decode()
        assert "Waiting for its turn." in words(client.get(_asked(client)))


def test_how_far_it_is_and_then_the_answer(worker: Client, shed: Shed) -> None:
    address = _asked(worker)
    number = _take(address)
    plan_requests.tell(number, "planning with it")
    part = worker.get(address, headers={"HX-Request": "true"})
    assert part.status_code == OK
    assert "planning with it" in words(part)
    assert "<html" not in part.content.decode()
    plan_requests.end(number, now_utc(), answer=to_plain(answer(shed.day)))
    part = worker.get(address, headers={"HX-Request": "true"})
    assert part.status_code == NO_CONTENT
    assert part.headers["HX-Redirect"] == address
    page = worker.get(address)
    assert "Yes: 2.5 kg Grey oyster, met in 96 of 100 seasons." in words(page)
    assert f'href="{address}"' in worker.get(ASK).content.decode(), "it can be opened again"


def test_the_real_answer_stands_on_the_page(owner: Client) -> None:
    address = _asked(owner)
    assert work.work_once()
    said = words(owner.get(address))
    for part in ("Day by day", "What it takes", "What is promised already", "600 seasons"):
        assert part in said
    assert "A chance is no proof." in said


def test_everything_that_is_said_stands_on_the_page(owner: Client, shed: Shed) -> None:
    day = shed.day + timedelta(days=41)
    rows = tuple(
        EndangeredRow("kitchen-friday", "A kitchen", "Grey oyster", day, 0.96, 0.6, is_clear=True)
        for _ in range(14)
    )
    found = answer(
        shed.day,
        Verdict.NO,
        short=("On Monday short by 2 kg. All hands are busy.",),
        helps=(HelpRow("places", "With more places it would be met.", 0.96, is_enough=True),),
        helps_note="Time ran out.",
        warning="It makes 14 deliveries less sure.",
        remarks=("So near that seasons cannot tell.",),
        endangered=rows,
    )
    response = owner.get(_answered(owner, found))
    said = words(response)
    for part in (
        "All hands are busy.", "With more places", "Time ran out.", "cannot tell", "A kitchen",
        "It makes 14",
        "2 more deliveries", "about nothing", "The farm was planned twice.",
        "Something was written down since",
    ):  # fmt: skip
        assert part in said, part
    assert "/promises/new/" not in response.content.decode(), "a no is not promised"


def test_from_a_yes_the_owner_promises_with_one_more_tap(owner: Client, shed: Shed) -> None:
    address = _answered(owner, answer(shed.day))
    number = address.split("/")[2]
    link = f"/promises/new/?asked={number}"
    assert f'href="{link}"' in owner.get(address).content.decode()
    form = owner.get(link).content.decode()
    first = (shed.day + timedelta(days=40)).isoformat()
    assert 'name="amount" type="text" value="2.5"' in form
    assert f'name="from_date" type="date" value="{first}"' in form
    assert 'value="wed" selected' in form
    sent = {**WEEKLY, "buyer": "market", "from_date": first}
    assert owner.post(link, sent).status_code == FOUND
    book, _ = planning_day.farm_book()
    promise = planning_day.promise_by_code(book, "market-oyster")
    assert promise is not None
    assert (promise.amount, promise.from_date) == (2500, date.fromisoformat(first))


def test_a_not_yet_is_promised_from_the_day_it_holds(owner: Client, shed: Shed) -> None:
    holds = shed.day + timedelta(days=61)
    address = _answered(owner, answer(shed.day, Verdict.LATER, holds_from=holds))
    assert "Promise it from" in words(owner.get(address))
    form = owner.get(f"/promises/new/?asked={address.split('/')[2]}").content.decode()
    assert f'name="from_date" type="date" value="{holds.isoformat()}"' in form


def test_a_worker_may_ask_and_not_promise(worker: Client, shed: Shed) -> None:
    address = _answered(worker, answer(shed.day))
    page = worker.get(address)
    assert "/promises/new/" not in page.content.decode()
    assert "Only an owner can promise it." in words(page)
    number = address.split("/")[2]
    assert worker.get(f"/promises/new/?asked={number}").status_code == FORBIDDEN


def test_giving_up(owner: Client, worker: Client) -> None:
    mine, of_owner = _asked(worker), _asked(owner, amount="3")
    assert "Give up" in words(worker.get(mine))
    assert "Give up" not in words(worker.get(of_owner))
    assert worker.post(f"{of_owner}give-up/").status_code == CONFLICT
    number = _take(mine)
    assert worker.post(f"{mine}give-up/").status_code == FOUND
    assert "Given up." in words(worker.get(ASK))
    plan_requests.end(number, now_utc(), answer={"late": True})
    assert "given up before it was answered" in words(worker.get(mine))
    assert mine not in worker.get(ASK).content.decode()
    assert owner.post(f"{mine}give-up/").headers["Location"] == mine, "it has ended already"


def test_what_went_wrong_is_said(owner: Client) -> None:
    address = _asked(owner)
    plan_requests.end(_take(address), now_utc(), "The farm does not grow gold any more.")
    assert "does not grow gold" in words(owner.get(address))
    assert "failed" in words(owner.get(ASK))
    form = owner.get(f"{ASK}?again={address.split('/')[2]}").content.decode()
    assert 'name="amount" type="text" value="2.5"' in form
    assert 'name="certainty" type="text" value="90"' in form


@pytest.mark.parametrize(
    ("wrong", "why"),
    [
        ({"variety": "gold"}, "Variety: “gold” is not accepted."),
        ({"amount": "0"}, "How much: “0” is not accepted."),
        ({"amount": "-1"}, "How much: “-1” is not accepted."),
        ({"amount": "99999"}, "at most 10,000 kg"),
        ({"step": "fruiting"}, "What: “fruiting” is not accepted."),
        ({"weekday": "", "on_date": "2020-01-01"}, "or once, on: “2020-01-01” is not accepted."),
        ({"weekday": "", "on_date": "2999-01-01"}, "no plan sees further ahead"),
        ({"weekday": ""}, "Every week is still empty."),
        ({"certainty": "100"}, "How sure: “100” is not accepted."),
        ({"amount": "9" * 90}, "at most 80 signs"),
    ],
)
def test_nonsense_is_named_and_nothing_is_asked(
    worker: Client, wrong: dict[str, str], why: str
) -> None:
    response = worker.post(ASK, {**WEEKLY, **wrong})
    assert response.status_code == UNFIT
    assert why in words(response)
    assert plan_requests.take(now_utc()) is None


def test_too_many_questions_are_refused_in_words(worker: Client) -> None:
    for kilograms in range(1, 6):
        _asked(worker, amount=str(kilograms))
    response = worker.post(ASK, {**WEEKLY, "amount": "9"})
    assert response.status_code == UNFIT
    assert "5 questions wait already." in words(response)


def test_a_plan_is_no_question_and_a_question_no_plan(owner: Client) -> None:
    plan = owner.post("/plan/").headers["Location"].split("/")[2]
    assert owner.get(f"{ASK}{plan}/").status_code == MISSING
    question = _asked(owner).split("/")[2]
    assert owner.get(f"/plan/{question}/").status_code == MISSING
    assert owner.get(f"{ASK}999/").status_code == MISSING
    assert owner.post(f"{ASK}999/give-up/").status_code == MISSING


@pytest.mark.parametrize("number", ["", "x", "-1", "9" * 30, "²"])
def test_a_number_that_is_none_leaves_the_form_empty(owner: Client, number: str) -> None:
    assert owner.get(ASK, {"again": number}).status_code == OK
    assert owner.get("/promises/new/", {"asked": number}).status_code == OK


def test_stranger_is_sent_to_sign_in(stranger: Client, shed: Shed) -> None:  # noqa: ARG001
    for address in (ASK, f"{ASK}1/"):
        assert sent_to_sign_in(stranger, address)
    assert sent_to_sign_in(stranger, f"{ASK}1/give-up/", post=True)
