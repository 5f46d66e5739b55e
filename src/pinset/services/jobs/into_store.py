"""Carrying what is ready into the cold store, where the plan counts on it to keep."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from math import ceil

from pinset.chain.living import LivingLot
from pinset.chain.readiness import keeps_until
from pinset.chain.step_nouns import step_noun
from pinset.planning.building.cold_places import (
    Gain,
    gain_of,
    gain_of_blocks,
    placed,
    places_free,
)
from pinset.planning.plan import KeptCold
from pinset.services.book_reader import Reader
from pinset.services.jobs.of_lots import lots_in_words, shelf_amounts
from pinset.services.jobs.records import INTO_STORE, JobKind, PlannedJob
from pinset.services.words import joined, plural, short_day

SOON_DAYS = 2
"""What is used within so many days is not carried there and back; common practice, no source."""

CARRY_MINUTES_PER_UNIT = 0.2
"""Minutes to carry one unit and set it down; common practice, no source."""

LEAST_MINUTES = 3
NEARLY = 1e-6


def into_store(
    living: Sequence[LivingLot],
    reader: Reader,
    used_soon: Mapping[str, int],
    declined: Collection[str] = (),
    kept_cold: Sequence[KeptCold] = (),
) -> tuple[PlannedJob, ...]:
    """Return one job a cold store for what is ready, keeps longer there and finds a place.

    Parameters
    ----------
    living : sequence of LivingLot
        Everything alive now.
    reader : Reader
        The farm's book; on a day off nobody carries.
    used_soon : mapping of lot code to units
        What the plan uses within ``SOON_DAYS``: it stays where it is.
    declined : collection of str
        Lots that are not to be carried at all.
    kept_cold : sequence of KeptCold
        Blocks that the plan keeps cold until it has a use for them.
    """
    if not reader.works_on(reader.today):
        return ()
    by_room: dict[str, list[Gain]] = defaultdict(list)
    for gain in gains_without(living, reader, used_soon):
        if gain.lot.code not in declined:
            by_room[gain.room.code].append(gain)
    for gain in blocks_kept_cold(living, reader, kept_cold):
        if gain.lot.code not in declined:
            by_room[gain.room.code].append(gain)
    jobs = (_fitting(gains, living, reader) for gains in by_room.values())
    return tuple(job for job in jobs if job is not None)


def blocks_kept_cold(
    living: Iterable[LivingLot], reader: Reader, kept_cold: Iterable[KeptCold]
) -> Iterator[Gain]:
    """Yield the ready blocks that the plan keeps cold, as many at each shelf as it says.

    A plan that names no shelf means the lot wherever it stands.
    """
    left: dict[tuple[str, str], int] = defaultdict(int)
    for each in kept_cold:
        left[each.lot, each.place] += ceil(each.units - NEARLY)
    for lot in living:
        here = (lot.code, lot.place if (lot.code, lot.place) in left else "")
        gain = gain_of_blocks(lot, reader.book, reader.today) if left.get(here) else None
        if gain is not None:
            units = min(lot.alive, left[here])
            left[here] -= units
            yield replace(gain, lot=replace(lot, alive=units))


def gains_without(
    living: Iterable[LivingLot], reader: Reader, used: Mapping[str, int]
) -> list[Gain]:
    """Return what would keep longer in a cold store, less the units of each lot that are used."""
    stays, found = dict(used), []
    for lot in living:
        gain = gain_of(lot, reader.book, reader.today)
        if gain is None and not _is_opened_and_keeps(lot, reader):
            continue
        left_out = min(lot.alive, stays.get(lot.code, 0))
        stays[lot.code] = stays.get(lot.code, 0) - left_out
        if gain is not None and lot.alive > left_out:
            found.append(replace(gain, lot=replace(lot, alive=lot.alive - left_out)))
    return found


def _is_opened_and_keeps(lot: LivingLot, reader: Reader) -> bool:
    """Say whether units are opened and still usable: they are used before the sealed ones."""
    until = keeps_until(lot) if lot.opened_on is not None else None
    return until is not None and reader.today <= until


def _fitting(
    gains: Sequence[Gain], living: Sequence[LivingLot], reader: Reader
) -> PlannedJob | None:
    """Return the job of carrying what finds a place; None where nothing does."""
    units = placed(gains, living)
    inside = [_part(gain, n) for gain, n in zip(gains, units, strict=True) if n]
    left = [
        _part(gain, gain.lot.alive - n)
        for gain, n in zip(gains, units, strict=True)
        if gain.lot.alive > n
    ]
    free = places_free(living, gains[0].room)
    return _carrying(inside, left, free, reader) if inside else None


def _part(gain: Gain, units: int) -> Gain:
    return replace(gain, lot=replace(gain.lot, alive=units))


def _carrying(
    gains: Sequence[Gain], left: Sequence[Gain], free: float, reader: Reader
) -> PlannedJob:
    room, lots = gains[0].room, [gain.lot for gain in gains]
    count = sum(lot.alive for lot in lots)
    nouns = list(dict.fromkeys(step_noun(lot.now_step(), count) for lot in lots))
    varieties = list(dict.fromkeys(lot.variety for lot in lots))
    stages = {lot.stage.value for lot in lots}
    steps = {lot.step for lot in lots}
    noun = nouns[0] if len(nouns) == 1 else "units"
    first = min(gains, key=lambda gain: gain.here)
    until, there = short_day(first.here), short_day(first.there)
    names = joined([reader.name(variety) for variety in varieties])
    return PlannedJob(
        key=f"move:{INTO_STORE}:{room.code}:{reader.today}",
        kind=JobKind.MOVE,
        task=INTO_STORE,
        day=reader.today,
        count=count,
        unit="units",
        what=f"{noun} into {room.name}, {lots_in_words(lots)}",
        room_kind=room.kind.value,
        detail="; ".join(
            part
            for part in (
                names if len(nouns) == 1 else f"{names}: {joined(nouns)}",
                _no_place(left),
            )
            if part
        ),
        stage=stages.pop() if len(stages) == 1 else "",
        step=steps.pop() if len(steps) == 1 else "",
        variety=varieties[0] if len(varieties) == 1 else "",
        variety_name=names if len(varieties) == 1 else "",
        place=room.name,
        lots=shelf_amounts(lots),
        minutes=max(LEAST_MINUTES, round(CARRY_MINUTES_PER_UNIT * count)),
        why=f"They are ready and not used within {plural(SOON_DAYS, 'day')}. Lot {first.lot.code} "
        f"keeps until {until} where it stands and until {there} in {room.name}; the plan counts on "
        "the second.",
        spoils=f"Lot {first.lot.code} is past its time after {until} if it stays.",
        cautions=("lifting",),
        to_room=room.code,
        free_places=free,
    )


def _no_place(left: Sequence[Gain]) -> str:
    """Return in words what finds no place; nothing if all of it does."""
    if not left:
        return ""
    units = sum(gain.lot.alive for gain in left)
    until = short_day(min(gain.here for gain in left))
    if units == 1:
        return f"1 more finds no place: it keeps until {until} where it stands"
    who = "the first of them keep" if len({gain.here for gain in left}) > 1 else "they keep"
    return f"{units} more find no place: {who} until {until} where they stand"
