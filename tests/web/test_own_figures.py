"""What the records say of a route, and one tap that takes a figure over."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.test import Client

from pinset.chain.lotcode import encode
from pinset.chain.stages import Stage
from pinset.farm import door, trade
from pinset.farm.entries import NewLot
from pinset.farm.trade import Taken, Tap
from pinset.services.clock import now_utc
from pinset.services.plans import planning_day
from web.asking import FORBIDDEN, FOUND, MISSING, OK, sent_to_sign_in, words
from web.shed import Shed, book_of

PLACE = "/settings/own-figures/"
TAKE = "/settings/own-figures/take/"
LOSS = {"variety": "oyster", "step": "block", "what": "loss"}
AGE = 40


@pytest.fixture
def lots(shed: Shed) -> None:
    """Record four lots of 20 blocks, of which a few were lost."""
    now, book = now_utc(), book_of(shed.day)
    route, shelf = book.routes[0], next(r for r in book.rooms if r.kind == "incubation").shelves[0]
    for number, lost in enumerate((3, 5, 2, 4)):
        code = encode(500 + number)
        lot = NewLot(code, Stage.BLOCK, "oyster", "block", route.code, shed.day - timedelta(AGE))
        taps = (Tap(f"{900 + 2 * number + n:032x}", now - timedelta(AGE - 7 * n)) for n in (0, 1))
        entries = [
            trade.inoculate(next(taps), [], lot, 20, shelf.code),
            trade.lose(next(taps), Taken(code, lost, shelf.code)),
        ]
        door.record(entries, now=now)


def loss_mean() -> float:
    return planning_day.farm_book()[0].routes[0].step("block").loss.mean


def test_owner_finds_it_from_the_settings_and_from_the_route(owner: Client) -> None:
    assert f'href="{PLACE}"' in owner.get("/settings/").content.decode()
    page = owner.get("/settings/route/oyster-blocks/").content.decode()
    assert f'href="{PLACE}?route=oyster-blocks"' in page
    assert owner.get(f"{PLACE}?route=oyster-blocks").status_code == OK


def test_without_old_lots_the_routes_stand(owner: Client) -> None:
    said = words(owner.get(PLACE))
    assert "No lot is old enough yet to say anything; the routes stand." in said
    assert "Take over" not in said


@pytest.mark.usefixtures("lots")
def test_one_tap_takes_a_figure_over(owner: Client) -> None:
    before = loss_mean()
    page = owner.get(f"{PLACE}?variety=oyster")
    assert "Blocks lost" in words(page)
    assert "4 lots, 80 blocks" in words(page)
    assert "Take over: units lost" in words(page)
    answer = owner.post(TAKE, LOSS, follow=True)
    assert "Taken over; the route says so from today." in words(answer)
    assert "In the route since" in words(answer)
    assert "Take over: units lost" not in words(answer)
    after = loss_mean()
    assert before < after < 14 / 80
    assert "The route says so already." in words(owner.post(TAKE, LOSS, follow=True))
    assert loss_mean() == after


@pytest.mark.parametrize(
    ("typed", "why"),
    [
        (LOSS | {"what": "taste"}, "taste"),
        (LOSS | {"step": "x" * 90}, "plate, grain, block, fruiting"),
        (LOSS | {"variety": "blue"}, "oyster"),
        ({}, "Variety"),
        (LOSS, "something to plan with"),
    ],
)
def test_what_cannot_be_taken_over_is_said_and_changes_nothing(
    owner: Client, typed: dict[str, str], why: str
) -> None:
    before = loss_mean()
    answer = owner.post(TAKE, typed)
    assert answer.status_code == FOUND
    assert why in words(owner.get(answer.headers["Location"]))
    assert loss_mean() == before


def test_an_unknown_variety_or_route_is_missing(owner: Client) -> None:
    assert owner.get(f"{PLACE}?variety=blue").status_code == MISSING
    assert owner.get(f"{PLACE}?route=nothing").status_code == MISSING


def test_a_worker_may_neither_look_nor_take(worker: Client) -> None:
    before = loss_mean()
    assert worker.get(PLACE).status_code == FORBIDDEN
    assert worker.post(TAKE, LOSS).status_code == FORBIDDEN
    assert loss_mean() == before


def test_a_stranger_is_sent_to_sign_in(stranger: Client, shed: Shed) -> None:  # noqa: ARG001
    assert sent_to_sign_in(stranger, PLACE)
    assert sent_to_sign_in(stranger, TAKE, post=True)
