"""Jobs keep their codes through planning again."""

from dataclasses import replace
from datetime import date, timedelta

import pytest

from pinset.services.jobs.matching import KnownJob, Matching, changes, match
from pinset.services.jobs.records import JobKind, LotAmount, PlannedJob

TODAY = date(2026, 3, 12)


def transfer(day: date = TODAY, count: int = 24, step: str = "grain") -> PlannedJob:
    return PlannedJob(
        key=f"transfer:grey:{step}:{day}",
        kind=JobKind.TRANSFER,
        task="transfer",
        day=day,
        count=count,
        unit="units",
        what="grain jars from 3 plates",
        room_kind="laboratory",
        step=step,
        variety="grey",
        variety_name="Grey oyster",
    )


def told(matching: Matching, known: list[KnownJob]) -> list[str]:
    in_sight = TODAY + timedelta(days=8)
    found = changes(matching, known, TODAY, lambda *_: "because", in_sight)
    return [each.sentence for each in found]


def test_the_same_key_keeps_its_code() -> None:
    known = [KnownJob("J1", transfer())]
    result = match(known, [transfer(count=30)], TODAY)
    assert result.kept == (("J1", transfer(count=30)),)
    assert told(result, known) == ["Grey oyster grain, today: 30 instead of 24"]


def test_work_that_slipped_to_today_is_the_same_job_and_late() -> None:
    yesterday = TODAY - timedelta(days=1)
    known = [KnownJob("J1", transfer(day=yesterday))]
    result = match(known, [transfer()], TODAY)
    [(code, job)] = result.kept
    assert code == "J1"
    assert job.first_day == yesterday


def test_other_work_is_new_and_the_old_is_withdrawn() -> None:
    known = [KnownJob("J1", transfer(step="plate"))]
    result = match(known, [transfer()], TODAY)
    assert [job.step for job in result.added] == ["grain"]
    assert [each.code for each in result.withdrawn] == ["J1"]
    assert len(told(result, known)) == 2


def test_one_old_job_is_never_two_new_ones() -> None:
    known = [KnownJob("J1", transfer())]
    later = transfer(day=TODAY + timedelta(days=1))
    result = match(known, [later, transfer()], TODAY)
    assert [code for code, _ in result.kept] == ["J1"]
    assert result.kept[0][1].day == TODAY
    assert len(result.added) == 1


@pytest.mark.parametrize(("count", "grams"), [(0, 400), (1, 1200)])
def test_what_was_begun_and_is_not_asked_for_any_more_stays_however_little(
    count: int, grams: int
) -> None:
    pack = PlannedJob("pack:a", JobKind.WASTE, "waste", TODAY, 2, "kg", "kg", "packing", grams=1700)
    assert match([KnownJob("J1", pack, count, grams)], [], TODAY).kept == (("J1", pack),)
    assert match([KnownJob("J1", pack)], [], TODAY).kept == ()


def test_what_is_part_done_stays_with_what_is_left() -> None:
    known = [KnownJob("J1", transfer(count=24), done_count=10)]
    assert match(known, [], TODAY).kept == (("J1", transfer(count=24)),)
    [(_, job)] = match(known, [transfer(count=14)], TODAY).kept
    assert job.count == 24
    assert job.laid_after == 10


def test_daily_work_is_another_job_tomorrow() -> None:
    pick = replace(transfer(), kind=JobKind.PICK, key="pick:grey:a")
    tomorrow = replace(pick, key="pick:grey:b", day=TODAY + timedelta(days=1))
    result = match([KnownJob("J1", pick)], [tomorrow], TODAY)
    assert result.added == (tomorrow,)


def test_the_first_plan_tells_no_changes() -> None:
    assert told(match([], [transfer()], TODAY), []) == []


def test_small_changes_and_days_that_came_into_sight_are_not_told() -> None:
    known = [KnownJob("J1", transfer(count=24))]
    assert told(match(known, [transfer(count=25)], TODAY), known) == []
    far = transfer(day=TODAY + timedelta(days=9), step="plate")
    assert told(match(known, [transfer(), far], TODAY), known) == []


def test_looks_left_undone_are_asked_for_some_days_and_do_not_grow() -> None:
    look = replace(transfer(count=59), kind=JobKind.LOOK, key="look:grey:block:a")
    known = [KnownJob("J1", replace(look, day=TODAY - timedelta(days=2)), done_count=20)]
    assert match(known, [], TODAY).kept == (("J1", known[0].job),)
    assert match(known, [look], TODAY).kept[0][1].count == 59
    old = [KnownJob("J1", replace(look, day=TODAY - timedelta(days=4)))]
    assert [each.code for each in match(old, [], TODAY).withdrawn] == ["J1"]


def cook(day: date = TODAY, kind: JobKind = JobKind.COOK) -> PlannedJob:
    return replace(
        transfer(day), kind=kind, key=f"{kind.value}:kettle:grain:{day}", steriliser="kettle"
    )


def test_what_is_in_the_steriliser_is_opened_whatever_is_planned_next() -> None:
    opening = cook(kind=JobKind.OPEN)
    known = [KnownJob("J2", opening)]
    assert match(known, [], TODAY).kept == ()
    assert match(known, [], TODAY, {cook().key}).kept == (("J2", opening),)
    other = cook(TODAY + timedelta(days=1), JobKind.OPEN)
    both = match(known, [other], TODAY, {cook().key})
    assert (both.kept, both.added) == ((("J2", opening),), (other,))


def test_packing_counts_what_was_packed_once() -> None:
    pack = replace(transfer(count=46), kind=JobKind.PACK, key="pack")
    known = [KnownJob("J1", pack, done_count=20)]
    [(_, job)] = match(known, [pack], TODAY).kept
    assert job.count == 46
    delivered = replace(pack, count=22)  # 24 of the 46 were handed over
    [(_, job)] = match(known, [delivered], TODAY).kept
    assert job.count - 20 == 22


def test_a_look_left_undone_is_not_lost_behind_one_at_other_lots() -> None:
    yesterday = TODAY - timedelta(days=1)
    look = replace(transfer(), kind=JobKind.LOOK, lots=(LotAmount("AAAAA", 5),))
    old = replace(look, key="look:a", day=yesterday)
    other = replace(look, key="look:b", lots=(LotAmount("BBBBB", 5),))
    result = match([KnownJob("J1", old)], [other], TODAY)
    assert (result.kept, result.added) == ((("J1", old),), (other,))
    again = replace(look, key="look:c")
    assert match([KnownJob("J1", old)], [again], TODAY).kept == (), "the same lots: asked for once"


def fill(for_day: date = TODAY, count: int = 16, mix: str = "oak with bran bag") -> PlannedJob:
    return replace(
        transfer(count=count, step="block"),
        kind=JobKind.PREPARE,
        task="fill",
        key=f"prepare:fill:{mix}:0.6:{for_day}",
        variety="",
        mix=mix,
        moisture=0.6,
        for_day=for_day,
    )


def test_what_was_begun_never_becomes_work_on_another_mix_or_cook() -> None:
    known = [KnownJob("J1", fill(), done_count=9)]
    for other in (
        fill(mix="oak sawdust bag"),
        fill(TODAY + timedelta(days=1)),
        replace(fill(), key="x", moisture=0.5),
        replace(fill(), key="x", task="mix"),
    ):
        result = match(known, [other], TODAY)
        assert result.added == (other,)
        assert [code for code, job in result.kept if job != known[0].job] == []
    [(code, job)] = match(known, [replace(fill(count=7), key="x")], TODAY).kept
    assert (code, job.count) == ("J1", 16), "another key, the same mix and cook"


def test_the_rest_of_what_was_begun_is_over_once_its_cook_is() -> None:
    begun = fill()
    known = [KnownJob("J1", begun, done_count=9)]
    tomorrow = TODAY + timedelta(days=1)
    loaded = match(known, [], TODAY, {f"cook:kettle:block:{TODAY}"})
    anew = match(known, [fill(tomorrow, count=7)], TODAY)
    too_old = match(known, [], TODAY + timedelta(days=2))
    for each in (loaded, anew, too_old):
        assert ([e.code for e in each.finished], each.kept, each.withdrawn) == (["J1"], (), ())
    assert match(known, [], tomorrow).kept == (("J1", begun),), "it may still be cooked"


def test_the_rest_of_a_soak_that_cannot_make_its_cook_is_over() -> None:
    """What was soaked goes on without it."""
    soak = replace(fill(), task="soak", key="prepare:soak")
    for begun, ends in ((soak, True), (fill(), False)):
        found = match([KnownJob("J1", begun, done_count=9)], [], TODAY, (), lambda *_: True)
        assert bool(found.finished) is ends
        in_time = match([KnownJob("J1", begun, done_count=9)], [], TODAY, (), lambda *_: False)
        assert not in_time.finished


def test_preparation_for_a_cook_that_moved_is_not_late_for_it() -> None:
    begun = replace(fill(TODAY - timedelta(days=1)), day=TODAY - timedelta(days=1))
    [(code, job)] = match([KnownJob("J1", begun)], [fill()], TODAY).kept
    assert (code, job.first_day) == ("J1", None)


def move(day: date, count: int, room: str, *lots: tuple[str, int]) -> PlannedJob:
    return PlannedJob(
        key=f"move:grey:fruiting:{day}:{room}",
        kind=JobKind.MOVE,
        task="move",
        day=day,
        count=count,
        unit="units",
        what="blocks into the tent",
        room_kind="growing",
        step="fruiting",
        variety="grey",
        variety_name="Grey oyster",
        lots=tuple(LotAmount(code, units) for code, units in lots),
        to_step="fruiting",
        to_room=room,
    )


def test_the_rest_of_a_move_is_asked_for_once() -> None:
    """Of 41 blocks five were moved; the plan takes the other 36 to another tent."""
    known = [KnownJob("J1", move(TODAY, 41, "tent-1", ("U625Y", 41)), done_count=5)]
    again = move(TODAY, 36, "tent-2", ("U625Y", 36))
    result = match(known, [again], TODAY)
    assert (result.kept, result.added) == ((), (again,))
    assert [each.code for each in result.finished] == ["J1"]
    others = move(TODAY, 36, "tent-2", ("JEG86", 36))
    result = match(known, [others], TODAY)
    assert [code for code, _ in result.kept] == ["J1"]
    held = [replace(known[0], is_claimed=True)]
    assert [code for code, _ in match(held, [again], TODAY).kept] == ["J1"]


def test_the_minutes_of_what_is_part_done_are_those_of_its_whole_count() -> None:
    """24 jars, 12 done: the plan asks for 12 more in 60 minutes, and that is what is left."""
    known = [KnownJob("J1", replace(transfer(), minutes=120), done_count=12)]
    [(_, job)] = match(known, [replace(transfer(count=12), minutes=60)], TODAY).kept
    assert (job.count, job.minutes) == (24, 120)


def test_picking_that_nobody_began_is_the_same_job_while_it_hangs() -> None:
    """So its code is answered late; what hangs since days off is no delay."""
    lots = (LotAmount("AAAAA", 20, "fruiting"),)
    pick = replace(transfer(), kind=JobKind.PICK, key="pick:grey:a", lots=lots)
    tomorrow = TODAY + timedelta(days=1)
    late = replace(pick, key="pick:grey:b", day=tomorrow, count=6, first_day=TODAY)
    assert match([KnownJob("J1", pick)], [late], tomorrow).kept == (("J1", late),)
    on_time = replace(late, first_day=None)
    assert match([KnownJob("J1", pick)], [on_time], tomorrow).kept == (("J1", on_time),)
    for known in (
        KnownJob("J1", pick, is_begun=True),
        KnownJob("J1", replace(pick, lots=(LotAmount("BBBBB", 20, "fruiting"),))),
        KnownJob("J1", replace(pick, day=TODAY - timedelta(days=3))),
    ):
        assert match([known], [late], tomorrow).added == (late,)


def test_a_pick_done_in_part_is_one_of_the_whole_again() -> None:
    """0.4 kg of 5.7 kg are picked; the plan lays the 5.3 kg that hang still."""
    pick = replace(transfer(count=6), kind=JobKind.PICK, key="pick:grey:a", grams=5700)
    rest = replace(pick, count=5, grams=5300, minutes=53)
    [(_, job)] = match([KnownJob("J1", pick, 0, 400, is_begun=True)], [rest], TODAY).kept
    assert (job.count, job.grams, job.minutes) == (6, 5700, 57)
