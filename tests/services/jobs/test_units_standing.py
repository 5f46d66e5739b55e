"""A look that was laid for more units than are left asks for those that stand."""

from __future__ import annotations

from pinset.chain.register import RoomKind
from pinset.services.answers import recording
from pinset.services.answers.lot_actions import Saying, lose
from pinset.services.day.today import job_view
from pinset.services.jobs.records import JobKind, LotAmount
from pinset.services.looking.looked import Seen, look
from pinset.services.plans import planning_day
from pinset.services.plans.order_codes import code_of_order
from pinset.services.views import JobState
from services.recorded import LayJob, do, new_id

SERVES = ("3 kg for the inn",)


def test_a_look_names_no_more_than_stand(lay: LayJob, stock: dict[str, str]) -> None:
    grain, block = stock["grain"], stock["block"]
    lots = (LotAmount(grain, 20, "grain"), LotAmount(block, 20, "block"))
    job = lay(JobKind.LOOK, count=40, lots=lots, variety="")
    lose(Saying(grain, "ada", new_id()), 3)
    view = job_view(job)
    assert (view.count, [each.units for each in view.from_lots]) == (37, [17, 20])
    assert do(job).findings == ()
    assert job_view(job).state is JobState.DONE


def test_what_is_gone_altogether_is_no_longer_named(lay: LayJob, stock: dict[str, str]) -> None:
    grain, block = stock["grain"], stock["block"]
    lots = (LotAmount(grain, 20, "grain"), LotAmount(block, 20, "block"))
    job = lay(JobKind.SHAKE, count=40, lots=lots, variety="")
    lose(Saying(grain, "ada", new_id()), 20)
    assert [each.lot for each in job_view(job).from_lots] == [block]


def test_what_is_left_of_a_look_done_in_part_is_no_more_than_stands(
    lay: LayJob, stock: dict[str, str]
) -> None:
    grain, block = stock["grain"], stock["block"]
    lots = (LotAmount(grain, 20, "grain"), LotAmount(block, 20, "block"))
    job = lay(JobKind.LOOK, count=40, lots=lots, variety="")
    recording.part_done(job, person="ada", client_id=new_id(), lots=((grain, 8),))
    lose(Saying(grain, "ada", new_id()), 3)
    assert job_view(job).left == 32, "of 12 left 17 stand: nobody knows which were lost"
    lose(Saying(grain, "ada", new_id()), 7)
    view = job_view(job)
    assert (view.left, [each.units for each in view.from_lots]) == (30, [10, 20])
    assert do(job).findings == ()
    assert job_view(job).state is JobState.DONE


def test_a_move_takes_what_is_alive(lay: LayJob, stock: dict[str, str]) -> None:
    """40 planned, 3 lost since: 37 are moved, in less time."""
    grain, block = stock["grain"], stock["block"]
    lots = (LotAmount(grain, 20, "grain"), LotAmount(block, 20, "block"))
    more = {"to_room": "grow", "to_step": "fruiting", "minutes": 40, "room_kind": "growing"}
    job = lay(JobKind.MOVE, count=40, lots=lots, variety="", **more)
    lose(Saying(block, "ada", new_id()), 3)
    view = job_view(job)
    assert (view.count, view.minutes) == (37, 37)
    assert [each.units for each in view.from_lots] == [20, 17]


def test_what_was_moved_in_part_is_not_moved_again(lay: LayJob, stock: dict[str, str]) -> None:
    block = stock["block"]
    room = next(r.code for r in planning_day.farm_book()[0].rooms if r.kind is RoomKind.GROWING)
    job = lay(
        JobKind.MOVE, count=20, lots=(LotAmount(block, 20, "block"),), step="fruiting",
        to_room=room, to_step="fruiting", room_kind="growing",
    )  # fmt: skip
    recording.part_done(job, person="ada", client_id=new_id(), count=8)
    lose(Saying(block, "ada", new_id()), 3)
    view = job_view(job)
    assert (view.count, view.left) == (17, 9)


def test_units_seen_contaminated_are_not_moved_with_the_others(
    lay: LayJob, stock: dict[str, str]
) -> None:
    """Of 20 to move 5 are; of the rest 7 are seen contaminated, then all: nothing hangs on it."""
    block = stock["block"]
    job = lay(
        JobKind.MOVE, count=20, lots=(LotAmount(block, 20, "block"),), step="fruiting",
        to_room="grow", to_step="fruiting", room_kind="growing", stake="3 kg", serves=SERVES,
    )  # fmt: skip
    recording.part_done(job, person="ada", client_id=new_id(), count=5)
    for seen, left, serves in ((7, 8, SERVES), (15, 15, ())):
        look(Saying(block, "ada", new_id()), Seen(("green-dust",), "", seen, place="inc-2"))
        view = job_view(job)
        assert (view.left, view.serves) == (left, serves)


def test_what_is_on_order_is_moved_though_it_stands_nowhere(
    lay: LayJob, stock: dict[str, str]
) -> None:
    lots = (
        LotAmount(code_of_order("ab" * 16), 10, "block"),
        LotAmount(stock["block"], 20, "block"),
    )
    job = lay(JobKind.MOVE, count=30, lots=lots, to_room="grow", to_step="fruiting")
    lose(Saying(stock["block"], "ada", new_id()), 5)
    assert job_view(job).count == 25
