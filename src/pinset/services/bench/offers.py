"""What the lots that lie on the bench can be made into, the usual thing first."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime

from pinset.chain.lineage import PartMeasure, part_taken
from pinset.chain.living import LivingLot
from pinset.chain.register import Parent, Step, StepKind
from pinset.chain.seen_contaminated import sound_of, told
from pinset.chain.stages import Stage, units_in_words
from pinset.chain.step_nouns import step_noun
from pinset.chain.vessel_keys import vessel_key
from pinset.errors import InputError, RefusedError
from pinset.farm.queries.alive import living
from pinset.farm.queries.lots import LotRow, rows_by_code
from pinset.farm.stamp import Stamp, stamp
from pinset.services import cautions
from pinset.services.bench.records import BenchHand, Making, Share
from pinset.services.book_reader import Reader
from pinset.services.building.suitable import against_use
from pinset.services.cooks.judge.short_cooks import of_lot
from pinset.services.floor.job_offers import AskedOf, asked_today, parents_wanted, transfers_from
from pinset.services.floor.next_things import MOST_IN_HAND
from pinset.services.floor.records import Held
from pinset.services.jobs.records import JobKind
from pinset.services.loads.vessels import Sound, Vessels, standing_vessels
from pinset.services.memory import remembered
from pinset.services.plans import planning_day
from pinset.services.views import LotUse
from pinset.services.words import joined, sentences

MEASURES = {PartMeasure.UNIT: "pieces", PartMeasure.GRAM: "g", PartMeasure.MILLILITRE: "mL"}
CAUTIONS = ("alcohol-flame", "hot-glass")


@dataclass(frozen=True, slots=True)
class _Hand:
    """What is in hand, read from the books."""

    held: tuple[Held, ...]  # living lots
    rows: dict[str, LotRow]
    parts: dict[str, list[LivingLot]]
    vessels: tuple[tuple[Held, Vessels, int], ...]  # with the units of each that are meant

    @property
    def alive(self) -> dict[str, int]:
        """Return the units alive of each living lot."""
        return {each.lot: self.rows[each.lot].counts.alive for each in self.held}

    @property
    def to_fill(self) -> int:
        """Return how many vessels are in hand."""
        return sum(units for _, _, units in self.vessels)


def bench_hand(held: Iterable[Held], *, now: datetime | None = None) -> BenchHand:
    """Return what lies on the bench and what it can be made into.

    Nothing is refused here: what speaks against a lot is said, and asked about once it is used.
    """
    _, today = planning_day.farm_book(now)
    return _bench_hand(stamp(), tuple(held)[:MOST_IN_HAND], today.toordinal())


@remembered
def _bench_hand(_stamp: Stamp, held: tuple[Held, ...], _today: int) -> BenchHand:
    book, today = planning_day.farm_book()
    reader = Reader(book, today)
    rows = rows_by_code({each.lot for each in held})
    gone = tuple(e.lot for e in held if e.lot in rows and not rows[e.lot].counts.alive)
    held = tuple(each for each in held if each.lot in rows and each.lot not in gone)
    standing: dict[str, Vessels] = {}
    for vessels in standing_vessels():
        standing.setdefault(vessels.lot.code, vessels)
    living_now = tuple(e for e in held if rows[e.lot].stage != Stage.PREPARED.value)
    parts: dict[str, list[LivingLot]] = {each.lot: [] for each in living_now}
    for part in living(today, lots=list(parts)):
        parts[part.code].append(part)
    hand = _Hand(
        living_now,
        rows,
        parts,
        tuple(
            (each, standing[each.lot], len(each.units) or rows[each.lot].counts.alive)
            for each in held
            if each.lot in standing
        ),
    )
    makings = _makings(hand, reader) if living_now else ()
    return BenchHand(
        parents=tuple(_use(each, hand, reader) for each in living_now),
        vessels=tuple(
            LotUse(
                each.lot,
                units,
                rows[each.lot].counts.alive,
                units_in_words(Stage.PREPARED, units).partition(" ")[2],
                vessels.lot.place,
            )
            for each, vessels, units in hand.vessels
        ),
        remarks=(
            *(f"Lot {code}: nothing of it is alive any more." for code in gone),
            *_remarks(hand, today),
        ),
        makings=tuple(replace(each, is_usual=n == 0) for n, each in enumerate(makings)),
        sentence="" if makings else _what_next(hand, reader),
        cautions=cautions.sentences(CAUTIONS if makings else ()),
    )


def _use(held: Held, hand: _Hand, reader: Reader) -> LotUse:
    row = hand.rows[held.lot]
    alive = row.counts.alive
    age = f", day {(reader.today - row.made_on).days}" if row.made_on else ""
    words = f"{_noun(row, alive, reader)}, {reader.name(row.variety)}{age}"
    return LotUse(
        held.lot, len(held.units) or alive, alive, words, row.places[0] if row.places else ""
    )


def _noun(row: LotRow, count: int, reader: Reader) -> str:
    try:
        return step_noun(reader.step(row.variety, row.step), count)
    except RefusedError:  # its route is no longer described
        return units_in_words(Stage(row.stage), count).partition(" ")[2]


def _remarks(hand: _Hand, today: date) -> tuple[str, ...]:
    """Return what speaks against what is in hand, and will be asked about."""
    found = []
    for code, parts in hand.parts.items():
        bad, sound = told(parts), sound_of(parts)
        found += [f"Lot {code}: {bad}"] if bad else []
        against = [against_use(part, today) for part in sound]
        if against and all(against):
            found += [sentence for said in against for sentence in said]
        found += [each.sentence for each in of_lot(code)]
    found += [
        f"{each.lot}: {vessels.words}."
        for each, vessels, _ in hand.vessels
        if vessels.sound is not Sound.PASSED
    ]
    return tuple(dict.fromkeys(found))


def _what_next(hand: _Hand, reader: Reader) -> str:
    if not hand.held and not hand.vessels:
        return "Scan what you take from: a tube, plates, jars, a bag. Then what it goes into."
    if not hand.held:
        return "Now scan what goes into them: a tube, plates, jars, a bag."
    kinds = sorted({hand.rows[each.lot].variety for each in hand.held})
    if len(kinds) > 1:
        names = joined([reader.name(kind) for kind in kinds])
        return f"These are {names}: put one of them down. Two varieties never go together."
    steps = sorted({hand.rows[each.lot].step for each in hand.held})
    return f"Nothing is made of {joined(steps)} on this route. Put it down and scan another."


def _makings(hand: _Hand, reader: Reader) -> tuple[Making, ...]:
    """Return the transfers all living lots in hand can go into, the usual one first."""
    rows = [hand.rows[each.lot] for each in hand.held]
    if len({row.variety for row in rows}) > 1 or rows[0].variety not in reader.varieties:
        return ()
    variety = rows[0].variety
    asked = asked_today(reader.book, reader.today, {JobKind.TRANSFER})
    jobs = [transfers_from(asked, variety, row.step, reader) for row in rows]
    fitting = [job for job in jobs[0] if all(job in other for other in jobs[1:])]
    ranked = [
        (0 if _fits(hand, _step(job, reader), reader) else 2, _of_job(job, hand, reader))
        for job in fitting
    ]
    wanted = {job.job.step for job in fitting}
    ranked += [
        (1 if _fits(hand, step, reader) else 3, _of_step(step, variety, hand, reader))
        for step in _steps(variety, rows, reader)
        if step.code not in wanted
    ]
    return tuple(making for _, making in sorted(ranked, key=lambda pair: pair[0]))


def _step(asked: AskedOf, reader: Reader) -> Step | None:
    try:
        return reader.step(asked.job.variety, asked.job.step)
    except RefusedError:  # its route is no longer described
        return None


def _steps(variety: str, rows: Sequence[LotRow], reader: Reader) -> list[Step]:
    route = reader.routes[reader.varieties[variety].route]
    return [
        step
        for step in route.steps
        if step.kind is StepKind.TRANSFER
        and all(row.step in {way.step for way in step.parents} for row in rows)
    ]


def _fits(hand: _Hand, step: Step | None, reader: Reader) -> bool:
    """Say whether the vessels in hand are of the sort a step wants; none fit every step."""
    if step is None:
        return False
    for _, vessels, _ in hand.vessels:
        route = reader.routes.get(vessels.lot.route)
        own = next((s for s in route.steps if s.code == vessels.lot.step), None) if route else None
        if own is None or vessel_key(own) != vessel_key(step):
            return False
    return True


def _of_job(asked: AskedOf, hand: _Hand, reader: Reader) -> Making:
    job, step = asked.job, _step(asked, reader)
    lots = [each.lot for each in hand.held]
    laid = sum(lot.units for lot in job.lots)
    wanted = parents_wanted(asked, lots)
    wanted = {
        each.lot: min(len(each.units) or wanted[each.lot], hand.alive[each.lot])
        for each in hand.held
    }
    total = sum(wanted.values())
    makes = asked.left
    if laid and total < laid:
        makes = max(1, min(asked.left, round(asked.left * total / laid)))
    if hand.vessels and _fits(hand, step, reader):
        makes = max(1, min(asked.left, hand.to_fill))
    what, _, _ = job.what.partition(" from ")
    return Making(
        words=what,
        detail=sentences([f"{asked.code}, {job.variety_name}: {asked.left} left to make"]),
        variety=job.variety,
        step=job.step,
        job=asked.code,
        makes=makes,
        shares=tuple(
            _share(lot, units, makes, step, hand, reader) for lot, units in wanted.items()
        ),
        vessels=tuple(each.lot for each, _, _ in hand.vessels),
    )


def _of_step(step: Step, variety: str, hand: _Hand, reader: Reader) -> Making:
    units = _units_wanted(step, hand)
    ways = {way.step: way for way in step.parents}
    gives = sum(
        max(1, number) * ways[hand.rows[lot].step].units_per_parent for lot, number in units.items()
    )
    makes = hand.to_fill or max(1, math.floor(gives))
    return Making(
        words=f"{step_noun(step, makes)} of {reader.name(variety)}",
        detail="No job of today asks for it.",
        variety=variety,
        step=step.code,
        job="",
        makes=makes,
        shares=tuple(_share(lot, n, makes, step, hand, reader) for lot, n in units.items()),
        vessels=tuple(each.lot for each, _, _ in hand.vessels),
    )


def _units_wanted(step: Step, hand: _Hand) -> dict[str, int]:
    """Return how many units of each lot go in: as labelled, else what the vessels in hand take."""
    ways = {way.step: way for way in step.parents}
    left = float(hand.to_fill)
    wanted: dict[str, int] = {}
    for each in hand.held:
        way = ways[hand.rows[each.lot].step]
        if each.units:
            units = len(each.units)
        elif way.part_use:
            units = 0 if any(part.opened_on for part in hand.parts[each.lot]) else 1
        elif hand.to_fill and way.units_per_parent > 0:
            units = max(1, math.ceil(left / way.units_per_parent - 1e-9))
        else:
            units = 1
        wanted[each.lot] = min(units, hand.alive[each.lot])
        left = max(0.0, left - wanted[each.lot] * way.units_per_parent)
    return wanted


def _share(
    lot: str, units: int, makes: int, step: Step | None, hand: _Hand, reader: Reader
) -> Share:
    row = hand.rows[lot]
    way = next((w for w in step.parents if w.step == row.step), None) if step else None
    amount, measure = _part(way, step, makes, row, reader)
    is_part = bool(way and way.part_use)
    return Share(
        lot=lot,
        words=_noun(row, max(1, units), reader),
        units=units,
        most=row.counts.alive,
        is_part=is_part,
        amount=amount if is_part else 0,
        measure=measure,
    )


def _part(
    way: Parent | None, step: Step | None, makes: int, row: LotRow, reader: Reader
) -> tuple[int, str]:
    """Return what a part of a parent comes to, by the route; nothing where it does not say."""
    plain = MEASURES[
        {Stage.TUBE: PartMeasure.UNIT, Stage.PLATE: PartMeasure.UNIT,
         Stage.LIQUID: PartMeasure.MILLILITRE}.get(Stage(row.stage), PartMeasure.GRAM)
    ]  # fmt: skip
    if way is None or step is None:
        return 0, plain
    try:
        taken = part_taken(reader.routes[reader.varieties[row.variety].route], way, step, makes)
    except InputError:  # its fill is not described
        return 0, plain
    return taken.amount, MEASURES[taken.measure]
