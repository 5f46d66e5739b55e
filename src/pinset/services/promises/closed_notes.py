"""Notes for Today on what ripens in the grow rooms while nobody is there to pick it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from pinset.chain.living import LivingLot
from pinset.chain.register import StepKind
from pinset.farm.queries.alive import living
from pinset.planning.building.from_rooms import rooms_of
from pinset.planning.building.step_numbers import DEFAULT_SAFETY, curve_of
from pinset.planning.model.staffed import LONGEST_PAUSE_DAYS
from pinset.planning.unpicked import STANDS_DAYS, is_spoilt, visits
from pinset.services.book_reader import Reader
from pinset.services.jobs.records import JobKind
from pinset.services.jobs.state import StoredJob, done_count
from pinset.services.words import joined, plural, short_day

LEAST_G = 100
"""Less of a variety is not worth a word. [g]"""


@dataclass(frozen=True, slots=True)
class _Ripe:
    variety: str
    day: date
    grams: float
    lots: tuple[str, ...]
    is_moved_today: bool  # or to be moved today
    is_still_to_move: bool


def closed_notes(stored: Sequence[StoredJob], reader: Reader) -> tuple[str, ...]:
    """Return what ripens while nobody is there for longer than it stands, the soonest first.

    Said on the day on which it is moved in, and from the last day of work before it on.
    """
    together: dict[tuple[date, str, bool], list[_Ripe]] = defaultdict(list)
    here = living(reader.today)
    for each in (*_standing(here, reader), *_to_be_moved(stored, reader)):
        back = _next_staffed(each.day, reader)
        if back is None or not is_spoilt((back - each.day).days) or each.day < reader.today:
            continue
        is_last = reader.working_day_before(each.day - timedelta(days=1)) <= reader.today
        if is_last or each.is_moved_today:
            together[back, each.variety, each.is_still_to_move].append(each)
    return tuple(
        _note(ripe, back, reader)
        for (back, _, _), ripe in sorted(together.items())
        if sum(each.grams for each in ripe) >= LEAST_G
    )


def _next_staffed(day: date, reader: Reader) -> date | None:
    days = (day + timedelta(days=ahead) for ahead in range(LONGEST_PAUSE_DAYS + 1))
    return next((each for each in days if reader.works_on(each)), None)


def _standing(here: Sequence[LivingLot], reader: Reader) -> Iterator[_Ripe]:
    """Yield what is still to be picked of the units that stand in grow rooms."""
    rooms, _ = rooms_of(reader.book, here, reader.today, DEFAULT_SAFETY)
    moved = {lot.code for lot in here if lot.step_since == reader.today}
    for lot in rooms:
        for pick in lot.picks:
            day = reader.today + timedelta(days=pick.day)
            yield _Ripe(lot.variety, day, pick.grams, (lot.lot,), lot.lot in moved, False)


def _to_be_moved(stored: Sequence[StoredJob], reader: Reader) -> Iterator[_Ripe]:
    """Yield what the units will bear that are to be moved into a grow room today."""
    for each in stored:
        job = each.job
        is_open = not each.row.is_closed and job.day <= reader.today
        if job.kind is not JobKind.MOVE or not is_open or job.variety not in reader.varieties:
            continue
        steps = {s.code: s for s in reader.routes[reader.varieties[job.variety].route].steps}
        step = steps.get(job.step)
        if step is None or step.kind is not StepKind.FRUIT:
            continue
        variety, units = reader.varieties[job.variety], job.count - done_count(each.entries)
        lots = tuple(lot.lot for lot in job.lots)
        for pick in curve_of(step, variety, DEFAULT_SAFETY, entered=reader.today):
            day = reader.today + timedelta(days=pick.day)
            grams = units * pick.grams * variety.season_on(day)
            yield _Ripe(job.variety, day, grams, lots, True, True)


def _note(ripe: Sequence[_Ripe], back: date, reader: Reader) -> str:
    first, last = min(e.day for e in ripe), max(e.day for e in ripe)
    when = f"on {short_day(first)}" if first == last else f"{short_day(first)} to {short_day(last)}"
    lots = joined(list(dict.fromkeys(lot for each in ripe for lot in each.lots)))
    grams = reader.about(sum(each.grams for each in ripe))
    which = f"{grams} {reader.name(ripe[0].variety)}" + (f" of {lots}" if lots else "")
    days = visits([(e.day - reader.today).days for e in ripe], (back - reader.today).days)
    come = joined([short_day(reader.today + timedelta(days=day)) for day in days])
    begin = f"{which}, to be moved in today," if ripe[0].is_still_to_move else which
    return (
        f"{begin} will ripen {when}, and nobody works until {short_day(back)}: ripe mushrooms "
        f"stand {plural(STANDS_DAYS, 'day')} (common practice, no source), then they are spoilt. "
        f"{_instead(ripe, reader)}somebody comes on {come}."
    )


def _instead(ripe: Sequence[_Ripe], reader: Reader) -> str:
    if ripe[0].is_still_to_move:
        return "Move it on a later day, or "
    first = min(each.day for each in ripe) - timedelta(days=1)
    if reader.works_on(reader.today) and reader.working_day_before(first) <= reader.today:
        return "Pick today what is close, or "
    return "Pick on the last day of work what is close, or "
