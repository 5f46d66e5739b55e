"""What is to be looked at comes first, by room; those that may lose most stand on top."""

from __future__ import annotations

import secrets
from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta

import pytest

from farm.small_farm import CODES, NOW, TODAY, Taps, describe, lot
from pinset.chain.stages import Stage
from pinset.errors import InputError, RefusedError
from pinset.farm import door, trade
from pinset.farm.check import check
from pinset.services import clock
from pinset.services.answers.lot_actions import Saying
from pinset.services.day import today
from pinset.services.jobs.records import JobKind, LotAmount
from pinset.services.looking.asked import look_page
from pinset.services.looking.choosing import look_list, shows_at
from pinset.services.looking.looked import Seen, look
from pinset.services.looking.media import medium_of
from pinset.services.plans import planning_day
from pinset.services.views import JobState
from pinset.tables.signs import Medium
from services.conftest import FULL_BOOK

LayJob = Callable[..., str]


def saying(code: str) -> Saying:
    return Saying(code, "ben", secrets.token_hex(16))


def test_what_a_job_asks_for_is_due_and_the_rest_is_not(lay: LayJob, stock: dict[str, str]) -> None:
    lots = (LotAmount(stock["block"], 20, "block"),)
    lay(JobKind.LOOK, count=20, lots=lots)
    found = look_list()
    assert found.sentence == "20 units of 1 lot to look over today."
    [room] = found.due
    assert (room.room, [line.lot for line in room.lots]) == ("Incubation", [stock["block"]])
    assert [each.room for each in found.others] == ["Incubation", "Grow room"]
    look(saying(stock["block"]), Seen(of=15))
    assert look_list().due[0].lots[0].left == 5
    look(saying(stock["block"]), Seen())
    assert look_list().due == ()
    assert look_list().sentence == "Nothing is left to look over today."


def test_the_age_at_which_most_shows_comes_first_then_the_youngest(
    lay: LayJob, stock: dict[str, str]
) -> None:
    tap, codes = Taps(85_000), {}
    for number, days in enumerate((0, 3, 60), start=180):
        made = lot(CODES[number], Stage.GRAIN, "grain", made_on=TODAY - timedelta(days=days))
        at = tap(hours=-24 * days)
        door.record([trade.opening(at, made, 5, "inc-1")], now=NOW)
        codes[days] = made.code
    lots = tuple(LotAmount(code, 5, "grain") for code in codes.values())
    lay(JobKind.LOOK, count=15, lots=lots)
    assert stock
    [room] = look_list().due
    assert [line.lot for line in room.lots] == [codes[3], codes[0], codes[60]]
    assert [line.age_days for line in room.lots] == [3, 0, 60]


def test_signs_in_words_at_an_age() -> None:
    """Neurospora 1.5 to 4 days, pin mould 2 to 5, bacteria 1 to 5, none at day 60."""
    said = shows_at(3, Medium.BLOCK)
    for name in ("black heads", "orange fluff", "wet and sour"):
        assert name in said
    assert shows_at(60, Medium.BLOCK) == ""


def test_the_page_of_a_young_lot_says_what_nothing_seen_is_worth(stock: dict[str, str]) -> None:
    page = look_page(stock["grain"].lower())
    assert (page.lot, page.alive, page.age_days) == (stock["grain"], 20, 14)
    assert page.nothing == "nothing seen yet at day 14"
    assert "up to 20 days" in page.early
    assert "never as clean" in page.early
    assert page.places == (("inc-1", 20),)
    tiles = {tile.key: tile for tile in page.signs}
    assert tiles["wet-sour"].shows == "day 1 to 5"
    assert tiles["stalled"].shows == ""
    assert "flies" not in tiles
    assert tiles["green-dust"].known_from == "common practice, no source"
    assert tiles["black-heads"].known_from == "Stamets, P. 1993, page 213"
    assert any("outside the working rooms" in each for each in page.cautions)


def test_what_fruits_is_looked_at_as_a_room(stock: dict[str, str]) -> None:
    page = look_page(stock["fruiting"])
    keys = [tile.key for tile in page.signs]
    assert {"flies", "cobweb", "blotch", "dry", "mummies", "stranger"} <= set(keys)
    assert "wet-sour" not in keys
    assert any("look-alikes" in each for each in page.cautions)
    assert ("caps", "on caps") in page.wheres


def test_what_was_seen_before_stands_with_the_lot(stock: dict[str, str]) -> None:
    look(saying(stock["grain"]), Seen())
    look(saying(stock["grain"]), Seen(("wet-sour",), "bottom", 2))
    words = [each.words for each in look_page(stock["grain"]).before]
    assert words == [
        "20 units looked over, nothing seen yet at day 14",
        "2 of 20 units show wet and sour at the bottom, day 14",
    ]
    lines = [line for room in look_list().others for line in room.lots]
    before = {line.lot: line.before for line in lines}
    assert before[stock["grain"]] == "wet and sour on 2 of 20 at day 14"
    assert before[stock["block"]] == ""


def test_a_lot_that_is_none_names_what_is_near(stock: dict[str, str]) -> None:
    with pytest.raises(InputError, match="Nearest valid"):
        look_page(stock["grain"][:-1] + ("2" if stock["grain"][-1] != "2" else "3"))
    with pytest.raises(RefusedError, match="No lot of this farm"):
        look_page(CODES[199])


def test_vessels_that_wait_are_looked_at_as_what_they_become() -> None:
    assert medium_of("prepared", "grain", FULL_BOOK) is Medium.GRAIN
    assert medium_of("block", "fruiting", FULL_BOOK) is Medium.ROOM
    assert medium_of("tube", "", FULL_BOOK) is Medium.PLATE
    assert medium_of("", "", FULL_BOOK) is Medium.BLOCK


@pytest.fixture
def asked_at_six(db: None, monkeypatch: pytest.MonkeyPatch) -> tuple[str, str]:  # noqa: ARG001
    """Two lots on the day their route has them looked over: codes of grain and block."""
    monkeypatch.setenv(clock.PRETENDED, TODAY.isoformat())
    [route] = FULL_BOOK.routes
    steps = tuple(replace(step, look_days=(6,)) for step in route.steps)
    describe(replace(FULL_BOOK, routes=(replace(route, steps=steps),)))
    tap, since = Taps(86_000), TODAY - timedelta(days=6)
    grain = lot(CODES[190], Stage.GRAIN, "grain", made_on=since)
    block = lot(CODES[191], Stage.BLOCK, "block", made_on=since)
    entries = [trade.opening(tap(hours=-145), each, 50, "inc-1") for each in (grain, block)]
    door.record(entries, now=NOW)
    return grain.code, block.code


def asked_today() -> set[str]:
    planning_day.replan(NOW)
    return {
        use.lot
        for section in today.day_view("ada").sections
        for job in section.jobs
        if job.kind == JobKind.LOOK.value and job.state is not JobState.DONE
        for use in job.from_lots
    }


def test_today_does_not_ask_for_what_was_looked_at_unasked(asked_at_six: tuple[str, str]) -> None:
    grain, block = asked_at_six
    look(saying(grain), Seen())
    look(saying(block), Seen(of=4))
    assert asked_today() == {block}, "of the blocks only 4 of 50 were looked at"
    look(saying(block), Seen())
    assert asked_today() == set()
    assert check() == ()


def test_today_asks_for_both_where_nobody_looked(asked_at_six: tuple[str, str]) -> None:
    assert asked_today() == set(asked_at_six)
