"""The board: everybody looks; an owner holds, moves, frees, marks days off and outages."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from django.test import Client

from pinset.chain.outages import Outage, OutageOf
from pinset.chain.stages import Stage
from pinset.planning.plan import Move, PinKept, PlannedCook, Start
from pinset.services.board import at_once
from pinset.services.plans import planning_day
from services.planned import planned
from web.asking import FORBIDDEN, FOUND, MISSING, OK, UNFIT, sent_to_sign_in, words
from web.shed import Shed

FEW = 3


def working(day: date, ahead: int) -> date:
    """Return the working day so many after a day."""
    while ahead or day.weekday() > 4:
        day += timedelta(days=1)
        ahead -= day.weekday() <= 4 and ahead > 0
    return day


@pytest.fixture
def monday(shed: Shed) -> date:
    return working(shed.day, 1)


@pytest.fixture
def plan(shed: Shed, monday: date) -> None:
    """Twelve blocks to start, ten moved in, one cook the working day after."""
    start = Start(
        monday, "oyster", "block", Stage.BLOCK, 12.0, (), 11.4, monday + timedelta(days=20),
        ("kitchen-friday",), "Feeds 4 kg Grey oyster.", slack_days=2,
    )  # fmt: skip
    move = Move(
        monday, "oyster", "fruiting", 10.0, "grow", serves=("kitchen-friday",), why="Bears."
    )
    cook = PlannedCook(working(shed.day, 2), "steamer", "block", 1.0, 42.0, 20.0)
    planned(shed.day, starts=(start,), moves=(move,), cooks=(cook,))


def pins() -> dict[tuple[str, date], int]:
    book, _ = planning_day.farm_book()
    return {(pin.step, pin.day): pin.count for pin in book.pins}


@pytest.mark.usefixtures("plan")
def test_everybody_sees_days_across_and_places_down(worker: Client, monday: date) -> None:
    response = worker.get("/board/")
    assert response.status_code == OK
    page, said = response.content.decode(), words(response)
    assert "12 blocks" in said
    assert "42 of 240 L" in said
    assert f'href="/board/{monday.isoformat()}/oyster/block/"' in page
    places = [said.index(each) for each in ("Laboratory", "Steamer", "Grow room")]
    assert places == sorted(places)
    assert "style=" not in page
    assert "Plan again" not in said
    assert page.count('scope="col"') == 22


@pytest.mark.usefixtures("plan")
def test_a_narrow_screen_is_given_the_day_it_asks_for(worker: Client, shed: Shed) -> None:
    page = worker.get(f"/board/?day={(shed.day + timedelta(days=FEW)).isoformat()}")
    assert f"?day={(shed.day + timedelta(days=FEW - 1)).isoformat()}" in page.content.decode()
    assert f"?day={(shed.day + timedelta(days=FEW + 1)).isoformat()}" in page.content.decode()
    assert worker.get("/board/?day=soon").status_code == MISSING


@pytest.mark.usefixtures("plan")
def test_a_card_says_why_and_a_worker_may_not_change_it(worker: Client, monday: date) -> None:
    address = f"/board/{monday.isoformat()}/oyster/block/"
    response = worker.get(address)
    said = words(response)
    for sentence in ("Feeds 4 kg Grey oyster.", "A kitchen (invented)", "It can wait 2 days"):
        assert sentence in said
    assert "Hold it here" not in said
    assert worker.post(f"{address}pin/", {"act": "hold"}).status_code == FORBIDDEN
    assert pins() == {}
    assert worker.get(f"/board/{monday.isoformat()}/oyster/grain/").status_code == MISSING


@pytest.mark.usefixtures("plan")
def test_owner_holds_a_start_and_frees_it(owner: Client, monday: date) -> None:
    address = f"/board/{monday.isoformat()}/oyster/block/"
    assert owner.post(f"{address}pin/", {"act": "hold"}).status_code == FOUND
    assert pins() == {("block", monday): 12}
    said = words(owner.get("/board/"))
    assert "1 pin was changed since the plan was made: plan again." in said
    assert "pinned" in said
    assert "Take the pin off" in words(owner.get(address))
    assert owner.post(f"{address}pin/", {"act": "free"}).status_code == FOUND
    assert pins() == {}


@pytest.mark.usefixtures("plan")
def test_owner_moves_a_start_to_another_day_and_both_days_are_pinned(
    owner: Client, monday: date, shed: Shed
) -> None:
    to = working(shed.day, 3)
    address = f"/board/{monday.isoformat()}/oyster/block/pin/"
    assert owner.post(address, {"act": "move", "to": to.isoformat()}).status_code == FOUND
    assert pins() == {("block", monday): 0, ("block", to): 12}
    assert "no blocks" not in words(owner.get(f"/board/{to.isoformat()}/oyster/block/"))
    saturday = to + timedelta(days=(5 - to.weekday()) % 7)
    owner.post(address, {"act": "move", "to": saturday.isoformat()})
    assert ("block", saturday) not in pins()


@pytest.mark.usefixtures("plan")
def test_what_breaks_by_a_change_is_said_at_once(
    owner: Client, monday: date, shed: Shed, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The twelve blocks are moved to today, for which nothing was cooked."""
    address = f"/board/{monday.isoformat()}/oyster/block/pin/"
    owner.post(address, {"act": "move", "to": shed.day.isoformat()})
    said = words(owner.get("/board/"))
    assert "If nothing else is changed:" in said
    told = at_once.what_breaks(())
    assert told
    assert told[0] in said
    monkeypatch.setattr(at_once, "what_breaks", lambda _before: ())
    owner.post(address, {"act": "free"})
    assert "If nothing else is changed:" not in words(owner.get("/board/"))


@pytest.mark.usefixtures("plan")
def test_pins_taken_off_or_of_cooks_alone_are_left_to_the_next_plan(
    owner: Client, monday: date, shed: Shed
) -> None:
    before = at_once.pins_now()
    cook = working(shed.day, 2)
    owner.post(f"/board/{cook.isoformat()}/steamer/block/pin/", {"act": "not"})
    assert at_once.what_breaks(before) == ()
    owner.post(f"/board/{monday.isoformat()}/oyster/block/pin/", {"act": "not"})
    with_both = at_once.pins_now()
    assert at_once.what_breaks(before) != ()
    assert at_once.what_breaks(with_both) == ()


@pytest.mark.usefixtures("plan")
def test_owner_says_not_on_this_day_of_a_move(owner: Client, monday: date) -> None:
    address = f"/board/{monday.isoformat()}/oyster/fruiting/pin/"
    assert owner.post(address, {"act": "not"}).status_code == FOUND
    assert pins() == {("fruiting", monday): 0}


@pytest.mark.usefixtures("plan")
def test_owner_holds_a_cook_moves_it_and_frees_it(owner: Client, shed: Shed) -> None:
    day, to = working(shed.day, 2), working(shed.day, 3)
    address = f"/board/{day.isoformat()}/steamer/block/"
    assert "A cook follows from the starts that need it" in words(owner.get(address))
    assert owner.post(f"{address}pin/", {"act": "hold"}).status_code == FOUND
    book, _ = planning_day.farm_book()
    [pin] = book.pins
    assert (pin.steriliser, pin.variety, pin.step, pin.day, pin.count) == (
        "steamer", "", "block", day, 1,
    )  # fmt: skip
    assert "pinned" in words(owner.get("/board/"))
    owner.post(f"{address}pin/", {"act": "move", "to": to.isoformat()})
    assert pins() == {("block", day): 0, ("block", to): 1}
    assert "1 block cook" in words(owner.get(f"/board/{to.isoformat()}/steamer/block/"))
    owner.post(f"/board/{to.isoformat()}/steamer/block/pin/", {"act": "free"})
    assert pins() == {("block", day): 0}


def test_a_cook_of_today_is_laid_already(owner: Client, shed: Shed) -> None:
    cook = PlannedCook(shed.day, "steamer", "block", 1.0, 42.0, 20.0)
    planned(shed.day, cooks=(cook,))
    address = f"/board/{shed.day.isoformat()}/steamer/block/"
    said = words(owner.get(address))
    assert "A cook of today is laid already" in said
    assert "Hold it here" not in said
    owner.post(f"{address}pin/", {"act": "hold"})
    assert pins() == {}


def test_a_pin_the_plan_cannot_keep_says_so(owner: Client, shed: Shed) -> None:
    day = working(shed.day, 1)
    planned(shed.day, starts=(_start(day),))
    owner.post(f"/board/{day.isoformat()}/oyster/block/pin/", {"act": "hold"})
    book, _ = planning_day.farm_book()
    [pin] = book.pins
    broken = PinKept(pin.code, "oyster", "block", day, 12.0, 0.0, "No grain is left.")
    planned(shed.day, pins=(broken,))
    said = words(owner.get("/board/"))
    assert "No grain is left." in said
    assert "cannot be kept" in said
    assert "No grain is left." in words(owner.get(f"/board/{day.isoformat()}/oyster/block/"))


def _start(day: date) -> Start:
    ready = day + timedelta(days=20)
    return Start(day, "oyster", "block", Stage.BLOCK, 12.0, (), 11.4, ready, (), "Feeds.")


@pytest.mark.usefixtures("plan")
def test_owner_marks_a_day_off_and_takes_it_back(owner: Client, monday: date) -> None:
    address = f"/board/{monday.isoformat()}/"
    assert "A working day." in words(owner.get(address))
    assert owner.post(f"{address}mark/", {"act": "off"}).status_code == FOUND
    assert monday in planning_day.farm_book()[0].farm.days_off
    assert "A day off." in words(owner.get(address))
    assert owner.post(f"{address}mark/", {"act": "on"}).status_code == FOUND
    assert monday not in planning_day.farm_book()[0].farm.days_off
    saturday = monday + timedelta(days=5 - monday.weekday())
    owner.post(f"/board/{saturday.isoformat()}/mark/", {"act": "off"})
    assert saturday not in planning_day.farm_book()[0].farm.days_off


@pytest.mark.usefixtures("plan")
def test_owner_puts_a_steriliser_out_of_use_from_the_board(
    owner: Client, worker: Client, monday: date
) -> None:
    address = f"/board/{monday.isoformat()}/out-of-use/"
    last = monday + timedelta(days=2)
    given = {"thing": "steriliser:steamer", "first": monday.isoformat(), "note": "new seal"}
    assert worker.get(address).status_code == FORBIDDEN
    assert owner.post(address, given).status_code == UNFIT  # no last day
    before = {**given, "last": (monday - timedelta(days=1)).isoformat()}
    assert owner.post(address, before).status_code == UNFIT
    wrong = {**given, "last": last.isoformat(), "thing": "steriliser:kettle"}
    assert owner.post(address, wrong).status_code == UNFIT
    assert owner.post(address, {**given, "last": last.isoformat()}).status_code == FOUND
    [outage] = planning_day.farm_book()[0].outages
    code = f"steamer-{monday:%Y%m%d}"
    assert outage == Outage(code, OutageOf.STERILISER, "steamer", monday, last, "new seal")
    assert "Steamer is out of use" in words(owner.get("/board/"))
    day = owner.get(f"/board/{monday.isoformat()}/").content.decode()
    assert f'href="/settings/outage/{code}/"' in day


def test_a_farm_without_a_plan_has_a_board(worker: Client) -> None:
    assert worker.get("/board/").status_code == OK
    assert 'href="/board/"' in worker.get("/promises/").content.decode()


def test_a_stranger_is_sent_to_sign_in(stranger: Client, shed: Shed) -> None:
    day = shed.day.isoformat()
    for address in ("/board/", f"/board/{day}/", f"/board/{day}/oyster/block/"):
        assert sent_to_sign_in(stranger, address)
    for address in (f"/board/{day}/mark/", f"/board/{day}/oyster/block/pin/"):
        assert sent_to_sign_in(stranger, address, post=True)
