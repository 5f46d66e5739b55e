"""Units that leave the farm are usable ones, oldest first; others only with a reason."""

from __future__ import annotations

import secrets
from collections.abc import Callable
from datetime import timedelta

import pytest

from farm.small_farm import CODES, NOW, TODAY, Taps, lot
from pinset.chain.stages import Stage
from pinset.errors import RefusedError
from pinset.farm import door, trade
from pinset.farm.check import check
from pinset.farm.models import Posting
from pinset.farm.trade.looking import Verdict
from pinset.services.answers import recording
from pinset.services.jobs.records import JobKind

LayJob = Callable[..., str]
SPAWN = {"step": "grain", "stage": "grain", "promise": "spawn"}


@pytest.fixture
def made(farm: object) -> Callable[..., str]:  # noqa: ARG001
    """Write down a lot of that many days' age and return its code."""
    tap, codes = Taps(start=20_000), iter(CODES[100:])

    def make(days: int, units: int = 4, place: str = "inc-1", **facts: object) -> str:
        stage = Stage.BLOCK if facts.get("step") == "block" else Stage.GRAIN
        step = str(facts.pop("step", "grain"))
        new = lot(next(codes), stage, step, made_on=TODAY - timedelta(days=days), **facts)
        door.record([trade.opening(tap(hours=-48), new, units, place)], now=NOW)
        return new.code

    return make


def hold(code: str) -> None:
    tap = Taps(start=30_000)(hours=-2)
    door.record([trade.judge(tap, code, Verdict.HELD, reason="smells sour")], now=NOW)


def do(job: str, **more: object) -> recording.Done:
    return recording.done(job, person="ada", client_id=secrets.token_hex(16), **more)  # type: ignore[arg-type]


def sold() -> dict[str, int]:
    rows = Posting.objects.filter(account="sold", entry__is_corrected=False)
    return {row.lot.code: row.quantity for row in rows.select_related("lot")}


def test_unripe_held_past_and_uncleared_units_stay_where_they_are(
    lay: LayJob, made: Callable[..., str]
) -> None:
    past, uncleared, held = made(40), made(16, culture="g2"), made(15)
    first, second, unripe = made(14), made(12), made(3)
    hold(held)
    do(lay(JobKind.DELIVER, count=6, **SPAWN))
    assert sold() == {first: 4, second: 2}
    assert {past, uncleared, held, unripe}.isdisjoint(sold())
    assert check() == ()


def test_too_few_usable_says_how_many_and_why_the_others_are_not(
    lay: LayJob, made: Callable[..., str]
) -> None:
    past, uncleared, held = made(40), made(16, culture="g2"), made(15, 3)
    made(14)
    unripe = made(3)
    hold(held)
    job = lay(JobKind.DELIVER, count=6, **SPAWN)
    with pytest.raises(RefusedError) as refused:
        do(job)
    said = str(refused.value)
    assert said.startswith(
        "Of Grey oyster only 4 of 19 living grain jars are usable, and 6 are to be handed over;"
    )
    assert f"4 of {past} past their time (kept until 20 February)" in said
    assert f"4 of {uncleared} held back (culture g2 is not cleared for use)" in said
    assert f"3 of {held} held back (smells sour)" in said
    assert f"4 of {unripe} not ready yet (ready 18 March to 21 March)" in said
    assert sold() == {}


def test_with_a_reason_the_usable_ones_go_first_and_then_the_others_oldest_first(
    lay: LayJob, made: Callable[..., str]
) -> None:
    past, good, _unripe = made(40), made(14), made(3)
    answer = do(lay(JobKind.DELIVER, count=6, **SPAWN), reason="the buyer knows and wants them")
    assert sold() == {good: 4, past: 2}
    assert any("usable" in said for said in answer.findings)
    assert check() == ()


def test_never_more_than_are_alive_whatever_the_reason(
    lay: LayJob, made: Callable[..., str]
) -> None:
    made(14)
    made(3)
    job = lay(JobKind.DELIVER, count=6, **SPAWN)
    with pytest.raises(RefusedError, match="Only 8 grain jars of Grey oyster are alive, and 9 "):
        do(job, count=9, reason="so it was")
    assert sold() == {}


@pytest.mark.parametrize(
    ("days", "why"), [(3, "not ready: ready 18 March to 21 March"), (40, "past its time")]
)
def test_a_named_lot_that_is_not_usable_asks_for_a_reason(
    lay: LayJob, made: Callable[..., str], days: int, why: str
) -> None:
    made(14)
    named = made(days)
    job = lay(JobKind.DELIVER, count=2, **SPAWN)
    with pytest.raises(RefusedError, match=f"Lot {named} is {why}"):
        do(job, lots=[(named, 2)])
    do(job, lots=[(named, 2)], reason="agreed with the buyer")
    assert sold() == {named: 2}


def test_a_named_lot_gives_its_usable_units_first(lay: LayJob, made: Callable[..., str]) -> None:
    blocks = made(14, 6, "inc-2", step="block")
    taken = trade.Taken(blocks, 5, "inc-2")
    door.record([trade.move(Taps(start=31_000)(hours=-3), taken, "grow-1", step="fruiting")],
                now=NOW)  # fmt: skip
    job = lay(JobKind.DELIVER, count=2, step="block", stage="block", promise="spawn")
    with pytest.raises(RefusedError, match=f"Lot {blocks} stands in a grow room"):
        do(job, lots=[(blocks, 2)])
    do(job, lots=[(blocks, 1)])
    [row] = Posting.objects.filter(account="alive", quantity=-1, entry__kind="sell")
    assert (row.place.code, sold()) == ("inc-2", {blocks: 1})


def test_blocks_that_fruit_already_are_not_sold_by_themselves(
    lay: LayJob, made: Callable[..., str]
) -> None:
    blocks = made(14, 6, "inc-2", step="block")
    taken = trade.Taken(blocks, 5, "inc-2")
    door.record([trade.move(Taps(start=31_000)(hours=-3), taken, "grow-1", step="fruiting")],
                now=NOW)  # fmt: skip
    job = lay(JobKind.DELIVER, count=2, step="block", stage="block", promise="spawn")
    with pytest.raises(RefusedError, match=f"5 of {blocks} in a grow room"):
        do(job)


def test_units_set_ready_stay_on_the_books_until_they_are_handed_over(
    lay: LayJob, made: Callable[..., str]
) -> None:
    made(14)
    job = lay(JobKind.PACK, count=3, step="grain", stage="grain")
    answer = do(job)
    assert answer.sentence.startswith("3 units to see to: recorded")
    assert sold() == {}
    do(lay(JobKind.DELIVER, count=3, **SPAWN))
    assert sum(sold().values()) == 3
    assert check() == ()
