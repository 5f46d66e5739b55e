"""Filling the open, empty demo farm: its book, its people, eighteen months of entries."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, date, datetime
from zoneinfo import ZoneInfo

from pinset.demo.people import DemoPerson, Progress, password_for
from pinset.demo.shed import opening_book
from pinset.demo.simulate import Simulation
from pinset.demo.truth import HiddenTruth
from pinset.services.answers import history
from pinset.services.answers.history import Sheet


def fill(planned: HiddenTruth, progress: Progress) -> tuple[tuple[DemoPerson, ...], HiddenTruth]:
    """Fill the open, empty farm with its book, its people and its history.

    Returns
    -------
    tuple
        The people with their passwords, and the truth with everything it touched.
    """
    start, today, seed = planned.start, planned.today, planned.seed
    book = opening_book(start)
    zone = ZoneInfo(book.farm.time_zone)
    dawn = datetime(start.year, start.month, start.day, 5, 0, tzinfo=zone).astimezone(UTC)
    progress(0.02, "describing the farm")
    history.describe(book, start, dawn, seed=seed)
    people = tuple(
        DemoPerson(worker.code, worker.name, worker.role, password_for(worker.code, seed))
        for worker in book.workers
    )
    for person in people:
        salt = history.digest("salt", f"{seed} {person.code}")
        history.set_known_password(person.code, person.password, salt=salt)
    simulation = Simulation(book, planned, history.fresh_codes())
    history.write_history(_told(simulation.weeks(), start, today, progress))
    for day, record in sorted(simulation.world.fresh_records, key=lambda each: each[0]):
        morning = datetime(day.year, day.month, day.day, 9, 0, tzinfo=zone).astimezone(UTC)
        history.describe([record], day, morning, seed=seed)
    history.stamp_migrations(dawn)
    return people, simulation.truth_told()


def _told(
    weeks: Iterator[tuple[Sheet, ...]], start: date, today: date, progress: Progress
) -> Iterator[tuple[Sheet, ...]]:
    """Pass the weeks on, saying how far they have come."""
    for week in weeks:
        yield week
        written = week[-1].recorded_at.date()
        share = (written - start).days / max(1, (today - start).days)
        progress(0.04 + 0.95 * share, f"simulating {written:%B %Y}")
