"""Chores that are proposed for what a farm has; it takes over what it wants and edits that."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from datetime import datetime

from pinset.chain.register import FarmBook
from pinset.chain.upkeep import Chore, ChoreAt, ChoreKind, Reads
from pinset.errors import InputError
from pinset.services.books.register_change import write_records
from pinset.services.clock import now_utc
from pinset.services.plans import planning_day
from pinset.services.upkeep.in_step import bring_in_step
from pinset.services.upkeep.records import Proposal
from pinset.services.upkeep.words import often, read_words, title_of
from pinset.tables.chores import ProposedChore, proposed_chores


def proposals(now: datetime | None = None) -> tuple[Proposal, ...]:
    """Return what is proposed, a line for each thing of the farm."""
    book, _ = planning_day.farm_book(now)
    return tuple(
        Proposal(
            key=chore.code,
            title=title_of(chore, book),
            often=often(chore),
            limit=_limit(chore),
            known_from=row.known_from,
            note=row.note,
            is_taken=_is_taken(chore, book),
        )
        for row, chore in _all(book)
    )


def take_over(keys: Collection[str], person: str, now: datetime | None = None) -> tuple[str, ...]:
    """Write proposed chores into the register, from today on, and return their codes.

    Those that stand there already are left alone.

    Raises
    ------
    InputError
        If nothing is chosen, or something that is not proposed.
    """
    moment = now or now_utc()
    book, _ = planning_day.farm_book(moment)
    offered = {chore.code: chore for _, chore in _all(book)}
    unknown = sorted(set(keys) - set(offered))
    if unknown or not keys:
        given = ", ".join(unknown)
        raise InputError("chores", given, f"one or more of {', '.join(offered)}")
    chosen = [chore for key, chore in offered.items() if key in keys and not _is_taken(chore, book)]
    if chosen:
        write_records(chosen, person, moment)
        after, _ = planning_day.farm_book(moment)
        bring_in_step(after, moment)
    return tuple(chore.code for chore in chosen)


def _is_taken(chore: Chore, book: FarmBook) -> bool:
    same = (chore.at, chore.which)
    return any(
        each.code == chore.code
        or (
            (each.at, each.which) == same
            and each.kind is chore.kind is not ChoreKind.OTHER
            and each.reads is chore.reads
        )
        for each in book.upkeep
    )


def _all(book: FarmBook) -> Iterator[tuple[ProposedChore, Chore]]:
    for row in proposed_chores():
        for which in _things(row, book):
            yield row, _chore(row, which)


def _things(row: ProposedChore, book: FarmBook) -> tuple[str, ...]:
    at = ChoreAt(row.at)
    if at is ChoreAt.ROOM:
        return tuple(room.code for room in book.rooms if room.kind.value == row.of)
    if at is ChoreAt.BENCH:
        return tuple(bench.code for bench in book.benches)
    if at is ChoreAt.STERILISER:
        machines = (m for m in book.sterilisers if row.of != "pressure" or m.rating_bar_gauge > 0)
        return tuple(machine.code for machine in machines)
    if at is ChoreAt.INSTRUMENT:
        return tuple(each.code for each in book.instruments if each.kind.value == row.of)
    return ("",)


def _chore(row: ProposedChore, which: str) -> Chore:
    code = f"{row.key}-{which}"[:40] if which else row.key
    return Chore(
        code=code,
        name=row.name,
        kind=ChoreKind(row.kind),
        at=ChoreAt(row.at),
        which=which,
        every_days=row.every_days,
        every_uses=row.every_uses,
        reads=Reads(row.reads),
        limit=row.limit,
        limit_times=row.limit_times,
        minutes=row.minutes,
        cautions=row.cautions,
        note=row.note,
    )


def _limit(chore: Chore) -> str:
    if chore.limit is not None:
        return read_words(chore.limit, chore.reads)
    return f"{chore.limit_times:g} times the first reading" if chore.limit_times else ""
