"""Which weekdays cost least: everybody looks, an owner asks and takes them."""

from __future__ import annotations

import pytest
from django.test import Client

from pinset.chain.plain import to_plain
from pinset.chain.register import Weekday
from pinset.farm import plan_requests
from pinset.planning.ask.weekdays import OtherDays
from pinset.services.asking.weekdays import DaysLine, WeekdaysAnswer
from pinset.services.clock import now_utc
from pinset.services.plans import planning_day
from web.asking import FORBIDDEN, FOUND, OK, sent_to_sign_in, words
from web.shed import Shed

PAGE = "/weekdays/"


@pytest.fixture
def route(shed: Shed) -> str:
    assert shed.day
    book, _ = planning_day.farm_book()
    return book.routes[0].code


def test_it_is_reached_from_promises(worker: Client, stranger: Client) -> None:
    assert f'href="{PAGE}"' in worker.get("/promises/").content.decode()
    assert worker.get(PAGE).status_code == OK
    assert "Try other weekdays" not in words(worker.get(PAGE))
    assert worker.post(f"{PAGE}ask/").status_code == FORBIDDEN
    assert worker.post(f"{PAGE}accept/").status_code == FORBIDDEN
    assert sent_to_sign_in(stranger, PAGE)


def test_owner_asks_waits_and_takes_the_weekdays(owner: Client, worker: Client, route: str) -> None:
    assert owner.post(f"{PAGE}ask/").status_code == FOUND
    assert "Waiting for its turn." in words(owner.get(PAGE))
    number = plan_requests.take(now_utc())
    assert number is not None
    answer = WeekdaysAnswer(
        "Other weekdays save 3.0% of what the plan costs.",
        (DaysLine(f"{route} block", "block: Friday instead of Monday", "Grey oyster"),),
        ("2 cooks less in 16 weeks",),
        ("It is no proof.",),
        (OtherDays(route, "block", (Weekday.MON,), (Weekday.FRI,)),),
    )
    plan_requests.end(number, now_utc(), answer=to_plain(answer))
    said = words(owner.get(PAGE))
    for sentence in ("save 3.0%", "Friday instead of Monday", "2 cooks less", "no proof"):
        assert sentence in said
    assert "Take these weekdays" not in words(worker.get(PAGE))
    owner.post(f"{PAGE}accept/", {})
    assert "Choose one change or more" in words(owner.get(PAGE))
    owner.post(f"{PAGE}accept/", {"change": [f"{route} block"]})
    book, _ = planning_day.farm_book()
    changed = next(each for each in book.routes if each.code == route)
    assert changed.step("block").weekdays == (Weekday.FRI,)
