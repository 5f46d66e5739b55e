"""Carrying ready spawn and cultures into the cold store, where the plan counts on them to keep."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date

from pinset.chain.cold_stores import cold_store_of
from pinset.chain.living import LivingLot, Stood
from pinset.chain.readiness import LotState, keeps_until, state
from pinset.chain.register import Room
from pinset.chain.stages import Stage
from pinset.chain.step_nouns import step_noun
from pinset.planning.step_numbers import groups
from pinset.services.book_reader import Reader
from pinset.services.job_records import INTO_STORE, JobKind, LotAmount, PlannedJob
from pinset.services.jobs_of_lots import lots_in_words
from pinset.services.words import first_upper, joined, plural, short_day

SOON_DAYS = 2
"""What is used within so many days is not carried there and back; common practice, no source."""

CARRY_MINUTES_PER_UNIT = 0.2
"""Minutes to carry one unit and set it down; common practice, no source."""

LEAST_MINUTES = 3


@dataclass(frozen=True, slots=True)
class _Gain:
    """Ready units that keep longer in a cold store than where they stand."""

    lot: LivingLot
    room: Room
    here: date  # last usable day where they stand
    there: date  # and in that room


def into_store(
    living: Sequence[LivingLot], reader: Reader, used_soon: Mapping[str, int]
) -> tuple[PlannedJob, ...]:
    """Return one job a cold store for what is ready and keeps longer there.

    Parameters
    ----------
    living : sequence of LivingLot
        Everything alive now.
    reader : Reader
        The farm's book; on a day off nobody carries.
    used_soon : mapping of lot code to units
        What the plan uses within ``SOON_DAYS``: it stays where it is.
    """
    if not reader.works_on(reader.today):
        return ()
    stays = dict(used_soon)
    by_room: dict[str, list[_Gain]] = defaultdict(list)
    for lot in living:
        gain = _gain(lot, reader)
        if gain is None:
            continue
        left_out = min(lot.alive, stays.get(lot.code, 0))
        stays[lot.code] = stays.get(lot.code, 0) - left_out
        if lot.alive > left_out:
            part = replace(lot, alive=lot.alive - left_out)
            by_room[gain.room.code].append(replace(gain, lot=part))
    return tuple(_carrying(gains, living, reader) for gains in by_room.values())


def _gain(lot: LivingLot, reader: Reader) -> _Gain | None:
    """Return what a lot gains by going into the cold store; None if nothing, or if it may not."""
    if lot.stage is Stage.PREPARED or lot.order or lot.held or not _is_last(lot):
        return None
    step = lot.now_step()
    room = cold_store_of(reader.book, step)
    if (
        room is None
        or lot.room == room.code
        or state(lot, reader.today).state is not LotState.READY
    ):
        return None
    way = (*lot.stood, Stood(reader.today, lot.temperature_c))
    here = keeps_until(lot)
    there = keeps_until(replace(lot, stood=way, temperature_c=room.temperature_c))
    if here is None or there is None or there <= here:
        return None
    return _Gain(lot, room, here, there)


def _is_last(lot: LivingLot) -> bool:
    """Say whether nothing ripens on after the present step before the units are used."""
    for first, stands in groups(lot.route):
        steps = (first, *stands)
        if any(step.code == lot.step for step in steps):
            return steps[-1].code == lot.step
    return False


def _carrying(gains: Sequence[_Gain], living: Iterable[LivingLot], reader: Reader) -> PlannedJob:
    room, lots = gains[0].room, [gain.lot for gain in gains]
    count = sum(lot.alive for lot in lots)
    units: dict[tuple[str, str], int] = defaultdict(int)
    for lot in lots:
        units[lot.code, lot.step] += lot.alive
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
                _crowded(gains, living),
            )
            if part
        ),
        stage=stages.pop() if len(stages) == 1 else "",
        step=steps.pop() if len(steps) == 1 else "",
        variety=varieties[0] if len(varieties) == 1 else "",
        variety_name=names if len(varieties) == 1 else "",
        place=room.name,
        lots=tuple(LotAmount(lot, n, step) for (lot, step), n in units.items()),
        minutes=max(LEAST_MINUTES, round(CARRY_MINUTES_PER_UNIT * count)),
        why=f"They are ready and not used within {plural(SOON_DAYS, 'day')}. Lot {first.lot.code} "
        f"keeps until {until} where it stands and until {there} in {room.name}; the plan counts on "
        "the second.",
        spoils=f"Lot {first.lot.code} is past its time after {until} if it stays.",
        cautions=("lifting",),
        to_room=room.code,
    )


def _crowded(gains: Sequence[_Gain], living: Iterable[LivingLot]) -> str:
    """Return that the cold store has too few places left, in words; nothing if it has enough."""
    room = gains[0].room
    used = sum(lot.alive * lot.now_step().places for lot in living if lot.room == room.code)
    wanted = sum(gain.lot.alive * gain.lot.now_step().places for gain in gains)
    free = max(0.0, room.holds - used)
    if wanted <= free:
        return ""
    return first_upper(f"{room.name} has {plural(int(free), 'place')} left: make room first")
