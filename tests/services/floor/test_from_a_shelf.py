"""Of lots in hand the shelf is said from which they are taken, where they stand on several."""

from __future__ import annotations

import secrets
from datetime import timedelta

import pytest

from farm.small_farm import CODES, NOW, TODAY, Taps, lot
from pinset.chain.stages import Stage
from pinset.errors import InputError, RefusedError
from pinset.farm import door, trade, whereabouts
from pinset.farm.trade import Taken
from pinset.services import clock
from pinset.services.floor.next_things import hand_view
from pinset.services.floor.records import Amount, Deed, Held, WrittenDown
from pinset.services.floor.taps import Saying
from pinset.services.floor.writing_down import write_down
from pinset.services.jobs.records import JobKind, LotAmount
from services.conftest import LayJob

MADE = CODES[140]


@pytest.fixture
def spread(stock: dict[str, str], monkeypatch: pytest.MonkeyPatch) -> str:
    """Ready blocks, 12 on one shelf and 8 on another; the hour stands still."""
    assert stock
    made = lot(MADE, Stage.BLOCK, "block", made_on=TODAY - timedelta(days=11))
    tap = Taps(start=50_000)
    opening = trade.opening(tap(hours=-200), made, 20, "inc-1")
    moved = trade.move(tap(hours=-100), Taken(MADE, 8, "inc-1"), "inc-2")
    door.record([opening, moved], now=NOW)
    monkeypatch.setenv(clock.PRETENDED, NOW.isoformat())
    return MADE


def standing(code: str) -> dict[str, int]:
    return {each.place: each.quantity for each in whereabouts.units_of([code])[code]}


def tapped(deed: Deed, shelf: str, count: int, client_id: str = "", **more: object) -> WrittenDown:
    said = Saying(deed, (Amount(MADE, count, 20, shelf=shelf),), **more)  # type: ignore[arg-type]
    return write_down(said, person="ada", client_id=client_id or secrets.token_hex(16))


def test_the_shelves_are_shown_where_there_are_several(spread: str, stock: dict[str, str]) -> None:
    several, one = hand_view([Held(spread), Held(stock["grain"])]).lots
    assert several.standing == (("inc-1", 12), ("inc-2", 8))
    assert one.standing == ()


@pytest.mark.parametrize(
    ("deed", "choice"),
    [(Deed.LOSE, "green-dust"), (Deed.CARRY, "cold-1"), (Deed.MOVE, ""), (Deed.DISCARD, "")],
)
def test_without_a_job_they_are_taken_from_there(spread: str, deed: Deed, choice: str) -> None:
    tapped(deed, "inc-2", 3, choice=choice, reason="as it was")
    left = standing(spread)
    assert (left["inc-1"], left["inc-2"]) == (12, 5)


@pytest.mark.parametrize("shelf", ["inc-1", "inc-2"])
def test_a_job_is_answered_from_there(spread: str, lay: LayJob, shelf: str) -> None:
    job = lay(
        JobKind.MOVE, count=4, lots=(LotAmount(spread, 4, "block"),), to_room="grow",
        to_step="fruiting", place="Grow room", room_kind="growing",
    )  # fmt: skip
    before = standing(spread)
    tapped(Deed.MOVE, shelf, 4, jobs=(job,))
    assert standing(spread) == {**before, shelf: before[shelf] - 4, "grow-1": 4}


def test_a_transfer_takes_its_parents_from_there(lay: LayJob, stock: dict[str, str]) -> None:
    grain = stock["grain"]
    moved = trade.move(Taps(start=60_000)(hours=-20), Taken(grain, 5, "inc-1"), "inc-2")
    door.record([moved], now=NOW)
    job = lay(JobKind.TRANSFER, step="block", stage="block", count=20,
              lots=(LotAmount(grain, 2, "grain"),))  # fmt: skip
    amounts = (Amount(grain, 2, 20, shelf="inc-2"),)
    write_down(
        Saying(Deed.USE, amounts, (job,), makes=20), person="ada", client_id=secrets.token_hex(16)
    )
    assert standing(grain) == {"inc-1": 15, "inc-2": 3}


@pytest.mark.parametrize("deed", [Deed.LOSE, Deed.MOVE])
def test_a_shelf_on_which_none_stand_is_refused(spread: str, deed: Deed) -> None:
    before = standing(spread)
    with pytest.raises(InputError, match="inc-1"):
        tapped(deed, "cold-1", 2, choice="green-dust", reason="so")
    assert standing(spread) == before


def test_what_takes_nothing_from_a_shelf_names_none(spread: str) -> None:
    assert spread
    with pytest.raises(InputError, match="no shelf"):
        tapped(Deed.LOOK, "inc-2", 2)


def test_the_same_tap_with_another_shelf_is_another_answer(spread: str) -> None:
    tap = secrets.token_hex(16)
    tapped(Deed.LOSE, "inc-2", 2, tap, choice="green-dust")
    assert tapped(Deed.LOSE, "inc-2", 2, tap, choice="green-dust").already
    with pytest.raises(RefusedError, match="something else"):
        tapped(Deed.LOSE, "inc-1", 2, tap, choice="green-dust")
    assert standing(spread) == {"inc-1": 12, "inc-2": 6}
