"""Jobs in the grow rooms: the morning round, picking, clearing out what is spent."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from pinset.chain.bearing import bears, flush_of
from pinset.chain.living import LivingLot
from pinset.chain.register import RoomKind, StepKind
from pinset.chain.season_days import lasting_days
from pinset.chain.stages import Stage, noun_of
from pinset.planning.plan import ExpectedPick
from pinset.planning.unpicked import STANDS_DAYS
from pinset.services.book_reader import Reader
from pinset.services.jobs.of_lots import age_of, lot_job, lots_in_words, shelf_amounts, whole
from pinset.services.jobs.records import JobKind, LotAmount, PlannedJob
from pinset.services.promises.allotment import Allotment
from pinset.services.promises.due_deliveries import DueDelivery
from pinset.services.promises.picks_for_promises import goes_to
from pinset.services.words import GRAMS, joined, plural

LEAST_GRAMS = 100
"""Less than this of a variety is not worth a walk; it stays in sight on the next day."""

CLEAR_MINUTES_PER_UNIT = 0.5
"""Minutes to carry one spent unit out; common practice, no source."""


def round_key(day: date) -> str:
    """Return the key of the round of a day."""
    return f"round:{day}"


def morning_round(living: Sequence[LivingLot], reader: Reader) -> tuple[PlannedJob, ...]:
    """Return the walk through the grow rooms in use."""
    used = {lot.room for lot in living}
    rooms = [r for r in reader.book.rooms if r.kind is RoomKind.GROWING and r.code in used]
    if not rooms:
        return ()
    return (
        PlannedJob(
            key=round_key(reader.today),
            kind=JobKind.ROUND,
            task="round",
            day=reader.today,
            count=len(rooms),
            unit="rooms",
            what=f"{plural(len(rooms), 'room').split(' ', 1)[1]}, morning round: "
            "temperature, humidity, CO₂, traps",
            room_kind=RoomKind.GROWING.value,
            detail=joined([room.name for room in rooms]),
            minutes=reader.book.farm.morning_round_minutes * len(rooms),
            why="What is wrong in a grow room is cheapest found in the morning.",
            cautions=("co2", "spores"),
        ),
    )


def _share_here(pick: ExpectedPick, standing: Mapping[str, Sequence[LivingLot]]) -> float:
    """Return which share of the units a pick is expected of stand in their flush."""
    expected: dict[str, float] = defaultdict(float)
    for share in pick.lots:
        expected[share.lot] += share.units
    here = sum(
        min(units, sum(part.alive for part in standing.get(code, ())))
        for code, units in expected.items()
    )
    whole = sum(expected.values())
    return here / whole if whole else 0.0


def _standing(living: Sequence[LivingLot], reader: Reader) -> dict[str, list[LivingLot]]:
    """Return what stands in a grow room, long enough for its first flush, by lot."""
    growing = {room.code for room in reader.book.rooms if room.kind is RoomKind.GROWING}
    standing: dict[str, list[LivingLot]] = defaultdict(list)
    for lot in living:
        if lot.room in growing and bears(lot, reader.today):
            standing[lot.code].append(lot)
    return standing


def expected_today(
    picks: Sequence[ExpectedPick], living: Sequence[LivingLot], reader: Reader
) -> dict[str, float]:
    """Return the grams of each variety that are to be picked today, of units that stand there."""
    standing = _standing(living, reader)
    grams: dict[str, float] = defaultdict(float)
    for pick in picks:
        if pick.day == reader.today:
            grams[pick.variety] += pick.grams * _share_here(pick, standing)
    return {variety: total for variety, total in grams.items() if total >= LEAST_GRAMS}


def picking(
    picks: Sequence[ExpectedPick],
    living: Sequence[LivingLot],
    reader: Reader,
    due: Sequence[DueDelivery] = (),
    allotted: Allotment | None = None,
) -> tuple[PlannedJob, ...]:
    """Return what the plan expects to be picked today, one job a variety, and whom it is for.

    Only of units that stand in a grow room, long enough for their first flush.
    """
    standing = _standing(living, reader)
    lots: dict[str, dict[str, list[LivingLot]]] = defaultdict(dict)
    borne: dict[str, dict[str, float]] = defaultdict(lambda: defaultdict(float))
    flushes: dict[str, set[int]] = defaultdict(set)
    hung: dict[str, list[ExpectedPick]] = defaultdict(list)
    for pick in picks:
        if pick.day != reader.today or _share_here(pick, standing) <= 0:
            continue
        flushes[pick.variety].add(pick.flush)
        if pick.ripe_on is not None and pick.hung >= LEAST_GRAMS:
            hung[pick.variety].append(pick)
        for each in pick.lots:
            if each.lot in standing:
                lots[pick.variety][each.lot] = standing[each.lot]
                whole = sum(share.units for share in pick.lots)
                borne[pick.variety][each.lot] += pick.grams * each.units / whole
    jobs = []
    for variety, total in expected_today(picks, living, reader).items():
        kilos = round(total / GRAMS)
        chosen = [part for parts in lots[variety].values() for part in parts]
        rooms = {room.code: room.name for room in reader.book.rooms}
        where = joined(sorted({rooms.get(lot.room, lot.room) for lot in chosen}))
        step = chosen[0].now_step()
        goes = goes_to(variety, due, allotted or Allotment(), reader)
        buyers = f"; for {goes.said}" if goes.said else ""
        late = _left_hanging(hung[variety], reader)
        jobs.append(
            PlannedJob(
                key=f"pick:{variety}:{reader.today}",
                kind=JobKind.PICK,
                task="pick",
                day=reader.today,
                count=max(1, kilos),
                unit="kg",
                what=f"kg or so to pick in {where}, {lots_in_words(chosen)}",
                room_kind=RoomKind.GROWING.value,
                detail=f"{reader.name(variety)}, flush "
                f"{joined([str(flush) for flush in sorted(flushes[variety])])}{buyers}",
                stage=step.stage.value,
                step=step.code,
                variety=variety,
                variety_name=reader.name(variety),
                place=where,
                lots=tuple(
                    LotAmount(code, sum(part.alive for part in parts), parts[0].step)
                    for code, parts in lots[variety].items()
                ),
                minutes=max(5, round(step.pick_minutes_per_kg * total / GRAMS)),
                due=goes.due,
                grams=round(total),
                borne=tuple(
                    LotAmount(code, round(grams)) for code, grams in borne[variety].items()
                ),
                why="These lots stand in their flush; past their best they shed spores "
                "and keep badly.",
                serves=goes.serves,
                first_day=late.first_day,
                slack_days=late.slack_days,
                stake=late.stake,
                cautions=("spores", "wrong-species"),
            )
        )
    return tuple(jobs)


@dataclass(frozen=True, slots=True)
class _Hanging:
    """What ripened on a day before and hangs still, the oldest of it."""

    first_day: date | None = None  # on which somebody could first have picked it; None: today
    slack_days: int = 0  # it stands for so many days more
    stake: str = ""


def _left_hanging(hung: Sequence[ExpectedPick], reader: Reader) -> _Hanging:
    """Return what has hung longest, and since when though somebody worked.

    Days off are no delay; it is spoilt after them all the same.
    """
    ripe = min((each.ripe_on for each in hung if each.ripe_on is not None), default=reader.today)
    days = (ripe + timedelta(days=ahead) for ahead in range((reader.today - ripe).days))
    first = next((day for day in days if reader.works_on(day)), None)
    if ripe == reader.today:
        return _Hanging()
    grams = sum(each.hung for each in hung if each.ripe_on == ripe)
    stands = (ripe - reader.today).days + STANDS_DAYS
    return _Hanging(first, max(0, stands), reader.about(grams))


def _life_in_room(lot: LivingLot) -> float:
    step = lot.now_step()
    usual = step.days.high + sum(f.gap_days.high + f.pick_days for f in step.flushes)
    return lasting_days(step.days_by_month, lot.step_since, usual)


def clearing(
    living: Sequence[LivingLot], reader: Reader, still_bearing: set[str]
) -> tuple[PlannedJob, ...]:
    """Return lots whose last flush is over and that are still in the room.

    ``still_bearing`` are those of which something is to be picked, or which somebody is asked about
    first because nothing of their first flush is written down.
    """
    over: dict[str, list[LivingLot]] = {}
    for lot in living:
        if (
            lot.stage is not Stage.PREPARED
            and lot.code not in still_bearing
            and _is_over(lot, reader)
        ):
            over.setdefault(lot.code, []).append(lot)
    return tuple(_cleared(parts, reader) for parts in over.values())


def _is_over(lot: LivingLot, reader: Reader) -> bool:
    step = lot.now_step()
    if step.kind is not StepKind.FRUIT:
        return False
    rested = lot.last_picked_on is None or (reader.today - lot.last_picked_on).days >= 1
    is_picked = flush_of(lot) >= len(step.flushes) and rested
    return is_picked or age_of(lot, reader.today) > _life_in_room(lot)


def _cleared(parts: Sequence[LivingLot], reader: Reader) -> PlannedJob:
    """Return the job of clearing what is over of a lot, all its parts together."""
    lot = whole(parts)
    picked = plural(max(flush_of(part) for part in parts), "flush", "flushes")
    return lot_job(
        lot,
        reader,
        JobKind.CLEAR,
        lots=shelf_amounts(parts),
        what=f"spent {noun_of(lot.now_step().stage, lot.alive)} {lot.code} out of the room",
        room_kind=RoomKind.GROWING.value,
        detail=f"{reader.name(lot.variety)}, {reader.said(lot.picked_g)} picked in {picked}",
        minutes=max(5, round(CLEAR_MINUTES_PER_UNIT * lot.alive)),
        why="Its last flush is over; it takes places and breeds flies and mould.",
        cautions=("spores", "lifting"),
    )
