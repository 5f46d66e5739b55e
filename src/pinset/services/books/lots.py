"""Books, Lots: what is alive and where, and one lot's whole life."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

from pinset.chain.living import LivingLot
from pinset.chain.lotcode import nearest_valid, read_code
from pinset.chain.plain import to_plain
from pinset.chain.readiness import state
from pinset.chain.register import FarmBook, StepKind
from pinset.chain.seen_contaminated import HELD, told
from pinset.chain.stages import Stage, noun_of
from pinset.errors import InputError, RefusedError
from pinset.farm.entries import Account, Kind
from pinset.farm.queries.alive import living
from pinset.farm.queries.cooks import Judged, standing_verdicts
from pinset.farm.queries.lineage import Relative, children, parents
from pinset.farm.queries.lots import (
    Counts,
    KnownCodes,
    LotRow,
    find_lots,
    has_lots_of,
    lot_by_code,
    rows_of,
)
from pinset.farm.queries.story import Happened, life
from pinset.farm.stamp import Stamp, stamp
from pinset.services.book_reader import Reader
from pinset.services.books.life_words import LookedAt, sentence_of
from pinset.services.bounds import MOST_PAGES, within
from pinset.services.clock import at_clock, farm_day
from pinset.services.cooks.judge.short_cooks import of_lot
from pinset.services.cooks.words import cook_in_words
from pinset.services.looking.looked_since import looked_since
from pinset.services.looking.media import medium_of
from pinset.services.memory import remembered
from pinset.services.named import one_of
from pinset.services.plans import planning_day
from pinset.services.views import Kin, LifeEvent, LotLine, LotsView, LotView
from pinset.services.words import amount, plural, short_day

PAGE = 50


def lots_view(
    query: str = "",
    variety: str = "",
    stage: str = "",
    page: int = 1,
    *,
    now: datetime | None = None,
) -> LotsView:
    """Return a page of lots: those alive, or, with a query, those whose code begins with it.

    Raises
    ------
    InputError
        If there is no such stage or variety, or the page is out of bounds.
    """
    within("page", page, 1, MOST_PAGES)
    if stage:
        one_of("stage", stage, [each.value for each in Stage])
    book, today = planning_day.farm_book(now)
    if variety and not has_lots_of(variety):
        one_of("variety", variety, [each.code for each in book.varieties])
    total, rows = find_lots(
        variety=variety,
        stage=stage,
        code=query.strip(),
        is_alive=None if query.strip() else True,
        offset=(page - 1) * PAGE,
        limit=PAGE,
    )
    return LotsView(
        total=total,
        page=page,
        pages=max(1, -(-total // PAGE)),
        lots=lines(rows, book, today),
        filters=tuple(
            (name, value)
            for name, value in (("query", query), ("variety", variety), ("stage", stage))
            if value
        ),
    )


def lines(rows: Sequence[LotRow], book: FarmBook, today: date) -> tuple[LotLine, ...]:
    """Return lots as list lines."""
    return _lines(rows, living(today, lots=[row.code for row in rows]), book, today)


def _lines(
    rows: Sequence[LotRow], here: Sequence[LivingLot], book: FarmBook, today: date
) -> tuple[LotLine, ...]:
    alive: dict[str, list[LivingLot]] = {}
    for part in here:
        alive.setdefault(part.code, []).append(part)
    names = {variety.code: variety.name for variety in book.varieties}
    cooked = [row for row in rows if row.stage == Stage.PREPARED.value and row.cook]
    judged = standing_verdicts(row.cook for row in cooked)
    zone = ZoneInfo(book.farm.time_zone)
    midnight = at_clock(today + timedelta(days=1), "00:00", zone.key)
    looked = looked_since(here, today, zone, midnight)
    found = []
    for row in rows:
        parts = alive.get(row.code, [])
        lot = next((part for part in reversed(parts) if not part.contaminated), None)
        lot = lot or (parts[-1] if parts else None)
        made_on = row.made_on or today
        noun = _noun(row)
        name = names.get(row.variety, row.variety)
        found.append(
            LotLine(
                lot=row.code,
                words=f"{noun}, {name}" if name else f"{noun} for {row.step}",
                variety=name,
                stage=row.stage,
                step=lot.step if lot else row.step,
                made_on=made_on,
                age_days=(today - made_on).days,
                made=row.counts.made,
                alive=row.counts.alive,
                lost=row.counts.lost,
                place=", ".join(place for place in row.places if place),
                ready=_ready(
                    row, parts, judged.get(row.cook), today, is_looked_at=row.code in looked
                ),
                held=lot.held if lot and lot.held != HELD else "",
                contaminated=told(parts),
                fruits=lot is not None and lot.now_step().kind is StepKind.FRUIT,
            )
        )
    return tuple(found)


def _ready(
    row: LotRow,
    parts: Sequence[LivingLot],
    judged: Judged | None,
    today: date,
    *,
    is_looked_at: bool,
) -> str:
    """Return how ready a lot is, part by part where that differs.

    Of prepared vessels it is what came of their cook.
    """
    if not parts:
        return cook_in_words(row.cook, judged) if row.stage == Stage.PREPARED.value else ""
    said: Counter[str] = Counter()
    for part in parts:
        words = state(part, today, is_looked_at=is_looked_at).words
        said[HELD if part.contaminated else words] += part.alive
    if len(said) == 1:
        return next(iter(said))
    return "; ".join(f"{units} {words}" for words, units in said.items())


def _noun(row: LotRow) -> str:
    """Return what the units of a lot are called; one only named so far has no stage yet."""
    if not row.stage:
        return "announced"
    return noun_of(Stage(row.stage), row.counts.alive or 2, is_bought=bool(row.bought_from))


def lot_view(code: str, *, now: datetime | None = None) -> LotView:
    """Return one lot's page.

    Raises
    ------
    InputError
        If the code has a slip (the nearest valid codes are named) or no lot has it.
    """
    _, today = planning_day.farm_book(now)
    return _lot_view(stamp(), code, today)


@remembered
def _lot_view(_stamp: Stamp, typed: str, today: date) -> LotView:
    known = KnownCodes()
    read = read_code(typed, known=known)
    try:
        stored = lot_by_code(read.lot)
    except InputError:
        near = nearest_valid(read.lot, known)
        hint = f"Did you mean {' or '.join(near)}?" if near else "Lots lists them."
        raise RefusedError(f"No lot of this farm has the code {read.lot}.", hint) from None
    book, _ = planning_day.farm_book()
    [row] = rows_of([stored])
    here = living(today, lots=[row.code])
    [line] = _lines([row], here, book, today)
    lot = here[0] if here else None
    reader = Reader(book, today)
    marked = of_lot(row.code)
    culture = next((c for c in book.cultures if c.code == row.culture), None)
    return LotView(
        line=line,
        title=line.words[:1].upper() + line.words[1:],
        sentence=_sentence(line, row.counts),
        culture=f"{row.culture}: {culture.source}" if culture else row.culture,
        generation=lot.generation if lot else 0,
        transfers=lot.transfers if lot else 0,
        cook=row.cook,
        counts=tuple(
            (name, int(to_plain(row.counts, every_field=True)[name]))
            for name in ("made", "alive", "used", "lost", "culled", "spent", "sold", "unexplained")
        ),
        picked_g=row.counts.grown_g,
        parents=tuple(_kin(each, reader, "went in") for each in parents(row.code)),
        children=tuple(_kin(each, reader, "of this lot") for each in children(row.code)),
        life=tuple(_event(each, row, line.step, book) for each in life(row.code)),
        findings=(
            *_findings(row, line),
            *(each.told(is_left=row.counts.alive > 0) for each in marked),
        ),
        short_cooks=tuple(dict.fromkeys(each.cook for each in marked)),
        next_step=_next_step(reader, row, line),
        session=row.session,
    )


def _sentence(line: LotLine, counts: Counts) -> str:
    if counts.alive:
        text = f"{line.variety or 'Prepared'}, {counts.alive} alive of {counts.made}"
        return f"{text}, day {line.age_days}."
    gone = [
        f"{number} {word}"
        for word, number in (
            ("used", counts.used),
            ("lost", counts.lost),
            ("culled", counts.culled),
            ("spent", counts.spent),
            ("sold", counts.sold),
        )
        if number
    ]
    return f"Nothing alive of {plural(counts.made, 'unit')}: {', '.join(gone) or 'none'}."


def _kin(relative: Relative, reader: Reader, word: str) -> Kin:
    is_bought = reader.is_bought(relative.variety, relative.step)
    stage = Stage(relative.stage) if relative.stage else None
    noun = noun_of(stage, relative.units or 1, is_bought=is_bought) if stage else ""
    made = f", {short_day(relative.made_on)}" if relative.made_on else ""
    name = reader.name(relative.variety)
    units = plural(relative.units, "unit") if relative.units else "a part of one unit"
    how_many = f"{units} {word}"
    if relative.amount:
        system = reader.book.farm.units
        how_many += f", {amount(relative.amount, relative.measure, relative.measure, system)}"
    return Kin(relative.lot, f"{noun}{', ' + name if name else ''}{made}", how_many)


def _event(happened: Happened, row: LotRow, step: str, book: FarmBook) -> LifeEvent:
    day = farm_day(happened.happened_at, book.farm.time_zone)
    age = (day - row.made_on).days if row.made_on else None
    looked = LookedAt(age, medium_of(row.stage, step, book))
    return LifeEvent(
        entry=happened.client_id,
        at=happened.happened_at,
        written_at=happened.recorded_at,
        who=happened.person_name,
        what=sentence_of(happened, row.code, book.farm.units, looked),
        note=happened.note,
        corrected=happened.is_corrected,
        can_undo=happened.stands and happened.kind != Kind.OPENING,
    )


def _findings(row: LotRow, line: LotLine) -> tuple[str, ...]:
    found = [line.contaminated] if line.contaminated else []
    if row.counts.unexplained:
        found.append(
            f"{plural(-row.counts.unexplained, 'unit')} more were taken than stood there "
            f"({Account.UNEXPLAINED.value}). Count what is there, then set it right."
        )
    if row.is_announced:
        found.append("This lot is named by entries, but the entry that makes it has not arrived.")
    if row.is_void:
        found.append("The entry that made this lot was taken back.")
    if line.held:
        found.append(f"Held back: {line.held}")
    return tuple(found)


def _next_step(reader: Reader, row: LotRow, line: LotLine) -> str:
    if not row.counts.alive or row.variety not in reader.varieties:
        return ""
    route = reader.routes[reader.varieties[row.variety].route]
    codes = [step.code for step in route.steps]
    if line.step not in codes:
        return line.ready
    users = [
        step.code
        for step in route.steps
        if any(parent.step == line.step for parent in step.parents)
    ]
    place = codes.index(line.step)
    if place + 1 < len(codes) and route.steps[place + 1].kind in {StepKind.STAND, StepKind.FRUIT}:
        users.append(route.steps[place + 1].code)
    after = f"; next: {' or '.join(users)}" if users else ""
    return f"{line.ready}{after}"
