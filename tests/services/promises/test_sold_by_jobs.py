"""What is picked is packed and handed over, and no more than there is."""

from __future__ import annotations

import pytest

from farm.small_farm import TODAY
from pinset.errors import InputError, RefusedError
from pinset.farm.check import check
from pinset.farm.models import Entry, Mention
from pinset.farm.queries.lots import lot_by_code, rows_of
from pinset.services.answers import recording
from pinset.services.jobs.records import JobKind, LotAmount, VarietyGrams
from services.recorded import LayJob, counts, do, new_id


def test_pick_pack_deliver_close_the_loop(lay: LayJob, stock: dict[str, str]) -> None:
    pick = lay(JobKind.PICK, count=6, unit="kg", lots=(LotAmount(stock["fruiting"], 20),))
    with pytest.raises(InputError, match="weight"):
        do(pick)
    do(pick, grams=6200)
    do(lay(JobKind.PACK, count=5, unit="kg", grams=5000, variety=""))
    deliver = lay(JobKind.DELIVER, count=5, unit="kg", grams=5000, promise="market-grey")
    answer = do(deliver)
    entry = Entry.objects.get(client_id=answer.entry)
    assert entry.details["promise"] == "market-grey"
    assert entry.details["for_day"] == TODAY.isoformat()
    assert entry.details["price_cents"] == 4500
    [row] = rows_of([lot_by_code(stock["fruiting"])])
    assert (row.counts.grown_g, row.counts.store_g, row.counts.delivered_g) == (6200, 1200, 5000)
    assert check() == ()


def test_packing_more_than_is_in_store_needs_a_reason(lay: LayJob, stock: dict[str, str]) -> None:
    weights = (VarietyGrams("grey", 5000),)
    pack = lay(JobKind.PACK, count=5, unit="kg", grams=5000, variety="", weights=weights)
    with pytest.raises(RefusedError, match="Nothing of Grey oyster is in the cold store, and 5"):
        do(pack)
    pick = lay(JobKind.PICK, count=6, unit="kg", lots=(LotAmount(stock["fruiting"], 20),))
    do(pick, grams=4000)
    for answer in ({}, {"count": 5}, {"grams": 4100}):
        with pytest.raises(RefusedError, match="Only 4 kg of Grey oyster are in the cold store"):
            do(pack, **answer)
    recording.part_done(pack, person="ada", client_id=new_id(), grams=4000, count=4)
    do(pack, grams=5000, reason="a box of our own")


def test_delivering_what_was_never_picked_is_refused(lay: LayJob, stock: dict[str, str]) -> None:
    deliver = lay(JobKind.DELIVER, count=5, unit="kg", grams=5000, promise="market-grey")
    with pytest.raises(RefusedError, match="Record what was picked first"):
        do(deliver)
    assert counts(stock["fruiting"])["alive"] == 20


def test_spawn_sold_in_units(lay: LayJob, stock: dict[str, str]) -> None:
    do(lay(JobKind.DELIVER, count=3, step="grain", promise="spawn"))
    assert counts(stock["grain"]) == {"made": 20, "alive": 17, "sold": 3}


def test_more_than_is_in_store_needs_a_reason(lay: LayJob, stock: dict[str, str]) -> None:
    do(lay(JobKind.PICK, count=2, unit="kg", lots=(LotAmount(stock["fruiting"], 20),)), grams=2000)
    job = lay(JobKind.DELIVER, count=5, unit="kg", grams=5000, promise="market-grey")
    with pytest.raises(RefusedError, match=r"Only 2 kg"):
        do(job)
    assert do(job, reason="weighed at the market").findings


def test_picking_from_a_lot_on_the_shelves_needs_a_reason(
    lay: LayJob, stock: dict[str, str]
) -> None:
    pick = lay(JobKind.PICK, count=6, unit="kg", lots=(LotAmount(stock["fruiting"], 20),))
    with pytest.raises(RefusedError, match="does not stand in a grow room"):
        do(pick, lots=[(stock["block"], 2000)])
    do(pick, lots=[(stock["block"], 2000)], reason="it pinned on the shelf")
    assert check() == ()


def test_picking_long_before_the_first_flush_needs_a_reason(
    lay: LayJob, half_fruiting: str
) -> None:
    """Moved a day ago; its route gives 8 to 12 days."""
    pick = lay(JobKind.PICK, count=2, unit="kg", lots=(LotAmount(half_fruiting, 14),))
    with pytest.raises(RefusedError, match="for 1 day; its first flush takes 8 days or more"):
        do(pick, grams=2000)
    do(pick, grams=2000, reason="it pinned in the bag")
    assert check() == ()


def test_a_flush_the_route_does_not_have_needs_a_reason(lay: LayJob, stock: dict[str, str]) -> None:
    job = lay(JobKind.PICK, count=2, unit="kg", lots=(LotAmount(stock["fruiting"], 20),))
    with pytest.raises(RefusedError, match=r"Flush 9 of lot .* its route has 1 flush"):
        do(job, grams=2000, flush=9)
    assert not Mention.objects.filter(role="flush").exists()
    answer = do(job, grams=2000, flush=9, reason="an old block that came again")
    assert any("Flush 9" in finding for finding in answer.findings)
    assert check() == ()


def test_a_flush_of_the_route_is_taken_without_a_word(lay: LayJob, stock: dict[str, str]) -> None:
    job = lay(JobKind.PICK, count=2, unit="kg", lots=(LotAmount(stock["fruiting"], 20),))
    assert do(job, grams=2000, flush=1).findings == ()
