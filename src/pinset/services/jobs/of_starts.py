"""Starts and moves of the plan as jobs: transfers, orders, units into rooms."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import date
from math import ceil

from pinset.chain.register import RoomKind, StepKind
from pinset.chain.stages import units_in_words
from pinset.chain.step_nouns import step_noun, step_units
from pinset.planning.plan import LotShare, Move, ParentUse, Start
from pinset.planning.reading.shortage_words import is_said
from pinset.services.book_reader import Reader
from pinset.services.jobs.records import JobKind, LotAmount, PlannedJob
from pinset.services.plans.order_codes import is_order
from pinset.services.store.too_cold import with_warning
from pinset.services.words import joined, near_day, short_day

NEARLY = 1e-6
CAUTIONS = {JobKind.TRANSFER: ("alcohol-flame",), JobKind.MOVE: ("spores", "lifting")}


def whole_shares(shares: Sequence[LotShare], total: float) -> tuple[LotAmount, ...]:
    """Return whole units per lot and shelf that add up to the total rounded up, oldest first."""
    left = ceil(total - NEARLY)
    wanted: dict[tuple[str, str], float] = {}
    for share in shares:
        key = (share.lot, share.place)
        wanted[key] = wanted.get(key, 0.0) + share.units
    taken = []
    for (lot, place), share_units in wanted.items():
        units = min(left, ceil(share_units - NEARLY))
        if units > 0:
            taken.append(LotAmount(lot, units, place=place))
            left -= units
    return tuple(taken)


def _codes(lots: Iterable[LotShare | LotAmount]) -> list[str]:
    """Return the codes of lots, each once; what is on order has none yet."""
    return list(dict.fromkeys(each.lot for each in lots if not is_order(each.lot)))


def start_in_words(start: Start) -> str:
    """Return the units of a start as its job names them: ``9 spawn bags``."""
    return units_in_words(start.stage, round(start.count), is_bought=start.is_purchase)


def parents_in_words(parents: Sequence[ParentUse], reader: Reader, variety: str) -> str:
    """Return ``from 3 plates, 2CWF9``; lots to be made or on order have no code yet."""
    said = []
    for parent in parents:
        count = ceil(parent.units - NEARLY)
        if count <= 0:
            continue
        step = reader.step(variety, parent.step)
        codes = joined(_codes(parent.lots))
        said.append(f"{step_units(step, count)} {codes}".strip())
    return f"from {joined(said)}" if said else ""


def stake_in_words(at_stake: float, measure: str, reader: Reader) -> str:
    """Return what hangs on a job, or nothing where nothing does."""
    return reader.about(at_stake, measure) if is_said(at_stake, measure) else ""


def transfer_job(start: Start, reader: Reader, culture: str = "") -> PlannedJob:
    """Return the bench work (or the order) of one start, or of its part of one culture."""
    step = reader.step(start.variety, start.step)
    count = round(start.count)
    lots = tuple(
        replace(share, step=parent.step)
        for parent in start.parents
        for share in whole_shares(parent.lots, parent.units)
    )
    name = reader.name(start.variety)
    noun = step_noun(step, count)
    if start.is_purchase or step.kind is StepKind.BUY:
        return PlannedJob(
            key=f"order:{start.variety}:{start.step}:{start.day}",
            kind=JobKind.ORDER,
            task="order",
            day=start.day,
            count=count,
            unit="units",
            what=f"{noun} of {name} to order from {step.supplier or 'the supplier'}",
            room_kind=RoomKind.PACKING.value,
            detail=with_warning(f"Arrives {near_day(start.ready_on, reader.today)}", step, reader),
            stage=step.stage.value,
            step=start.step,
            variety=start.variety,
            variety_name=name,
            minutes=5,
            why=start.why,
            serves=reader.promise_words(start.serves),
            for_day=start.ready_on,
            slack_days=start.slack_days,
            stake=stake_in_words(start.at_stake, start.at_stake_measure, reader),
        )
    is_clean = step.bench_minutes > 0 or step.bench_setup_minutes > 0
    by_hand = 0.0 if is_clean else step.hands_minutes * count
    source = parents_in_words(start.parents, reader, start.variety)
    return PlannedJob(
        key=f"transfer:{start.variety}:{start.step}:{start.day}{culture and f':{culture}'}",
        kind=JobKind.TRANSFER,
        task="transfer",
        day=start.day,
        count=count,
        unit="units",
        what=f"{noun} {source}".strip(),
        room_kind=(RoomKind.LABORATORY if is_clean else RoomKind.PREPARATION).value,
        detail=f"{name}{culture and f', {culture}'}; ready about {short_day(start.ready_on)}",
        stage=step.stage.value,
        step=start.step,
        variety=start.variety,
        variety_name=name,
        lots=lots,
        minutes=max(1, round(step.bench_setup_minutes + step.bench_minutes * count + by_hand)),
        why=start.why,
        serves=reader.promise_words(start.serves),
        spoils=start.spoils,
        cautions=CAUTIONS[JobKind.TRANSFER] if is_clean else ("lifting", "dust"),
        slack_days=start.slack_days,
        stake=stake_in_words(start.at_stake, start.at_stake_measure, reader),
    )


def move_job(move: Move, reader: Reader) -> PlannedJob:
    """Return the work of moving units into a ripening place or a grow room."""
    step = reader.step(move.variety, move.step)
    count = round(move.count)
    rooms = {room.code: room for room in reader.book.rooms}
    room = rooms.get(move.room)
    place = room.name if room else move.room
    lots = whole_shares(move.lots, move.count)
    codes = joined(_codes(lots))
    name = reader.name(move.variety)
    noun = step_noun(step, count)
    return PlannedJob(
        key=f"move:{move.variety}:{move.step}:{move.day}:{move.room}",
        kind=JobKind.MOVE,
        task="move",
        day=move.day,
        count=count,
        unit="units",
        what=f"{noun}{' ' + codes if codes else ''} into {place}",
        room_kind=(room.kind if room else step.room).value,
        detail=f"{name}, {step.code}",
        stage=step.stage.value,
        step=move.step,
        variety=move.variety,
        variety_name=name,
        place=place,
        lots=lots,
        minutes=max(5, round(step.hands_minutes * count)),
        why=move.why,
        serves=reader.promise_words(move.serves),
        cautions=CAUTIONS[JobKind.MOVE] if step.kind is StepKind.FRUIT else ("lifting",),
        to_step=move.step,
        to_room=move.room,
        slack_days=move.slack_days,
        stake=stake_in_words(move.at_stake, move.at_stake_measure, reader),
    )


def one_move_a_day(moves: Sequence[Move]) -> tuple[Move, ...]:
    """Return moves of one variety into one room on one day as one move."""
    found: dict[tuple[date, str, str, str], Move] = {}
    for move in moves:
        key = (move.day, move.variety, move.step, move.room)
        before = found.get(key)
        if before is None:
            found[key] = move
            continue
        found[key] = replace(
            before,
            count=before.count + move.count,
            lots=(*before.lots, *move.lots),
            serves=tuple(dict.fromkeys((*before.serves, *move.serves))),
            slack_days=min(before.slack_days, move.slack_days),
            at_stake=before.at_stake + move.at_stake,
        )
    return tuple(found.values())
