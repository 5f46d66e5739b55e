"""What a task may ask of the day beside its minutes: an earliest time, the laboratory, a person."""

from __future__ import annotations

from datetime import time

from pinset.chain.day_hours import Span
from pinset.chain.register import CLEANLINESS, RoomKind
from pinset.planning.day.day import Hands, Task, fit_day

DAY = Span(450, 930)  # eight hours from 07:30
SHELF = CLEANLINESS[RoomKind.INCUBATION]
BOTH = (Hands("a", "First", (DAY,)), Hands("b", "Second", (DAY,), laboratory=False))


def test_earliest_is_kept() -> None:
    task = Task("cool", "inoculate cooled bags", 60, SHELF, earliest=time(11, 0))
    (slot,) = fit_day([task], BOTH).slots
    assert slot.start >= time(11, 0)


def test_only_laboratory_people_do_laboratory_work() -> None:
    task = Task("pour", "pour plates", 60, SHELF, needs_laboratory=True)
    (slot,) = fit_day([task], BOTH).slots
    assert slot.person == "a"
    alone = fit_day([task], BOTH[1:])
    assert alone.unplaced == ("pour",)
    fixed = Task("pour", "pour plates", 60, SHELF, fixed_at=time(9, 0), needs_laboratory=True)
    assert fit_day([fixed], BOTH[1:]).warnings


def test_preferred_person_is_taken_if_free() -> None:
    tasks = [Task(f"t{n}", "look", 30, SHELF, prefers="b") for n in range(3)]
    assert {slot.person for slot in fit_day(tasks, BOTH).slots} == {"b"}
    long = Task("long", "shake", 470, SHELF, prefers="b")
    fitted = fit_day([long, *tasks], BOTH)
    assert not fitted.unplaced
