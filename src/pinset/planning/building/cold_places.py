"""Which ready spawn and cultures find a place in the cold store, and which keep where they stand.

What keeps shortest where it stands goes first, as far as there are places; blocks get what is left.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from math import floor

from pinset.chain.cold_stores import cold_store_of, cold_stores, store_for
from pinset.chain.living import LivingLot, Stood
from pinset.chain.readiness import LotState, keeps_until, ready_on, state
from pinset.chain.register import FarmBook, Room
from pinset.chain.stages import FRUITING_STAGES, Stage
from pinset.planning.building.step_numbers import groups
from pinset.planning.reading.explain import day_in_words
from pinset.planning.resources import ColdPlaces

_TINY = 1e-9


@dataclass(frozen=True, slots=True)
class Gain:
    """Ready units that keep longer in a cold store than where they stand."""

    lot: LivingLot
    room: Room
    here: date  # last usable day where they stand
    there: date  # in that room


def gain_of(lot: LivingLot, book: FarmBook, today: date) -> Gain | None:
    """Return what a lot gains by going into the cold store; None if nothing, or if it may not."""
    if lot.stage is Stage.PREPARED or lot.order or lot.held or not _is_last(lot):
        return None
    return _gain_in(lot, cold_store_of(book, lot.now_step()), today)


def gain_of_blocks(lot: LivingLot, book: FarmBook, today: date) -> Gain | None:
    """Return what ready blocks gain by going into a cold store; None if nothing, or not ready."""
    if lot.stage not in FRUITING_STAGES or lot.order or lot.held or not _is_last(lot):
        return None
    return _gain_in(lot, store_for(book, lot.now_step()), today)


def _gain_in(lot: LivingLot, room: Room | None, today: date) -> Gain | None:
    if room is None or lot.room == room.code or state(lot, today).state is not LotState.READY:
        return None
    way = (*lot.stood, Stood(today, lot.temperature_c))
    here = keeps_until(lot)
    there = keeps_until(replace(lot, stood=way, temperature_c=room.temperature_c))
    if here is None or there is None or there <= here:
        return None
    return Gain(lot, room, here, there)


def gain_later(lot: LivingLot, book: FarmBook, today: date) -> Gain | None:
    """Return what a lot that is not ready yet, or on order, will gain there once it is ready."""
    if lot.stage is Stage.PREPARED or lot.held or not _is_last(lot):
        return None
    room, ready = cold_store_of(book, lot.now_step()), ready_on(lot).p50
    if room is None or lot.room == room.code or ready <= today:
        return None
    way = (*lot.stood, Stood(ready, lot.temperature_c))
    here = keeps_until(lot)
    there = keeps_until(replace(lot, stood=way, temperature_c=room.temperature_c))
    if here is None or there is None or there <= here:
        return None
    return Gain(lot, room, here, there)


def _is_last(lot: LivingLot) -> bool:
    """Say whether nothing ripens on after the present step before the units are used."""
    for first, stands in groups(lot.route):
        steps = (first, *stands)
        if any(step.code == lot.step for step in steps):
            return steps[-1].code == lot.step
    return False


def places_taken(living: Iterable[LivingLot], room: str) -> float:
    """Return the places that units take in a room; prepared vessels take none, as in the plan."""
    return sum(
        lot.alive * lot.now_step().places
        for lot in living
        if lot.room == room and not lot.order and lot.stage is not Stage.PREPARED
    )


def places_free(living: Iterable[LivingLot], room: Room) -> float:
    """Return the places that are left in a room, 0 where it holds more than it should."""
    return max(0.0, room.holds - places_taken(living, room.code))


def placed(gains: Sequence[Gain], living: Sequence[LivingLot]) -> list[int]:
    """Return how many units of each gain find a place, in the order given.

    Parameters
    ----------
    gains : sequence of Gain
        What would keep longer in a cold store.
    living : sequence of LivingLot
        Everything alive now: what stands there takes its places.
    """
    rooms = {gain.room.code: gain.room for gain in gains}
    free = {code: places_free(living, room) for code, room in rooms.items()}
    found = [0] * len(gains)
    turns = sorted(range(len(gains)), key=lambda n: (gains[n].here, gains[n].lot.made_on, n))
    for number in turns:
        lot, room = gains[number].lot, gains[number].room.code
        each = lot.now_step().places
        fits = floor(free[room] / each + _TINY) if each > 0 else lot.alive
        found[number] = min(lot.alive, fits)
        free[room] -= found[number] * each
    return found


def with_places(
    book: FarmBook,
    living: Sequence[LivingLot],
    today: date,
    not_carried: Collection[str] = (),
) -> tuple[list[tuple[LivingLot, bool]], tuple[str, ...]]:
    """Return living lots, each with whether it finds no place in the cold, and what is to be said.

    A lot of which a part finds none is given as two. What is not ready yet gets the places that
    are left today, in the order in which it will be ready. Lots that are ``not_carried`` there
    want no place and stay where they stand.
    """
    offered = {n: lot for n, lot in enumerate(living) if lot.code not in not_carried}
    gains = {n: gain for n, lot in offered.items() if (gain := gain_of(lot, book, today))}
    fits = dict(zip(gains, placed(list(gains.values()), living), strict=True))
    later = {n: gain for n, lot in offered.items() if (gain := gain_later(lot, book, today))}
    fits |= _placed_later(later, gains, fits, living)
    gains |= later
    parts: list[tuple[LivingLot, bool]] = []
    left: list[Gain] = []
    for n, lot in enumerate(living):
        if n not in offered:
            parts.append((lot, True))
            continue
        inside = fits.get(n, lot.alive)
        if inside > 0 or not lot.alive:
            parts.append((replace(lot, alive=inside), False))
        if lot.alive > inside:
            rest = replace(lot, alive=lot.alive - inside)
            parts.append((rest, True))
            left.append(replace(gains[n], lot=rest))
    now = [gain for n, gain in gains.items() if n not in later]
    coming = [gain for gain in left if ready_on(gain.lot).p50 > today]
    ready = [gain for gain in left if gain not in coming]
    return parts, (*_overfull(book, now, ready, living), *_none_left(coming))


def places_for_blocks(
    book: FarmBook, living: Sequence[LivingLot], today: date, not_carried: Collection[str] = ()
) -> tuple[ColdPlaces, ...]:
    """Return what each cold store has left for blocks: spawn and cultures go in before them."""
    parts, _ = with_places(book, living, today, not_carried)
    wanted: dict[str, float] = {}
    for lot, is_left_out in parts:
        gain = gain_of(lot, book, today) or gain_later(lot, book, today)
        if gain is not None and not is_left_out:
            each = lot.now_step().places
            wanted[gain.room.code] = wanted.get(gain.room.code, 0.0) + lot.alive * each
    return tuple(
        ColdPlaces(
            room.code,
            max(0.0, places_free(living, room) - wanted.get(room.code, 0.0)),
            room.name,
        )
        for room in cold_stores(book)
    )


def _placed_later(
    later: Mapping[int, Gain],
    gains: Mapping[int, Gain],
    fits: Mapping[int, int],
    living: Sequence[LivingLot],
) -> dict[int, int]:
    """Return how many units of each lot that is ready later find a place behind what is ready."""
    rooms = {gain.room.code: gain.room for gain in later.values()}
    free = {code: places_free(living, room) for code, room in rooms.items()}
    for n, gain in gains.items():
        if gain.room.code in free:
            free[gain.room.code] -= fits[n] * gain.lot.now_step().places
    found: dict[int, int] = {}
    for n, gain in sorted(later.items(), key=lambda each: (ready_on(each[1].lot).p50, each[0])):
        each, room = gain.lot.now_step().places, gain.room.code
        fitting = floor(free[room] / each + _TINY) if each > 0 else gain.lot.alive
        found[n] = min(gain.lot.alive, max(0, fitting))
        free[room] -= found[n] * each
    return found


def _none_left(coming: Sequence[Gain]) -> Iterable[str]:
    """Yield a sentence for each cold store that has no place for what is ready later."""
    for room in {gain.room.code: gain.room for gain in coming}.values():
        own = [gain for gain in coming if gain.room.code == room.code]
        units = sum(gain.lot.alive for gain in own)
        first = day_in_words(min(gain.here for gain in own))
        yield (
            f"{room.name} has no place left for {units} of the units that are ready later: in the "
            f"plan they keep only as long as without it, until {first} the first of them."
        )


def _overfull(
    book: FarmBook, gains: Sequence[Gain], left: Sequence[Gain], living: Sequence[LivingLot]
) -> Iterable[str]:
    """Yield a sentence for each cold store that has fewer places than are wanted."""
    for room in cold_stores(book):
        more = [each for each in gains if each.room.code == room.code]
        out = [each for each in left if each.room.code == room.code]
        taken = places_taken(living, room.code)
        wanted = taken + sum(each.lot.alive * each.lot.now_step().places for each in more)
        if wanted <= room.holds + _TINY:
            continue
        said = f"{room.name} has {room.holds} places, and {wanted:.4g} are "
        if not out:
            yield f"{said}taken: nothing more fits in."
            continue
        units = sum(each.lot.alive for each in out)
        keep = "1 unit keeps" if units == 1 else f"{units} units keep"
        stand = "it stands" if units == 1 else "they stand"
        first = day_in_words(min(each.here for each in out))
        yield (
            f"{said}wanted by what stands there and by what is ready and keeps longer there: "
            f"{keep} in the plan only as long as where {stand}, until {first}"
            f"{'' if units == 1 else ' the first of them'}."
        )
