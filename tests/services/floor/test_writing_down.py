"""One tap on lots in hand: written down together, once, by the jobs that ask for it."""

from __future__ import annotations

import secrets
from dataclasses import replace
from datetime import timedelta

import pytest

from farm.small_farm import NOW, TODAY, Taps
from pinset.chain.register import FarmBook, Shelf
from pinset.errors import InputError, RefusedError
from pinset.farm import door, job_store, trade
from pinset.farm.check import check
from pinset.farm.models import Balance, Entry, Mention
from pinset.farm.trade import Taken
from pinset.farm.trade.looking import Verdict
from pinset.services.answers import claims
from pinset.services.books.lots import lot_view
from pinset.services.books.register_change import write_record
from pinset.services.floor.next_things import hand_view
from pinset.services.floor.records import Amount, Deed, Held, WrittenDown
from pinset.services.floor.tap_undone import take_back
from pinset.services.floor.taps import Saying
from pinset.services.floor.writing_down import write_down
from pinset.services.jobs.records import JobKind, LotAmount
from services.conftest import LayJob


def saying(
    deed: Deed, *lots: tuple[str, int], units: tuple[int, ...] = (), **more: object
) -> Saying:
    amounts = tuple(Amount(lot, count, count, units) for lot, count in lots)
    return Saying(deed, amounts, **more)  # type: ignore[arg-type]


def tapped(what: Saying, client_id: str = "") -> WrittenDown:
    return write_down(what, person="ada", client_id=client_id or secrets.token_hex(16))


def as_offered(deed: Deed, *held: Held) -> WrittenDown:
    """Tap what is offered, with nothing changed."""
    [thing] = [each for each in hand_view(held).things if each.deed is deed]
    said = Saying(deed, thing.amounts, thing.jobs, thing.makes or None)
    return tapped(said)


def alive(lot: str) -> dict[str, int]:
    rows = Balance.objects.filter(lot__code=lot, account="alive").exclude(quantity=0)
    return {row.place.code: row.quantity for row in rows.select_related("place")}


def is_closed(job: str) -> bool:
    row = job_store.job_by_code(job)
    assert row is not None
    return row.is_closed


def test_looked_over_without_a_job(stock: dict[str, str]) -> None:
    done = as_offered(Deed.LOOK, Held(stock["grain"]))
    assert done.sentence == f"20 of {stock['grain']}: looked over, nothing seen."
    entry = Entry.objects.get(client_id=done.entries[0])
    assert (entry.kind, entry.job, entry.person.code) == ("look", "", "ada")
    [mention] = Mention.objects.filter(entry=entry)
    assert (mention.role, mention.count) == ("looked", 20)
    assert check() == ()


def test_a_job_of_today_is_answered_and_closed(stock: dict[str, str], lay: LayJob) -> None:
    job = lay(JobKind.SHAKE, lots=(LotAmount(stock["grain"], 20, "grain"),), count=20)
    done = as_offered(Deed.SHAKE, Held(stock["grain"]))
    assert Entry.objects.get(client_id=done.entries[0]).job == job
    assert is_closed(job)


def test_one_lot_of_a_job_leaves_the_rest_of_it_open(stock: dict[str, str], lay: LayJob) -> None:
    lots = (LotAmount(stock["grain"], 20, "grain"), LotAmount(stock["plate"], 20, "plate"))
    job = lay(JobKind.LOOK, lots=lots, count=40)
    as_offered(Deed.LOOK, Held(stock["grain"]))
    assert not is_closed(job)
    [left] = [t for t in hand_view([Held(stock["plate"])]).things if t.jobs == (job,)]
    assert left.amounts[0].count == 20
    as_offered(Deed.LOOK, Held(stock["plate"]))
    assert is_closed(job)


def test_all_that_is_alive_finishes_a_job_laid_for_more(
    stock: dict[str, str], lay: LayJob, tap: Taps
) -> None:
    job = lay(JobKind.SHAKE, lots=(LotAmount(stock["grain"], 20, "grain"),), count=20)
    lost = trade.lose(tap(hours=-2), Taken(stock["grain"], 3, "inc-1"), cause="green mould")
    door.record([lost], now=NOW)
    as_offered(Deed.SHAKE, Held(stock["grain"]))
    assert is_closed(job)


def test_lots_with_and_without_jobs_are_written_down_together(
    stock: dict[str, str], lay: LayJob
) -> None:
    job = lay(JobKind.LOOK, lots=(LotAmount(stock["grain"], 20, "grain"),), count=20)
    other = lay(JobKind.LOOK, lots=(LotAmount(stock["plate"], 20, "plate"),), count=20, what="x")
    held = [Held(stock[each]) for each in ("block", "grain", "plate")]
    done = as_offered(Deed.LOOK, *held)
    assert [Entry.objects.get(client_id=e).job for e in done.entries] == [job, other, ""]
    assert is_closed(job)
    assert is_closed(other)
    assert check() == ()


@pytest.mark.parametrize("deed", [Deed.LOOK, Deed.LOSE, Deed.HOLD, Deed.CARRY])
def test_the_same_tap_twice_is_one(stock: dict[str, str], lay: LayJob, deed: Deed) -> None:
    lay(JobKind.LOOK, lots=(LotAmount(stock["grain"], 20, "grain"),), count=20)
    [thing] = [
        each
        for each in hand_view([Held(stock["grain"]), Held(stock["block"])]).things
        if each.deed is deed
    ]
    choice = {Deed.CARRY: "lab-1"}.get(deed, "seen")
    said = Saying(deed, thing.amounts, thing.jobs, choice="" if deed is Deed.LOOK else choice)
    first, count = tapped(said, "a" * 32), Entry.objects.count()
    again = tapped(said, "a" * 32)
    assert (first.already, again.already) == (False, True)
    assert Entry.objects.count() == count
    other = Saying(Deed.SHAKE, thing.amounts)
    with pytest.raises(RefusedError, match="said something else"):
        tapped(other, "a" * 32)
    fewer = Saying(deed, (Amount(stock["grain"], 7, 20),), choice=said.choice)
    with pytest.raises(RefusedError, match="said something else"):
        tapped(fewer, "a" * 32)


def test_the_numbers_of_units_are_kept(stock: dict[str, str], lay: LayJob) -> None:
    held = Held(stock["grain"], (3, 12))
    done = as_offered(Deed.LOOK, held)
    assert done.sentence == f"2 of {stock['grain']} (units 3, 12): looked over, nothing seen."
    [named] = Mention.objects.filter(entry__client_id=done.entries[0], role="unit")
    assert named.value == "3, 12"
    assert lot_view(stock["grain"]).life[-1].what.endswith(", units 3, 12")
    lay(JobKind.SHAKE, lots=(LotAmount(stock["grain"], 20, "grain"),), count=20)
    done = as_offered(Deed.SHAKE, held)
    [named] = Mention.objects.filter(entry__client_id=done.entries[0], role="unit")
    assert named.value == "3, 12"
    assert check() == ()


def test_ready_blocks_begin_to_fruit_by_one_tap(stock: dict[str, str]) -> None:
    as_offered(Deed.MOVE, Held(stock["block"]))
    assert alive(stock["block"]) == {"grow-1": 20}
    [in_hand] = hand_view([Held(stock["block"])]).lots
    assert in_hand.line.step == "fruiting"


def test_several_are_carried_to_a_shelf(stock: dict[str, str]) -> None:
    held = (Held(stock["grain"]), Held(stock["plate"]))
    [thing] = [t for t in hand_view(held).things if t.deed is Deed.CARRY]
    done = tapped(Saying(Deed.CARRY, thing.amounts, choice="lab-1"))
    assert alive(stock["grain"]) == alive(stock["plate"]) == {"lab-1": 20}
    assert len(done.entries) == 1
    with pytest.raises(RefusedError, match="stands at lab-1 already"):
        tapped(Saying(Deed.CARRY, thing.amounts, choice="lab-1"))
    more = (*thing.amounts, Amount(stock["block"], 20, 20))
    tapped(Saying(Deed.CARRY, more, choice="lab-1"))
    assert alive(stock["block"]) == {"lab-1": 20}
    with pytest.raises(InputError, match="the-moon"):
        tapped(Saying(Deed.CARRY, thing.amounts, choice="the-moon"))


def test_a_full_shelf_is_asked_about_of_several_lots_too(
    stock: dict[str, str], farm: FarmBook
) -> None:
    write_record(replace(farm.rooms[0], shelves=(Shelf("lab-1", 30),)), "", NOW)
    held = (Held(stock["grain"]), Held(stock["block"]))
    [thing] = [t for t in hand_view(held).things if t.deed is Deed.CARRY]
    carried = Saying(Deed.CARRY, thing.amounts, choice="lab-1")
    with pytest.raises(RefusedError, match=r"lab-1 has 30 places left, .* takes 40"):
        tapped(carried)
    done = tapped(replace(carried, reason="two deep"))
    doubt = "Shelf lab-1 has 30 places left, and what is carried there takes 40."
    assert done.findings == (f"Written down although: {doubt}",)


def test_lost_units_of_several_lots_are_one_entry_and_taken_back(stock: dict[str, str]) -> None:
    done = tapped(saying(Deed.LOSE, (stock["grain"], 2), (stock["block"], 3), choice="green mould"))
    assert (alive(stock["grain"]), alive(stock["block"])) == ({"inc-1": 18}, {"inc-2": 17})
    back = take_back(done.entries, person="ada", client_id="b" * 32, reason="tapped by mistake")
    assert "1 entry" in back.sentence
    assert (alive(stock["grain"]), alive(stock["block"])) == ({"inc-1": 20}, {"inc-2": 20})
    again = take_back(done.entries, person="ada", client_id="b" * 32, reason="tapped by mistake")
    assert again.already
    assert check() == ()


def test_a_tap_of_several_entries_is_taken_back_as_a_whole(
    stock: dict[str, str], lay: LayJob
) -> None:
    job = lay(JobKind.LOOK, lots=(LotAmount(stock["grain"], 20, "grain"),), count=20)
    done = as_offered(Deed.LOOK, Held(stock["block"]), Held(stock["grain"]))
    take_back(done.entries, person="ada", client_id="c" * 32, reason="tapped by mistake")
    assert Entry.objects.filter(kind="look", is_corrected=True).count() == 2
    assert not is_closed(job)


@pytest.mark.parametrize("deed", [Deed.LOOK, Deed.LOSE, Deed.SHAKE, Deed.MOVE])
def test_more_than_is_alive_needs_a_reason(stock: dict[str, str], deed: Deed) -> None:
    code, before = stock["block"], Entry.objects.count()
    what = saying(deed, (code, 23), choice="green mould" if deed is Deed.LOSE else "")
    with pytest.raises(RefusedError, match=r"23 .*and 20 stand there") as refused:
        tapped(what)
    assert code in refused.value.sentence
    assert Entry.objects.count() == before
    done = tapped(
        saying(deed, (code, 23), choice=what.choice, reason="a tray was never written down")
    )
    assert any("20 stand there" in each for each in done.findings)


def test_nothing_is_written_where_one_of_several_cannot_be(
    stock: dict[str, str], lay: LayJob
) -> None:
    job = lay(JobKind.LOOK, lots=(LotAmount(stock["grain"], 20, "grain"),), count=20)
    before = Entry.objects.count()
    what = saying(Deed.LOOK, (stock["grain"], 20), (stock["block"], 99), jobs=(job,))
    with pytest.raises(RefusedError):
        tapped(what)
    assert Entry.objects.count() == before
    assert not is_closed(job)


def test_a_job_done_meanwhile_is_said(stock: dict[str, str], lay: LayJob) -> None:
    job = lay(JobKind.SHAKE, lots=(LotAmount(stock["grain"], 20, "grain"),), count=20)
    what = saying(Deed.SHAKE, (stock["grain"], 20), jobs=(job,))
    tapped(what)
    with pytest.raises(RefusedError, match=f"Job {job} is recorded as done"):
        tapped(what)


def test_who_holds_the_job_is_told(stock: dict[str, str], lay: LayJob) -> None:
    job = lay(JobKind.SHAKE, lots=(LotAmount(stock["grain"], 20, "grain"),), count=20)
    claims.claim(job, "ben")
    done = as_offered(Deed.SHAKE, Held(stock["grain"]))
    assert "Ben has that job in hand: say that it is done." in done.findings


def test_parents_are_used_together(stock: dict[str, str], lay: LayJob, tap: Taps) -> None:
    lots = (LotAmount(stock["plate"], 2, "plate"),)
    job = lay(JobKind.TRANSFER, step="grain", stage="grain", lots=lots, count=16,
              what="grain jars from 2 plates")  # fmt: skip
    ready = trade.judge(tap(hours=-3), stock["plate"], Verdict.READY, day=TODAY)
    door.record([ready], now=NOW)
    done = as_offered(Deed.USE, Held(stock["plate"], (1, 2, 3)))
    [code] = done.new_lots
    assert alive(stock["plate"]) == {"inc-1": 17}
    assert sum(alive(code).values()) == 16
    assert is_closed(job)
    [named] = Mention.objects.filter(entry__client_id=done.entries[0], role="unit")
    assert (named.lot.code, named.value) == (stock["plate"], "1, 2, 3")


@pytest.fixture
def bearing(stock: dict[str, str], tap: Taps) -> str:
    seen = trade.judge(tap(hours=-1), stock["fruiting"], Verdict.READY, day=TODAY)
    door.record([seen], now=NOW)
    return stock["fruiting"]


@pytest.mark.parametrize("is_asked", [True, False])
def test_a_weight_is_picked(bearing: str, lay: LayJob, is_asked: bool) -> None:  # noqa: FBT001
    jobs: tuple[str, ...] = ()
    if is_asked:
        lots = (LotAmount(bearing, 20, "fruiting"),)
        jobs = (lay(JobKind.PICK, lots=lots, count=3, unit="kg", grams=3000, step="fruiting"),)
    what = saying(Deed.PICK, (bearing, 20), grams=2400, jobs=jobs, units=(4,))
    done = tapped(what, "d" * 32)
    assert done.sentence == f"{bearing}: 2.4 kg picked."
    assert tapped(what, "d" * 32).already
    with pytest.raises(RefusedError, match="something else"):
        tapped(saying(Deed.PICK, (bearing, 20), grams=2500, jobs=jobs), "d" * 32)
    assert [is_closed(job) for job in jobs] == [True] * len(jobs)
    assert Mention.objects.filter(role="unit", value="4").count() == 1
    with pytest.raises(InputError, match="weight"):
        tapped(saying(Deed.PICK, (bearing, 20)))


def test_held_back_and_offered_again(stock: dict[str, str]) -> None:
    both = ((stock["grain"], 20), (stock["block"], 20))
    with pytest.raises(InputError, match="why it is held back"):
        tapped(saying(Deed.HOLD, *both))
    tapped(saying(Deed.HOLD, *both, choice="smells sour"))
    lots = hand_view([Held(stock["grain"]), Held(stock["block"])]).lots
    assert [each.line.held for each in lots] == ["smells sour", "smells sour"]
    tapped(saying(Deed.RELEASE, *both))
    assert hand_view([Held(stock["grain"])]).lots[0].line.held == ""


def test_what_cannot_be_meant(stock: dict[str, str]) -> None:
    with pytest.raises(InputError, match="at least one lot"):
        tapped(saying(Deed.LOOK))
    with pytest.raises(InputError, match="1 or more units"):
        tapped(saying(Deed.LOOK, (stock["grain"], 0)))
    with pytest.raises(InputError, match="how many were made"):
        tapped(saying(Deed.USE, (stock["plate"], 2), jobs=("J9999",)))
    with pytest.raises(RefusedError, match="no next place"):
        tapped(saying(Deed.MOVE, (stock["grain"], 2)))
    ahead = NOW + timedelta(days=2)
    with pytest.raises(InputError, match="earlier"):
        write_down(
            saying(Deed.LOOK, (stock["grain"], 2)), person="ada", client_id="e" * 32, at=ahead
        )
