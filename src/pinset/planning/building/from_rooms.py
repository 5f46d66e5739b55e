"""What still comes from the grow rooms: the flushes of the units that stand there."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date, timedelta
from math import floor

from pinset.chain.bearing import flush_of, fruits
from pinset.chain.living import LivingLot
from pinset.chain.readiness import lead_days
from pinset.chain.register import FarmBook, RoomKind, Step, Variety
from pinset.chain.who_is_here import hours_on, is_working_day
from pinset.planning.building.step_numbers import Safety, curve_of, groups
from pinset.planning.model.staffed import LONGEST_PAUSE_DAYS
from pinset.planning.problem import InRoom
from pinset.planning.recipes import Picking
from pinset.planning.unpicked import STANDS_DAYS, is_spoilt

LEAST_SHARE = 0.01
"""Of a day's picking: less is no day of its own, and nothing that is waited for."""

STALE_DAYS = 14  # a flush that is later than this is not counted on


def rooms_of(
    book: FarmBook, living: Iterable[LivingLot], today: date, safety: Safety
) -> tuple[tuple[InRoom, ...], tuple[str, ...]]:
    """Return the units standing in grow rooms with what is still to be picked from them."""
    varieties = {variety.code: variety for variety in book.varieties}
    growing = {room.code for room in book.rooms if room.kind is RoomKind.GROWING}
    found: list[InRoom] = []
    remarks: list[str] = []
    unseen = _unseen_since(book, today)
    for lot in living:
        if not fruits(lot):
            continue
        variety = varieties.get(lot.variety)
        step = lot.now_step()
        if lot.room not in growing:
            remarks.append(f"Lot {lot.code} fruits in {lot.room or 'no room'}, not a grow room.")
        picks: tuple[Picking, ...] = ()
        usual_days = lead_days(step)
        if variety is not None and not lot.held:
            curve = curve_of(step, variety, safety, entered=lot.step_since)
            usual = _still_to_pick(book, lot, curve, step, today, unseen)
            picks = tuple(_in_season(pick, variety, today) for pick in usual)
            if not picks and flush_of(lot) < len(step.flushes):
                remarks.append(
                    f"Lot {lot.code} should have been picked more than {STALE_DAYS} days ago; the "
                    "plan expects nothing more from it. Look at it."
                )
        vessel = next((v for v in book.vessels if v.code == _vessel(lot)), None)
        found.append(
            InRoom(
                lot=lot.code,
                variety=lot.variety,
                room=lot.room,
                units=float(lot.alive),
                places=lot.alive * step.places,
                leaves_day=max((0, *(picking.day for picking in picks))) + 1,
                picks=picks,
                climate=step.climate,
                vessel=vessel.code if vessel is not None and vessel.in_circulation else "",
                waits_days=_waits_days(lot, today + timedelta(days=unseen)),
                slowness=lead_days(step, since=lot.step_since) / usual_days if usual_days else 1.0,
            )
        )
    return tuple(found), tuple(remarks)


def _waits_days(lot: LivingLot, seen: date) -> float | None:
    """Return how long units waited for their first flush on the day from which it may have come.

    None: it has begun, or its day is known.
    """
    if flush_of(lot) > 0 or lot.expected_ready_on is not None:
        return None
    return max(0.0, float((seen - lot.step_since).days))


def _vessel(lot: LivingLot) -> str:
    grouped = groups(lot.route)
    return grouped[-1][0].vessel if grouped else ""


def _in_season(pick: Picking, variety: Variety, today: date) -> Picking:
    """Return a pick with what its month bears of the usual yield."""
    share = variety.season_on(today + timedelta(days=pick.day))
    return replace(pick, grams=pick.grams * share)


@dataclass(frozen=True, slots=True)
class _Bearing:
    """Units of one lot in a room, with what their picks so far leave to come."""

    lot: LivingLot
    curve: tuple[Picking, ...]
    done: int  # flushes picked
    standing: float  # units that entered, for as many as stand after what a flush loses
    entered: int  # days from today on which they came in; 0 or less
    expected: int | None  # days from today to the next flush, by a person's judgement
    unseen: int  # first day of those before today on which nobody was there for long; 0: none

    @property
    def is_stale(self) -> bool:
        """Say whether the day a person expected is so long past that nothing is counted on."""
        return self.expected is not None and self.expected < -STALE_DAYS


def _still_to_pick(
    book: FarmBook,
    lot: LivingLot,
    curve: tuple[Picking, ...],
    step: Step,
    today: date,
    unseen: int,
) -> tuple[Picking, ...]:
    """Return the rest of the curve on absolute days, from the flush and the day last picked.

    Grams expected of a flush count every unit that entered the room; what was lost on the way is
    already gone from ``alive``, so later flushes are scaled back to the units standing. What a
    flush still has hangs on as long as it stands, whether nobody worked on its day or somebody did
    and left it: it comes on the day it ripened, also of the past. The day on which a person expects
    the next flush overrules the route's; it comes at once if that day is past and somebody was
    there to see that it had not come. On closed days it comes on its day, also of the past.
    """
    if not curve:
        return ()
    lost = {number: flush.lost_before for number, flush in enumerate(step.flushes, start=1)}
    done, by_person = flush_of(lot), lot.expected_ready_on
    here = _Bearing(
        lot,
        curve,
        done,
        lot.alive / max(0.05, 1.0 - lost.get(done, 0.0)),
        (lot.step_since - today).days,
        (by_person - today).days if by_person is not None else None,
        unseen,
    )
    if here.is_stale:
        return ()
    return _from_the_first(here) if done < 1 else _from_the_next(here, book, today)


def _from_the_first(here: _Bearing) -> tuple[Picking, ...]:
    usual = here.entered + here.curve[0].day
    first = usual if here.expected is None else here.expected
    if first < -STALE_DAYS:
        return ()
    shift = max(here.unseen, first) - here.curve[0].day
    return tuple(
        Picking(each.day + shift, each.grams * here.standing, each.flush) for each in here.curve
    )


def _from_the_next(here: _Bearing, book: FarmBook, today: date) -> tuple[Picking, ...]:
    """Return what the present flush still has, and the flushes after it."""
    lot, curve, standing = here.lot, here.curve, here.standing
    current = [each for each in curve if each.flush == here.done]
    due_end = here.entered + current[-1].day if current else 0
    if lot.last_picked_on is not None:
        last = (lot.last_picked_on - today).days
        left = sum(each.grams for each in current) * standing - lot.flush_g
    else:  # picked before the lot was written down
        last = min(-1, due_end)
        left = sum(each.grams for each in curve if each.flush <= here.done) * standing
        left -= lot.picked_g
    next_day = max(here.unseen, last + 1)
    rest: list[Picking] = []
    ends = last
    is_next_here = here.expected is not None and here.expected <= next_day
    if current and left > 0 and not is_next_here:
        begins, share_by_day = _left_of_flush(here, len(current), last, due_end, left)
        ripens = [
            Picking(begins + day, grams, here.done)
            for day, grams in enumerate(share_by_day)
            if grams > LEAST_SHARE * current[0].grams * standing
        ]
        rest = [each for each in ripens if _still_hangs(each, here, book, today)]
        if rest:
            ends = max(next_day, rest[-1].day)
    later = [each for each in curve if each.flush > here.done]
    if later and current:
        usual = ends + later[0].day - current[-1].day
        begins = max(next_day, usual if here.expected is None else here.expected)
        if here.expected is None and begins - usual > STALE_DAYS:
            return tuple(rest)
        shift = begins - later[0].day
        rest += [Picking(each.day + shift, each.grams * standing, each.flush) for each in later]
    return tuple(rest)


def _left_of_flush(
    here: _Bearing, days_usual: int, last: int, due_end: int, left: float
) -> tuple[int, list[float]]:
    """Return what a flush still has by the day it ripens, and the first of these days.

    What a finished pick did not bring the flush does not have; the next share comes on the day
    after. Of a pick that was said to be a part the rest of that day's share hangs still. A flush
    that began late ends late.
    """
    lot = here.lot
    a_day = next(each for each in here.curve if each.flush == here.done).grams * here.standing
    is_part = lot.part_picked_on is not None and lot.part_picked_on == lot.last_picked_on
    if is_part:
        begins, most, passed = last, days_usual, floor(lot.flush_g / a_day)
    else:
        begins, most = last + 1, max(1, days_usual - 1)
        passed = max(1, round(lot.flush_g / a_day))
    share = min(left, a_day * most)
    days = max(1, min(most, max(due_end - begins + 1, days_usual - passed)))
    if here.expected is not None:
        days = max(1, min(days, here.expected - begins))
    if not is_part:
        return begins, _by_day(share, a_day, days)
    now = share if days == 1 else min(share, a_day * (passed + 1) - lot.flush_g)
    return begins, [now, *(_by_day(share - now, a_day, days - 1) if share > now else [])]


def _still_hangs(pick: Picking, here: _Bearing, book: FarmBook, today: date) -> bool:
    """Say whether what ripens on a day, also of the past, is not spoilt and not given up by now.

    What hangs since days off may be spoilt as well: that is told by the day somebody comes.
    """
    given_up = here.lot.given_up_on
    if given_up is not None and today + timedelta(days=pick.day) <= given_up:
        return False
    return pick.day >= -STANDS_DAYS or _next_worked(book, today, pick.day) >= 0


def _by_day(grams: float, a_day: float, days: int) -> list[float]:
    """Return what is picked day by day of the rest of a flush, as much a day as it usually bears.

    More only where the days would not suffice. So picking a day's share leaves those of the next
    days as they are.
    """
    each = max(a_day, grams / days)
    whole = int(grams // each)
    rest = grams - whole * each
    return [each] * whole + ([rest] if rest > LEAST_SHARE * each else [])


def _next_worked(book: FarmBook, today: date, day: int) -> int:
    """Return the first day from a day on, also of the past, that somebody works, today at most."""
    return next((each for each in range(day, 0) if _is_worked(book, today, each)), max(0, day))


def _unseen_since(book: FarmBook, today: date) -> int:
    """Return the first day of those before today on which nobody worked, in days from today.

    0 where they are so few that what ripened on them is still picked when somebody comes.
    """
    begins = next(
        (-n for n in range(LONGEST_PAUSE_DAYS) if _is_worked(book, today, -n - 1)),
        -LONGEST_PAUSE_DAYS,
    )
    comes = next((n for n in range(LONGEST_PAUSE_DAYS) if _is_worked(book, today, n)), 0)
    return begins if begins and is_spoilt(comes - begins) else 0


def _is_worked(book: FarmBook, today: date, day: int) -> bool:
    then = today + timedelta(days=day)
    hours = [hours_on(book, worker, then) for worker in book.workers]
    return is_working_day(book, then) and (not hours or sum(hours) > 0)
