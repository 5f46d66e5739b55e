"""The day's work round its fixed hours, clean before dirty."""

from __future__ import annotations

import itertools
from dataclasses import replace
from datetime import time

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pinset.chain.day_hours import Span, spans_of
from pinset.chain.register import CLEANLINESS, RoomKind
from pinset.planning.day.day import FittedDay, Hands, Task, fit_day

START = time(7, 30)
DAY = Span(450, 930)  # eight hours from 07:30
LAB, GROW = CLEANLINESS[RoomKind.LABORATORY], CLEANLINESS[RoomKind.GROWING]
BAY = CLEANLINESS[RoomKind.STERILISER]
ADA = Hands("ada", "Ada", (DAY,))
BEN = Hands("ben", "Ben", (DAY,), laboratory=False)


def at(fitted: FittedDay, key: str) -> time:
    return next(slot.start for slot in fitted.slots if slot.key == key)


def who(fitted: FittedDay, key: str) -> str:
    return next(slot.person for slot in fitted.slots if slot.key == key)


def test_fixed_hours_stay_and_the_rest_goes_round_them() -> None:
    tasks = [
        Task("cook", "load", 30, BAY, fixed_at=time(8, 0)),
        Task("jars", "24 jars", 60, LAB),
    ]
    fitted = fit_day(tasks, [ADA])
    assert at(fitted, "cook") == time(8, 0)
    assert at(fitted, "jars") == time(8, 30)
    assert fitted.warnings == ()


def test_laboratory_before_grow_rooms_for_one_person() -> None:
    tasks = [Task("pick", "38 kg", 60, GROW), Task("jars", "24 jars", 60, LAB)]
    fitted = fit_day(tasks, [ADA])
    assert at(fitted, "jars") < at(fitted, "pick")
    assert fitted.warnings == ()


def test_with_two_people_the_clean_one_stays_clean() -> None:
    tasks = [Task("pick", "38 kg", 60, GROW), Task("jars", "24 jars", 60, LAB)]
    fitted = fit_day(tasks, [ADA, BEN])
    assert (who(fitted, "jars"), who(fitted, "pick")) == ("ada", "ben")
    assert at(fitted, "pick") == START


def test_the_one_for_the_steriliser_is_not_the_one_in_the_laboratory() -> None:
    tasks = [Task("cook", "load", 30, BAY, fixed_at=time(8, 0)), Task("jars", "jars", 60, LAB)]
    fitted = fit_day(tasks, [ADA, BEN])
    assert (who(fitted, "cook"), at(fitted, "jars")) == ("ben", START)


def test_a_grow_room_hour_that_comes_first_is_said() -> None:
    tasks = [
        Task("van", "picking for the early van", 60, GROW, fixed_at=time(7, 30)),
        Task("jars", "24 jars", 60, LAB),
    ]
    fitted = fit_day(tasks, [ADA])
    assert at(fitted, "jars") == time(8, 30)
    assert "cannot both be kept" in fitted.warnings[0]
    assert "Ada" in fitted.warnings[0]


def test_hours_that_do_not_suffice_are_said() -> None:
    tasks = [Task("a", "60 blocks", 400, LAB), Task("b", "40 jars", 200, LAB)]
    fitted = fit_day(tasks, [ADA])
    assert fitted.unplaced == ("b",)
    assert "3 h 20 min do not fit" in fitted.warnings[0]


def test_a_latest_end_is_kept_or_named() -> None:
    fits = fit_day([Task("fill", "fill", 60, BAY, latest_end=time(10, 30))], [ADA])
    assert fits.warnings == ()
    late = fit_day([Task("fill", "fill 93 bags", 240, BAY, latest_end=time(10, 30))], [ADA])
    assert late.warnings == ("fill 93 bags ends about 11:30, later than 10:30.",)


def test_nobody_here() -> None:
    fitted = fit_day([Task("a", "jars", 10, LAB)], [])
    assert fitted.unplaced == ("a",)
    assert fit_day([], [ADA]) == FittedDay((), (), ())


def test_work_that_follows_begins_when_the_other_has_ended() -> None:
    tasks = [
        Task("fill", "fill", 120, BAY, latest_end=time(12, 30), after=("boil",)),
        Task("soak", "soak", 20, BAY, latest_end=time(12, 30)),
        Task("boil", "boil", 60, BAY, latest_end=time(12, 30), after=("soak",)),
    ]
    fitted = fit_day(tasks, [ADA, BEN])
    assert at(fitted, "soak") == START
    assert at(fitted, "boil") == time(7, 50)
    assert at(fitted, "fill") == time(8, 50)


def test_nobody_is_given_an_hour_after_they_have_gone() -> None:
    short = Hands("cy", "Cy", (Span(450, 810),), laboratory=False)
    fitted = fit_day([Task("open", "open", 20, BAY, fixed_at=time(15, 0))], [ADA, short])
    assert who(fitted, "open") == "ada"
    late = fit_day([Task("open", "opening", 20, BAY, fixed_at=time(17, 0))], [ADA, short])
    assert who(late, "open") == ""
    assert late.warnings == ("Nobody is here at 17:00 for opening.",)


def test_dirty_work_stays_with_one_person_if_the_clock_allows() -> None:
    shelf = CLEANLINESS[RoomKind.INCUBATION]
    tasks = [Task(f"pick{n}", "pick", 30, GROW, latest_end=time(13, 0)) for n in range(4)]
    tasks += [Task(f"look{n}", "look", 30, shelf) for n in range(4)]
    fitted = fit_day(tasks, [ADA, BEN])
    assert {who(fitted, f"pick{n}") for n in range(4)} == {"ben"}
    assert {who(fitted, f"look{n}") for n in range(4)} == {"ada"}
    assert fitted.warnings == ()


@given(
    st.lists(
        st.tuples(
            st.integers(1, 200),
            st.sampled_from(sorted(CLEANLINESS.values())),
            st.one_of(st.none(), st.integers(8, 15)),
        ),
        max_size=14,
    ),
    st.lists(st.tuples(st.integers(0, 540), st.booleans()), max_size=4),
)
def test_nobody_does_two_things_at_once(
    work: list[tuple[int, int, int | None]], staff: list[tuple[int, bool]]
) -> None:
    tasks = [
        Task(f"t{i}", f"work {i}", minutes, rank, fixed_at=time(hour) if hour else None)
        for i, (minutes, rank, hour) in enumerate(work)
    ]
    people = [
        Hands(f"p{i}", f"P{i}", spans_of(minutes / 60, 450), lab)
        for i, (minutes, lab) in enumerate(staff)
    ]
    fitted = fit_day(tasks, people)
    assert {slot.key for slot in fitted.slots} | set(fitted.unplaced) == {t.key for t in tasks}
    length = {task.key: task.minutes for task in tasks}
    for person in people:
        spans = sorted(
            (slot.start.hour * 60 + slot.start.minute, length[slot.key])
            for slot in fitted.slots
            if slot.person == person.code
        )
        for (begin, minutes), (after, _) in itertools.pairwise(spans):
            assert begin + minutes <= after


def test_a_day_laid_out_at_noon_begins_then_and_ends_when_it_always_ends() -> None:
    tasks = [Task("look", "look", 60, BAY), Task("van", "van", 10, BAY, fixed_at=time(14, 0))]
    fitted = fit_day(tasks, [ADA], since=time(12, 20))
    assert (at(fitted, "look"), at(fitted, "van")) == (time(12, 20), time(14, 0))
    long = fit_day([Task("long", "long", 200, BAY)], [ADA], since=time(12, 20))
    assert long.unplaced == ("long",), "Ada goes home at 15:30"
    assert fit_day(tasks, [ADA], since=time(7, 0)) == fit_day(tasks, [ADA])


def test_in_a_day_under_way_what_others_wait_for_is_as_urgent_as_they_are() -> None:
    tasks = [
        Task("look", "look", 90, BAY),
        Task("round", "round", 30, GROW),
        Task("pick", "pick", 30, GROW, latest_end=time(13, 30), after=("round",)),
    ]
    fitted = fit_day(tasks, [ADA], since=time(12, 20))
    assert [at(fitted, key) for key in ("round", "pick")] == [time(12, 20), time(12, 50)]
    assert fitted.warnings == ()


def test_all_that_ends_late_is_one_sentence() -> None:
    tasks = [Task(f"fill{n}", f"fill {n}", 200, BAY, latest_end=time(8, 0)) for n in range(2)]
    assert fit_day(tasks, [ADA]).warnings == ("fill 0; fill 1 end about 14:10, later than 08:00.",)


INC, PACK = CLEANLINESS[RoomKind.INCUBATION], CLEANLINESS[RoomKind.PACKING]


def towards_the_van(moving: int, van: time) -> list[Task]:
    """Return blocks to be moved some day, and a round, a pick and a pack that the van waits for."""
    return [
        Task("move", "25 blocks", moving, INC),
        Task("round", "the round", 30, GROW),
        Task("pick", "picking", 60, GROW, after=("round",)),
        Task("pack", "packing", 60, PACK, latest_end=van, after=("pick",)),
    ]


def test_what_the_van_waits_for_comes_before_what_nobody_waits_for() -> None:
    """Moving first, packing would end at 12:00; done last it makes the van at 11:00."""
    fitted = fit_day(towards_the_van(120, time(11, 0)), [BEN])
    order = sorted(("move", "round", "pick", "pack"), key=lambda key: at(fitted, key))
    assert order[:3] == ["round", "pick", "pack"]
    assert fitted.warnings == ()


def test_where_the_van_is_made_all_the_same_the_order_of_cleanliness_stays() -> None:
    fitted = fit_day(towards_the_van(60, time(11, 0)), [BEN])
    assert at(fitted, "move") == START
    assert fitted.warnings == ()


def test_where_the_van_cannot_be_made_the_order_of_cleanliness_stays() -> None:
    fitted = fit_day(towards_the_van(120, time(9, 0)), [BEN])
    assert [at(fitted, "move"), at(fitted, "pack")] == [START, time(11, 0)]
    assert "later than 09:00" in fitted.warnings[0]


def test_who_comes_after_work_for_something_is_not_missed_there() -> None:
    opening = Task("open", "open", 20, BAY, fixed_at=time(20, 30), comes_until=time(22, 0))
    assert fit_day([opening], [ADA]).warnings == ()
    late = replace(opening, fixed_at=time(22, 5))
    assert fit_day([late], [ADA]).warnings == ("Nobody is here at 22:05 for open.",)
    at_noon = replace(opening, fixed_at=time(12, 0))
    busy = Task("load", "load", 60, BAY, fixed_at=time(11, 40))
    assert fit_day([busy, at_noon], [ADA]).warnings == ("Nobody is free at 12:00 for open.",)


def test_work_is_laid_into_the_times_at_which_somebody_is_here() -> None:
    eve = Hands("eve", "Eve", spans_of("17:00-20:30", 450))
    ben = Hands("ben", "Ben", spans_of("07:00-08:00, 16:00-18:00", 450), laboratory=False)
    tasks = [Task("jars", "jars", 60, LAB), Task("pick", "pick", 90, GROW)]
    fitted = fit_day(tasks, [eve, ben])
    assert [at(fitted, key) for key in ("jars", "pick")] == [time(17, 0), time(16, 0)]
    assert who(fitted, "pick") == "ben", "an hour in the morning is too short for it"
    noon = Task("open", "opening", 20, BAY, fixed_at=time(12, 0))
    assert fit_day([noon], [eve, ben]).warnings == ("Nobody is here at 12:00 for opening.",)
    assert fit_day([noon], [Hands("eve", "Eve", ())]).warnings == (
        "Nobody is here at 12:00 for opening.",
    )


def test_what_is_due_today_comes_before_what_can_wait() -> None:
    """Eight hours, ten of work: the laboratory's work for next week leaves room for packing."""
    tasks = [
        Task("pick", "pick 9 kg", 200, GROW),
        Task("pack", "pack 9 kg", 60, PACK, after=("pick",)),
        Task("next", "12 plates for next week", 240, LAB, waits_days=5),
        Task("look", "40 jars to look over", 60, INC, waits_days=1),
        Task("soon", "5 jars", 40, LAB, waits_days=2),
    ]
    fitted = fit_day(tasks, [ADA])
    assert fitted.unplaced == ("next",)
    assert {slot.key for slot in fitted.slots} == {"pick", "pack", "look", "soon"}
    assert fitted.warnings == (
        "About 4 h 00 min do not fit into today's hours: this can wait: 12 plates for next week.",
    )


def test_everything_that_does_not_fit_is_named() -> None:
    tasks = [Task(f"t{n}", f"work {n}", 400, BAY, waits_days=n) for n in range(4)]
    [said] = fit_day(tasks, [ADA]).warnings
    assert said == (
        "About 20 h 00 min do not fit into today's hours: these can wait: work 1; work 2; work 3."
    )
    due = [Task(f"t{n}", f"work {n}", 400, BAY, waits_days=n == 2) for n in range(3)]
    [said] = fit_day(due, [ADA]).warnings
    assert said.endswith("hours: work 1. this can wait: work 2.".replace(". this", ". This"))


@pytest.mark.parametrize(
    ("since", "said"),
    [
        (time(14, 0), "Work ends at 15:30 today; 4 jobs, about 8 h 00 min, pass to the next"),
        (time(19, 30), "Work ended at 15:30 today; 5 jobs, about 10 h 00 min, pass to the next"),
    ],
)
def test_late_in_the_day_one_sentence_says_what_passes_on(since: time, said: str) -> None:
    tasks = [Task(f"t{n}", f"work {n}", 120 if n else 80, BAY) for n in range(5)]
    tasks[0] = replace(tasks[0], minutes=120 if since > time(15, 30) else 80)
    [warning] = fit_day(tasks, [ADA], since=since).warnings
    assert warning == f"{said} working day."
    [one] = fit_day([Task("t", "work", 120, BAY)], [ADA], since=time(19, 30)).warnings
    assert one.endswith("1 job, about 2 h 00 min, passes to the next working day: work.")
