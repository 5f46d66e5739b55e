"""Tubes of the demo farm that are woken: a piece on a plate when half of their time is over.

A woken tube moves nothing, and how long growth takes to show is drawn from a chance stream of its
own: whatever else happens is the same with or without.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date, time, timedelta

from pinset.chain.living import LivingLot
from pinset.chain.readiness import ready_on
from pinset.chain.shelf_life import Asks, Gone, Tube, Woken, asked_of
from pinset.chain.stages import Stage
from pinset.demo.lots import Lot
from pinset.demo.world import SATURDAY, World
from pinset.services.answers.history import digest, trade
from pinset.services.cultures.words import woken_words

PIECES = 2
SHOWS_AFTER_DAYS = (1, 2)
"""Days until growth shows on a sound piece: one or the other; common practice, no source."""

TIRED_SHOWS_AFTER_DAYS = 4
"""The same of the tired culture; invented."""

WRITTEN_AT = time(16, 30)

ROUND_BEFORE_DAYS = 74
"""So many days before the demo's today the whole shelf was woken once; invented.

Half of the time a slant keeps cold is 68 days here: what still stands, and was not renewed, is due
again in the demo's last days.
"""

JUST_WOKEN_DAYS = 30
"""On that round nothing is woken that was woken so many days before; invented."""

LEFT_DAYS = 10
MOST_LEFT = 2
"""Of the tests of the last days so many are left to whoever looks at the demo; invented."""


def wake_tubes(world: World) -> None:
    """Write down what grew of the tubes whose test was due."""
    tubes = [lot for lot in world.stock.all() if lot.step.stage is Stage.TUBE]
    _note_gone(world, tubes)
    if world.today == _round_day(world):
        for lot in tubes:
            if _is_for_the_round(world, lot):
                _write(world, lot, _woken(world, lot, world.today))
        return
    due = sorted(due_tests(world, tubes), key=lambda each: (each[0], each[1].code))
    left = [each for each in due if each[0] > world.truth.today - timedelta(days=LEFT_DAYS)]
    for on, lot in due[: len(due) - min(MOST_LEFT, len(left))]:
        test = _woken(world, lot, on)
        if world.today >= on + timedelta(days=test.days or 0):
            _write(world, lot, test)


def due_tests(world: World, lots: Sequence[Lot]) -> Iterator[tuple[date, Lot]]:
    """Yield the tubes whose test is due, with the day it was due on."""
    tubes = [Tube(living(world, lot), tuple(world.shelf.tests.get(lot.code, ()))) for lot in lots]
    for lot, tube in zip(lots, tubes, strict=True):
        others = [each for each in tubes if each is not tube and each.lot.culture == lot.culture]
        asked = asked_of(tube, others, world.today, gone=world.shelf.gone.get(lot.culture, ()))
        if asked.asks is Asks.TEST and asked.is_due(world.today):
            yield asked.on, lot


def living(world: World, lot: Lot) -> LivingLot:
    """Return tubes of the simulation as the ledger would have them."""
    return LivingLot(
        code=lot.code,
        variety=lot.variety,
        step=lot.step.code,
        stage=lot.step.stage,
        alive=lot.alive,
        made_on=lot.made_on,
        step_since=lot.since,
        place=lot.place,
        room=world.stock.shelves.room_of[lot.place].code,
        temperature_c=lot.temperature_c,
        route=lot.route,
        culture=lot.culture,
        made=lot.made,
        transfers=lot.transfers,
    )


def _note_gone(world: World, tubes: Sequence[Lot]) -> None:
    """Remember the lots of tubes that stood and do not any more."""
    shelf, here = world.shelf, {lot.code: lot for lot in tubes}
    for code, lot in shelf.stood.items():
        if code not in here:
            gone = Gone(code, lot.made_on, world.today)
            shelf.gone[lot.culture] = (*shelf.gone.get(lot.culture, ()), gone)
    shelf.stood = here


def _round_day(world: World) -> date:
    """Return the working day on which the whole shelf is woken."""
    day = world.truth.today - timedelta(days=ROUND_BEFORE_DAYS)
    while not world.works(day):
        day += timedelta(days=1)
    return day


def _is_for_the_round(world: World, lot: Lot) -> bool:
    tests = world.shelf.tests.get(lot.code, ())
    long_ago = world.today - timedelta(days=JUST_WOKEN_DAYS)
    is_ready = ready_on(living(world, lot)).p50 <= world.today
    return is_ready and all(test.on < long_ago for test in tests)


def _woken(world: World, lot: Lot, begun_on: date) -> Woken:
    """Return how a tube wakes of which pieces were set on plates; all of them grow here."""
    if lot.vigour.growth < 1.0:
        days = TIRED_SHOWS_AFTER_DAYS
    else:
        drawn = world.nature.apart(f"woken {lot.code} {begun_on}")
        days = SHOWS_AFTER_DAYS[int(drawn.integers(len(SHOWS_AFTER_DAYS)))]
    return Woken(PIECES, PIECES, days, on=world.today)


def _write(world: World, lot: Lot, test: Woken) -> None:
    person = "marta" if world.today.weekday() == SATURDAY else world.lab_person(world.today)
    tap = world.diary.quiet_tap(WRITTEN_AT, person, digest("woken", f"{lot.code} {world.today}"))
    entry = trade.woken(
        tap,
        lot.code,
        woken_words(test),
        of=test.of,
        grew=test.grew,
        days=test.days,
        is_clean=test.is_clean,
    )
    world.diary.add(entry)
    world.shelf.tests[lot.code] = (*world.shelf.tests.get(lot.code, ()), test)
