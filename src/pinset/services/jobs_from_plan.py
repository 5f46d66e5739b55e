"""Jobs that follow from the plan: transfers, orders, moves, cooks and what prepares for them."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date, datetime, timedelta
from math import ceil

from pinset.chain.register import FarmBook, RoomKind, StepKind, Steriliser
from pinset.chain.stages import Stage, noun_of, units_in_words
from pinset.planning.plan import LotShare, Move, ParentUse, Plan, PlannedCook, Start
from pinset.services.book_reader import Reader
from pinset.services.job_records import JobKind, LotAmount, PlannedJob
from pinset.services.jobs_preparing import clock_moment, preparation_jobs, why_cook
from pinset.services.words import amount, joined, minutes_in_words, near_day, short_day

NEARLY = 1e-6
CAUTIONS = {
    JobKind.TRANSFER: ("alcohol-flame",),
    JobKind.COOK: ("pressure", "steam"),
    JobKind.OPEN: ("pressure", "steam", "hot-agar", "hot-glass"),
    JobKind.MOVE: ("spores", "lifting"),
}


def whole_shares(shares: Sequence[LotShare], total: float) -> tuple[LotAmount, ...]:
    """Return whole units per lot that add up to the total rounded up, oldest first."""
    left = ceil(total - NEARLY)
    taken = []
    for share in shares:
        units = min(left, ceil(share.units - NEARLY))
        if units > 0:
            taken.append(LotAmount(share.lot, units))
            left -= units
    return tuple(taken)


def parents_in_words(parents: Sequence[ParentUse], reader: Reader, variety: str) -> str:
    """Return ``from 3 plates, 2CWF9``; lots still to be made have no code yet."""
    said = []
    for parent in parents:
        count = ceil(parent.units - NEARLY)
        if count <= 0:
            continue
        step = reader.step(variety, parent.step)
        is_bought = step.kind is StepKind.BUY
        codes = joined([share.lot for share in parent.lots])
        units = units_in_words(step.stage, count, is_bought=is_bought)
        said.append(f"{units} {codes}".strip())
    return f"from {joined(said)}" if said else ""


def stake_in_words(at_stake: float, measure: str) -> str:
    """Return what hangs on a job, or nothing where nothing does."""
    return amount(at_stake, measure) if at_stake > 0 else ""


def transfer_job(start: Start, reader: Reader) -> PlannedJob:
    """Return the bench work (or the order) of one start."""
    step = reader.step(start.variety, start.step)
    count = round(start.count)
    lots = tuple(
        LotAmount(share.lot, share.units, parent.step)
        for parent in start.parents
        for share in whole_shares(parent.lots, parent.units)
    )
    name = reader.name(start.variety)
    noun = noun_of(step.stage, count, is_bought=step.kind is StepKind.BUY)
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
            detail=f"Arrives {near_day(start.ready_on, reader.today)}",
            stage=step.stage.value,
            step=start.step,
            variety=start.variety,
            variety_name=name,
            minutes=5,
            why=start.why,
            serves=reader.promise_words(start.serves),
            for_day=start.ready_on,
            slack_days=start.slack_days,
            stake=stake_in_words(start.at_stake, start.at_stake_measure),
        )
    is_clean = step.bench_minutes > 0 or step.bench_setup_minutes > 0
    by_hand = 0.0 if is_clean else step.hands_minutes * count
    source = parents_in_words(start.parents, reader, start.variety)
    return PlannedJob(
        key=f"transfer:{start.variety}:{start.step}:{start.day}",
        kind=JobKind.TRANSFER,
        task="transfer",
        day=start.day,
        count=count,
        unit="units",
        what=f"{noun} {source}".strip(),
        room_kind=(RoomKind.LABORATORY if is_clean else RoomKind.PREPARATION).value,
        detail=f"{name}; ready about {short_day(start.ready_on)}",
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
        stake=stake_in_words(start.at_stake, start.at_stake_measure),
    )


def move_job(move: Move, reader: Reader) -> PlannedJob:
    """Return the work of moving units into a ripening place or a grow room."""
    step = reader.step(move.variety, move.step)
    count = round(move.count)
    rooms = {room.code: room for room in reader.book.rooms}
    room = rooms.get(move.room)
    place = room.name if room else move.room
    lots = whole_shares(move.lots, move.count)
    codes = joined([each.lot for each in lots])
    name = reader.name(move.variety)
    noun = noun_of(step.stage, count, is_bought=step.kind is StepKind.BUY)
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
        stake=stake_in_words(move.at_stake, move.at_stake_measure),
    )


def fed_by(
    cook: PlannedCook, cooks: Sequence[PlannedCook], wanting: Sequence[Start], reader: Reader
) -> tuple[Start, ...]:
    """Return the starts whose vessels a cook treats: those up to the next cook of its kind."""
    later = [c.day for c in cooks if c.kind == cook.kind and c.day > cook.day]
    until = min(later) if later else cook.day + timedelta(days=7)
    wanted = [s for s in wanting if reader.step(s.variety, s.step).cook == cook.kind]
    after = tuple(start for start in wanted if cook.day < start.day <= until)
    return after or tuple(start for start in wanted if start.day == cook.day)


def cook_jobs(cook: PlannedCook, fed: Sequence[Start], reader: Reader) -> tuple[PlannedJob, ...]:
    """Return the loading and the opening of one cook, both at hours that do not move."""
    steriliser = next((s for s in reader.book.sterilisers if s.code == cook.steriliser), None)
    kind = next((k for k in steriliser.cooks if k.code == cook.kind), None) if steriliser else None
    if steriliser is None or kind is None:
        return ()
    times = max(1, round(cook.cooks))
    count = sum(round(start.count) for start in fed)
    batches = [
        f"{units_in_words(start.stage, round(start.count))} ({reader.name(start.variety)})"
        for start in fed
    ]
    feeds: dict[str, int] = defaultdict(int)
    for start in fed:
        feeds[start.step] += round(start.count)
    what = f"{cook.kind} vessels into {steriliser.name}"
    hold = minutes_in_words(kind.hold_minutes)
    shared = {
        "count": count,
        "unit": "units",
        "day": cook.day,
        "stage": Stage.PREPARED.value,
        "step": fed[0].step if fed else "",
        "room_kind": RoomKind.STERILISER.value,
        "place": steriliser.name,
        "steriliser": steriliser.code,
        "cook_kind": cook.kind,
        "serves": (),
        "for_day": fed[0].day if fed else None,
        "feeds": tuple(LotAmount("", units, step) for step, units in feeds.items()),
    }
    first = clock_moment(steriliser.load_at)
    jobs = []
    for number in range(times):
        load = first + timedelta(hours=kind.hours * number)
        opening = load + timedelta(hours=kind.hours)
        suffix = f":{number + 1}" if times > 1 else ""
        part = f", cook {number + 1} of {times}" if times > 1 else ""
        jobs.append(
            PlannedJob(
                key=f"cook:{steriliser.code}:{cook.kind}:{cook.day}{suffix}",
                kind=JobKind.COOK,
                task="load",
                what=what + part,
                detail=f"Hold {hold}: the farm's own figure, not judged. {joined(batches)}",
                minutes=round(kind.hands_minutes * 2 / 3),
                fixed_at=_clock_words(load),
                due=_clock_words(load),
                why=why_cook(fed, reader),
                cautions=_cook_cautions(steriliser),
                **shared,  # type: ignore[arg-type]
            )
        )
        jobs.append(
            PlannedJob(
                key=f"open:{steriliser.code}:{cook.kind}:{cook.day}{suffix}",
                kind=JobKind.OPEN,
                task="open",
                what=f"{steriliser.name}: open and unload{part}",
                detail="Liquids only below 80 °C" if cook.kind in {"agar", "liquid"} else "",
                minutes=max(5, round(kind.hands_minutes / 3)),
                fixed_at=_clock_words(opening),
                due=f"after {_clock_words(opening)}",
                why="The cook must have ended and cooled before the door is opened.",
                cautions=CAUTIONS[JobKind.OPEN],
                **shared,  # type: ignore[arg-type]
            )
        )
    return tuple(jobs)


def _cook_cautions(steriliser: Steriliser) -> tuple[str, ...]:
    if steriliser.rating_bar_gauge > 0:
        return CAUTIONS[JobKind.COOK]
    return ("steam", "carbon-monoxide")


def _clock_words(moment: datetime) -> str:
    """Return the clock time, saying so where it falls on the next day."""
    text = f"{moment.hour:02}:{moment.minute:02}"
    return text if moment.day == 1 else f"{text} next day"


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


def still_to_prepare(
    starts: Sequence[Start], prepared: Mapping[str, int], reader: Reader
) -> tuple[Start, ...]:
    """Return the starts, soonest first, with as many units as have no prepared vessel yet."""
    left = dict(prepared)
    wanting = []
    for start in sorted(starts, key=lambda each: each.day):
        if start.is_purchase or reader.step(start.variety, start.step).kind is StepKind.BUY:
            continue
        if start.assumes_prepared:
            continue  # its vessels stand ready, as far as the plan knows
        ready = min(left.get(start.step, 0), round(start.count))
        left[start.step] = left.get(start.step, 0) - ready
        if round(start.count) > ready:
            wanting.append(replace(start, count=round(start.count) - ready))
    return tuple(wanting)


def jobs_from_plan(
    plan: Plan, book: FarmBook, today: date, last: date, prepared: Mapping[str, int]
) -> tuple[PlannedJob, ...]:
    """Return the jobs the plan gives for the days from ``today`` to ``last``.

    Parameters
    ----------
    plan, book : Plan, FarmBook
        The plan and the farm it is for.
    today, last : date
        First and last day of interest.
    prepared : mapping of str to int
        Prepared vessels that stand ready, by the step they are for; they need no preparation.

    Preparation that falls before ``today`` for work that is still ahead is put on today: better
    late and seen than left out.
    """
    reader = Reader(book, today)
    jobs: list[PlannedJob] = []
    near = [start for start in plan.starts if not start.provisional and round(start.count) > 0]
    jobs += [transfer_job(start, reader) for start in near if today <= start.day <= last]
    jobs += [
        move_job(move, reader)
        for move in one_move_a_day(plan.moves)
        if not move.provisional and today <= move.day <= last and round(move.count) > 0
    ]
    wanting = still_to_prepare(near, prepared, reader)
    cooked: set[int] = set()
    loads = {steriliser.code: steriliser.load_at for steriliser in book.sterilisers}
    for cook in plan.cooks:
        if cook.provisional or round(cook.cooks) < 1:
            continue
        fed = tuple(s for s in fed_by(cook, plan.cooks, wanting, reader))
        cooked |= {id(start) for start in fed}
        if not fed:
            continue  # what it was planned for has its vessels already
        if today <= cook.day <= last:
            jobs += cook_jobs(cook, fed, reader)
        jobs += preparation_jobs(fed, cook.day, loads.get(cook.steriliser, "10:30"), reader)
    rest = [s for s in wanting if id(s) not in cooked and s.day >= today]
    jobs += preparation_jobs(rest, None, "", reader)
    return tuple(job for job in jobs if today <= job.day <= last)
