"""What the people of the demo farm do of their chores, and which instructions they understood.

Drawn by the digests of day and chore, so that everything else stays as it is without them. While
the door seal leaks nobody looks at it: two busy weeks. The look that found it is the first after
them.
"""

from __future__ import annotations

from datetime import date, time, timedelta

from pinset.chain.upkeep import Chore, ChoreAt, Reads
from pinset.demo.chores import FILTERS, SEAL_AFTER, SEAL_BEFORE
from pinset.demo.world import EVERYBODY, SATURDAY, World
from pinset.services.answers.history import ChoreReading, Tap, digest, trade

AT = {"jori": time(16, 20), "marta": time(16, 40), "lene": time(15, 10)}
READ_AT = time(7, 50)
MENDED_AT = time(17, 10)
LATE_DAYS = 2  # a chore is done on its day, or one or two later

NEW_HEPA_PA, HEPA_RISE = 112.0, 0.13  # Pa, Pa a day: at most 183 Pa after 546 days
NEW_PRE_PA, PRE_RISE, PRE_LIMIT = 58.0, 0.42, 116.0
LAMP_BEGAN_H, LAMP_H_A_DAY = 240.0, 2.7
"""Invented; they rise as such readings do."""


def do_chores(world: World) -> None:
    """Do what is due today, and read what was newly written."""
    for chore in world.book.upkeep:
        if chore.at is not ChoreAt.INSTRUMENT and _is_its_day(world, chore):
            _do(world, chore)
    _read(world)


def _is_its_day(world: World, chore: Chore) -> bool:
    last = world.last_done.get(chore.code, chore.since)
    if last is None or chore.every_days is None:
        return False
    seal = world.truth.seal
    if chore.code == "gasket":  # looked at on Mondays; not in the weeks in which it leaked
        found = world.today == seal.until + timedelta(days=1)
        is_missed = seal.since <= world.today <= seal.until
        return found or (not is_missed and (world.today - last).days >= chore.every_days)
    due = last + timedelta(days=chore.every_days)
    return world.today >= due + timedelta(days=_drawn(chore.code, due, LATE_DAYS + 1))


def _drawn(purpose: str, day: date, below: int) -> int:
    """Return a whole number from 0 on that depends on nothing but its input."""
    return int(digest("chore", f"{purpose} {day}"), 16) % below


def _person(world: World, chore: Chore) -> str:
    away = world.today.weekday() == SATURDAY and chore.by == "jori"
    return "marta" if away else chore.by


def _tap(world: World, chore: Chore, clock: time, word: str, note: str = "") -> Tap:
    client_id = digest("chore", f"{chore.code} {world.today} {word}")
    tap = world.diary.quiet_tap(clock, _person(world, chore), client_id)
    return Tap(tap.client_id, tap.at, tap.person, note=note)


def _do(world: World, chore: Chore) -> None:
    clock = AT[_person(world, chore)]
    if chore.code == "gasket" and world.today == world.truth.seal.until + timedelta(days=1):
        note = "Hard along the hinge, and a cooked trace of steam beside it."
        found = _tap(world, chore, READ_AT, "found", note)
        world.diary.add(trade.chore_done(found, chore.code, is_amiss=True))
        mended = _tap(world, chore, MENDED_AT, "mended", "New seal put in; the old one was hard.")
        world.diary.add(trade.chore_done(mended, chore.code, is_changed=True))
    else:
        reading, is_changed = _reading(world, chore)
        tap = _tap(world, chore, clock, "done")
        world.diary.add(trade.chore_done(tap, chore.code, reading=reading, is_changed=is_changed))
    world.last_done[chore.code] = world.today


def _reading(world: World, chore: Chore) -> tuple[ChoreReading | None, bool]:
    """Return what is read off today, and whether a new one was put in for it."""
    days = (world.today - world.truth.start).days
    jitter = _drawn(f"{chore.code} jitter", world.today, 7) - 3.0
    is_changed = False
    if chore.code == "lamp":
        value = round(LAMP_BEGAN_H + LAMP_H_A_DAY * days)
    elif chore.code == "hepa":
        value = round(NEW_HEPA_PA + HEPA_RISE * days + jitter / 3.0)
    elif chore.code == "pre-filter":
        since = (world.today - world.last_changed.get(chore.code, world.truth.start)).days
        value = round(NEW_PRE_PA + PRE_RISE * since + jitter)
        if value >= PRE_LIMIT - 5.0:
            value, is_changed = round(NEW_PRE_PA), True
            world.last_changed[chore.code] = world.today
    elif chore.code == "scale":
        value = round(abs(jitter))
    else:
        return None, False
    return ChoreReading(float(value), Reads(chore.reads).value), is_changed


def _read(world: World) -> None:
    """Read instructions: the first ones in the first week, the new one when it is written."""
    start, changed = world.truth.start, world.truth.seal.until + timedelta(days=2)
    if world.today == start + timedelta(days=1) or _caught_up(world, start + timedelta(days=1)):
        for instruction in (FILTERS, SEAL_BEFORE):
            _tick(world, instruction.code, 1, EVERYBODY)
    if world.today == changed:
        world.fresh_records.append((world.today, SEAL_AFTER))
    if world.today == changed + timedelta(days=1):
        _tick(world, SEAL_AFTER.code, 2, ("marta", "jori"))


def _caught_up(world: World, day: date) -> bool:
    return day in world.days_caught_up()[1:]


def _tick(world: World, code: str, version: int, people: tuple[str, ...]) -> None:
    for minutes, person in enumerate(people):
        client_id = digest("read", f"{code} {version} {person}")
        clock = time(READ_AT.hour + 1, 5 + minutes)
        tap = world.diary.quiet_tap(clock, person, client_id)
        world.diary.add(trade.instruction_read(tap, code, version))
