"""Losses on pages: nothing yet, what stands out with its lots, and who may see people named."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import timedelta

import pytest
from django.test import Client

from pinset.chain.histories import Shared
from pinset.chain.lotcode import encode
from pinset.chain.stages import Stage
from pinset.farm import door, trade
from pinset.farm.entries import NewLot
from pinset.farm.trade import Taken, Tap
from pinset.services.clock import now_utc
from pinset.services.losses import reckoning
from pinset.services.losses.view import losses_view
from pinset.services.plans import work
from web.asking import MISSING, OK, sent_to_sign_in, words
from web.shed import Shed, book_of

PLACE = "/losses/"
SUSPECT = "/losses/suspect/"
BAD = "kettle-20260101-1000"


@pytest.fixture
def lots(shed: Shed) -> list[str]:
    """Record forty lots of blocks of ten cooks; those of one cook are lost by half."""
    return _blocks(shed, lambda number: 10 * (number // 4 == 5) or number % 3 == 0)


@pytest.fixture
def lots_of_two(shed: Shed) -> list[str]:
    """Record forty lots of ten cooks, by two people in turn; one of them loses half of each."""
    return _blocks(shed, lambda number: 10 * (number % 2), people=("ada", "ben"))


def _blocks(shed: Shed, lost: Callable[[int], int], people: Sequence[str] = ("ada",)) -> list[str]:
    now, book = now_utc(), book_of(shed.day)
    route, shelf = book.routes[0], next(r for r in book.rooms if r.kind == "incubation").shelves[0]
    codes = []
    for number in range(40):
        age = 90 - 2 * number
        cook = BAD if 20 <= number < 24 else f"kettle-202512{number // 4 + 10}-1000"
        code = encode(500 + number)
        codes.append(code)
        lot = NewLot(
            code,
            Stage.BLOCK,
            "oyster",
            "block",
            route.code,
            shed.day - timedelta(age),
            cook=cook,
        )
        made = Tap(f"{9000 + 3 * number:032x}", now - timedelta(age), people[number % len(people)])
        seen = Tap(f"{9001 + 3 * number:032x}", now - timedelta(max(age - 12, 0), hours=1))
        entries = [trade.inoculate(made, [], lot, 20, shelf.code)]
        if age > 13:
            units = int(lost(number))
            left = Taken(code, 20 - units, shelf.code)
            looked = replace(seen, client_id=f"{9002 + 3 * number:032x}")
            if units:
                entries.append(
                    trade.lose(
                        seen, Taken(code, units, shelf.code), cause="green", signs=("green-dust",)
                    )
                )
            entries.append(trade.look(looked, [left]))
        door.record(entries, now=now)
    return codes


def test_before_anything_was_reckoned(owner: Client) -> None:
    assert "have not been reckoned yet" in words(owner.get(PLACE))
    assert owner.get(SUSPECT, {"kind": "cook", "level": BAD}).status_code == MISSING


def test_stranger_is_sent_to_sign_in(stranger: Client, shed: Shed) -> None:  # noqa: ARG001
    assert sent_to_sign_in(stranger, PLACE)
    assert sent_to_sign_in(stranger, SUSPECT)


def test_a_bad_cook_stands_out_with_its_lots(owner: Client, lots: list[str]) -> None:
    reckoning.reckon_now()
    page = owner.get(PLACE)
    said = words(page)
    assert "Cook of 1 January, 10:00" in said
    assert "times the usual losses" in said
    assert f'{SUSPECT}?kind=cook&amp;level={BAD}"' in page.content.decode()
    one = words(owner.get(SUSPECT, {"kind": "cook", "level": BAD}))
    for code in lots[20:24]:
        assert code in one
    assert lots[3] not in one
    assert "for it" in one
    assert "Nobody judged this cook" in one
    assert "Green dust: 40 units in 4 lots. Usually: Green mould" in one


def test_on_a_phone_every_sister_lot_is_a_card_with_its_decision(
    owner: Client, lots_of_two: list[str]
) -> None:
    assert lots_of_two
    reckoning.reckon_now()
    page = owner.get(PLACE).content.decode()
    table = page[page.index('id="sisters"') :]
    table = table[: table.index("</table>")]
    assert '<table class="stacked">' in table
    rows = table[table.index("<tbody>") :].split("<tr>")[1:]
    assert rows
    for row in rows:  # each figure carries its name, as there is no head above it
        assert row.count('data-head="') == row.count("<td") - 1
        assert "/losses/lot/" in row


def test_people_are_named_to_owners_only(
    owner: Client, worker: Client, lots_of_two: list[str]
) -> None:
    assert lots_of_two
    reckoning.reckon_now()
    person = f"{SUSPECT}?kind=person&amp;level=ben"
    one = {"kind": "person", "level": "ben"}
    assert person in owner.get(PLACE).content.decode()
    assert owner.get(SUSPECT, one).status_code == OK
    assert person not in worker.get(PLACE).content.decode()
    assert worker.get(SUSPECT, one).status_code == MISSING
    kept = reckoning.latest()
    assert kept is not None
    sessions = [each for each in kept.reckoned.of_suspects if each.kind is Shared.SESSION]
    assert sessions
    for each in sessions[:4]:  # work in no bench session is told by its day, by nobody's name
        asked = worker.get(SUSPECT, {"kind": "session", "level": each.level})
        page = re.sub(r"(?s).*<main|</main>.*", "", asked.content.decode())
        assert "Transfers of" in page
        assert not re.search(r"(?i)\b(ada|ben)\b", f"{page} {each.level}")
    seen_by = [losses_view(with_people=is_owner) for is_owner in (True, False)]
    shared = ["Ben" in " ".join(name for s in v.sisters for name in s.shares) for v in seen_by if v]
    assert shared == [True, False]


def test_a_reckoning_grows_old_without_an_entry(lots: list[str]) -> None:
    assert lots
    now = now_utc()
    first = reckoning.up_to_date(now)
    days = timedelta(days=3)
    later = reckoning.up_to_date(now + days)
    assert later.at == first.at + days


@pytest.mark.parametrize("asked", [{}, {"kind": "cook"}, {"kind": "x" * 400, "level": "<b>"}])
def test_suspects_nobody_knows(owner: Client, lots: list[str], asked: dict[str, str]) -> None:
    assert lots
    reckoning.reckon_now()
    assert owner.get(SUSPECT, asked).status_code == MISSING


def test_the_worker_reckons_when_it_has_nothing_else_to_do(owner: Client, lots: list[str]) -> None:
    assert lots
    now = now_utc()
    assert reckoning.is_due(now)
    reckoning.reckon_now(now)
    assert not reckoning.is_due(now)
    later = now + reckoning.REST
    assert not reckoning.is_due(later)
    assert reckoning.is_due(now + reckoning.STALE)
    assert reckoning.up_to_date(later).at == now
    looked = Tap("f" * 32, now)
    door.record([trade.look(looked, [Taken(lots[39], 20, "warm-1")])], now=now)
    assert "1 entry since" in words(owner.get(PLACE))
    assert reckoning.is_due(later)
    assert work.reckoned_losses(later)
    assert not work.reckoned_losses(later)
    kept = reckoning.latest()
    assert kept is not None
    assert kept.entries_since == 0


def test_a_reckoning_that_fails_is_tried_again_later_and_stops_nothing(
    shed: Shed, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert shed
    now = now_utc()
    monkeypatch.setattr(work, "_losses", work._Losses(work._NEVER))
    monkeypatch.setattr(reckoning, "is_due", lambda _now: True)
    tried = []

    def fails(moment: object) -> None:
        tried.append(moment)
        raise ArithmeticError("on purpose")

    monkeypatch.setattr(reckoning, "reckon_now", fails)
    assert not work.reckoned_losses(now)
    assert not work.reckoned_losses(now + work.TRY_AGAIN / 2)
    assert len(tried) == 1
    assert not work.reckoned_losses(now + work.TRY_AGAIN)
    assert len(tried) == 2


def test_how_many_to_check(owner: Client, lots: list[str]) -> None:
    reckoning.reckon_now()
    young, old = lots[39], lots[10]
    said = words(owner.get(PLACE, {"check": young.lower(), "bad": "5", "sure": "95"}))
    assert f"{young}: 20 units, 12 days old" in said
    assert "Looking over all of them today says too little" in said
    said = words(owner.get(PLACE, {"check": old, "bad": "50", "sure": "90"}))
    assert f"{old}: 20 units" in said or f"{old}: 19 units" in said
    assert "would be noticed with 90 % certainty" in said
    assert "never that there are none" in said


@pytest.mark.parametrize(
    ("asked", "why"),
    [
        ({"check": "ZZZZZ"}, "a lot that is alive"),
        ({"bad": "0"}, "above 0, up to 100 percent"),
        ({"bad": "much"}, "a number, such as 5"),
        ({"sure": "100"}, "between 0 and 1"),
    ],
)
def test_checks_that_cannot_be(
    owner: Client, lots: list[str], asked: dict[str, str], why: str
) -> None:
    reckoning.reckon_now()
    assert why in words(owner.get(PLACE, {"check": lots[39], **asked}))


def test_what_was_mended_is_written_down_once_and_followed(owner: Client, lots: list[str]) -> None:
    assert lots
    reckoning.reckon_now()
    suspect = {"kind": "cook", "level": BAD}
    form = owner.get(SUSPECT, suspect).content.decode()
    client_id = form.split('name="client_id" value="')[1].split('"')[0]
    tap = {**suspect, "client_id": client_id, "words": "Door seal  torn; new one put in."}
    for _ in range(2):  # a double tap counts once
        assert owner.post("/losses/mended/", tap, follow=True).status_code == OK
    said = words(owner.get(PLACE))
    assert said.count("Door seal torn; new one put in.") == 1
    assert "It is followed from the next reckoning on." in said
    reckoning.reckon_now()
    assert "to say whether it helped" in words(owner.get(PLACE))


@pytest.mark.parametrize("typed", ["", "   "])
def test_nothing_said_of_what_was_mended(owner: Client, lots: list[str], typed: str) -> None:
    assert lots
    reckoning.reckon_now()
    answer = owner.post(
        "/losses/mended/",
        {"kind": "cook", "level": BAD, "client_id": "e" * 32, "words": typed},
    )
    assert answer.status_code == 422
    unknown = {"kind": "moon", "level": "full", "client_id": "d" * 32, "words": "looked up"}
    assert owner.post("/losses/mended/", unknown).status_code == MISSING


def test_strangers_mend_nothing(stranger: Client, lots: list[str]) -> None:
    assert lots
    answer = stranger.post("/losses/mended/", {"kind": "cook", "level": BAD, "words": "x"})
    assert answer.status_code in {302, 403}
