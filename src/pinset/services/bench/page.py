"""What the page of a bench shows: who is at which bench, what is asked before, what lies there."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from pinset.chain.register import StepKind
from pinset.chain.step_nouns import step_noun
from pinset.farm.queries.alive import prepared
from pinset.services.bench import lists
from pinset.services.bench.records import BenchLine, BenchSession, Line, SessionState
from pinset.services.bench.sessions import open_sessions
from pinset.services.book_reader import Reader
from pinset.services.clock import at_clock, now_utc
from pinset.services.day.spores import WARNING, was_in_grow_rooms
from pinset.services.floor.job_offers import asked_today
from pinset.services.jobs.records import JobKind
from pinset.services.plans import planning_day

NAMES_A_STEP = "step:"
"""Before the code of a step, where a choice may also be the code of a job."""


@dataclass(frozen=True, slots=True)
class BenchPage:
    """The page of a bench, for one person."""

    benches: tuple[BenchLine, ...]
    bench: BenchLine | None  # the one chosen
    session: BenchSession | None  # that goes on there, or was left open
    is_left_open: bool
    is_here: bool  # this person ticked the list of it
    warning: str  # for who was in the grow rooms today
    entry: tuple[Line, ...]
    clean_down: tuple[Line, ...]
    places: tuple[Line, ...]  # where settle plates stand
    entry_cautions: tuple[str, ...]
    clean_down_cautions: tuple[str, ...]
    into: tuple[tuple[str, str], ...]  # what may be made, chosen without a label: value, words
    vessels: tuple[str, ...]  # codes of the prepared lots that stand


def bench_page(bench: str, person: str, *, now: datetime | None = None) -> BenchPage:
    """Return the page of a bench; without one chosen, of the one where this person is.

    Parameters
    ----------
    bench : str
        Code; empty or unknown: where the person is at work, else the only one there is.
    person : str
        Worker code of who looks.
    """
    now = now or now_utc()
    book, today = planning_day.farm_book(now)
    going = {each.bench: each for each in reversed(open_sessions(now))}
    benches = tuple(BenchLine(b.code, b.name, going.get(b.code)) for b in book.benches)
    chosen = next((each for each in benches if each.code == bench), None)
    if chosen is None:
        own = [each for each in benches if each.open and _is_of(each.open, person)]
        chosen = own[0] if own else benches[0] if len(benches) == 1 else None
    found = chosen.open if chosen else None
    is_left = found is not None and found.state is SessionState.LEFT_OPEN
    is_here = found is not None and not is_left and _is_of(found, person)
    is_open = chosen is not None and not is_left
    day_begins = at_clock(today, "00:00", book.farm.time_zone)
    is_spored = bool(person) and was_in_grow_rooms(person, book, day_begins)
    reader = Reader(book, today)
    return BenchPage(
        benches=benches,
        bench=chosen,
        session=found,
        is_left_open=is_left,
        is_here=is_here,
        warning=WARNING if is_spored else "",
        entry=lists.lines(lists.ENTRY),
        clean_down=lists.lines(lists.CLEAN_DOWN),
        places=lists.lines(lists.PLATE),
        entry_cautions=lists.list_cautions(lists.ENTRY),
        clean_down_cautions=lists.list_cautions(lists.CLEAN_DOWN),
        into=_into(reader) if is_open else (),
        vessels=tuple(dict.fromkeys(lot.code for lot in prepared())) if is_open else (),
    )


def _is_of(found: BenchSession, person: str) -> bool:
    return any(each.person == person for each in found.people)


def _into(reader: Reader) -> tuple[tuple[str, str], ...]:
    """Return what can be made without a label: the transfers of today, then every step."""
    jobs = [
        (each.code, f"{each.code}: {each.left} {each.job.what.partition(' from ')[0]}")
        for each in asked_today(reader.book, reader.today, {JobKind.TRANSFER})
    ]
    steps = {
        f"{NAMES_A_STEP}{step.code}": f"{step_noun(step, 2)} ({step.code})"
        for route in reader.book.routes
        for step in route.steps
        if step.kind is StepKind.TRANSFER and step.parents
    }
    return (*jobs, *steps.items())
