"""The shelf as a list by culture: every tube with what it asks for, what is due first."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from datetime import date, datetime
from zoneinfo import ZoneInfo

from pinset.chain.living import LivingLot
from pinset.chain.readiness import keeps_until
from pinset.chain.register import Culture
from pinset.chain.shelf_life import Asked, Asks, Tube
from pinset.chain.stages import noun_of
from pinset.chain.vigour import Measured, held_against_earlier
from pinset.errors import RefusedError
from pinset.farm.queries.cultures import grams_picked
from pinset.services.book_reader import Reader
from pinset.services.cultures.due import counted_due
from pinset.services.cultures.kept import Kept, grown_of, kept_cultures
from pinset.services.cultures.records import Clone, CultureView, PlateLine, ShelfView, TubeLine
from pinset.services.cultures.words import (
    asked_words,
    growth_words,
    on_words,
    slower_words,
    woken_words,
)
from pinset.services.plans import planning_day
from pinset.services.words import first_upper, short_day


def shelf_view(now: datetime | None = None) -> ShelfView:
    """Return the whole shelf, the culture of which something is due first at the top."""
    book, today = planning_day.farm_book(now)
    reader = Reader(book, today)
    kept = kept_cultures(today, ZoneInfo(book.farm.time_zone))
    known = {culture.code: culture for culture in book.cultures}
    picked = grams_picked([c.code for c in book.cultures if not c.cleared])
    there = {each.culture for each in kept}
    views = [_view(each, known.get(each.culture), picked, reader) for each in kept]
    gone = [each for each in book.cultures if each.code not in there]
    grown = grown_of([each.code for each in gone])
    views += [_nothing(each, grown.get((each.code, each.variety), ()), reader) for each in gone]
    views.sort(key=lambda view: (_rank(view), view.first_on, view.variety, view.code))
    due = [tube for view in views for tube in view.tubes if tube.is_due]
    return ShelfView(today, _sentence(due, len(views)), len(due), tuple(views))


def _rank(view: CultureView) -> int:
    """Return 0 for what asks for something now, 1 for the rest, 2 for what is no more."""
    if view.is_gone:
        return 2
    return 0 if view.warning or any(tube.is_due for tube in view.tubes) else 1


def tube_line(code: str, now: datetime | None = None) -> tuple[CultureView, tuple[TubeLine, ...]]:
    """Return the culture of a lot on the shelf, and the lot's own lines.

    Raises
    ------
    RefusedError
        If nothing of the lot stands on the shelf.
    """
    for view in shelf_view(now).cultures:
        lines = tuple(line for line in (*view.tubes, *view.working) if line.lot == code)
        if lines:
            return view, lines
    raise RefusedError(
        f"Nothing of lot {code} stands on the shelf of cultures.",
        "Only tubes, plates and liquid culture do; look at the code on the label.",
    )


def _sentence(due: Sequence[TubeLine], cultures: int) -> str:
    if not cultures:
        return "No culture is written down."
    if not due:
        return "Nothing is due on the shelf."
    return first_upper(f"{counted_due(Counter(Asks(tube.asks) for tube in due))}.")


def _view(
    kept: Kept, culture: Culture | None, picked: dict[str, int], reader: Reader
) -> CultureView:
    source = culture.source if culture else ""
    tubes = [_tube(tube, kept.asked(tube, reader.today), source, reader) for tube in kept.tubes]
    tubes.sort(key=lambda line: (not line.is_due, line.on or date.max, line.lot, line.place))
    is_cleared = culture is None or culture.cleared
    return CultureView(
        code=kept.culture,
        variety=reader.name(kept.variety),
        source=source,
        mother_on=culture.mother_on if culture else None,
        is_cleared=is_cleared,
        note=culture.note if culture else "",
        tubes=tuple(tubes),
        working=tuple(_line(lot, reader) for lot in kept.working),
        plates=tuple(_plate(each) for each in reversed(kept.plates)),
        vigour=slower_words(kept.slower),
        is_slower=kept.slower is not None and kept.slower.is_slower,
        clone=None if is_cleared else _clone(kept, picked.get(kept.culture, 0), reader),
        warning=_no_tube(kept.working) if not kept.tubes else "",
    )


def _no_tube(working: Sequence[LivingLot]) -> str:
    last = max((until for lot in working if (until := keeps_until(lot))), default=None)
    when = f" before {short_day(last)}, when the last of it has had its time" if last else ""
    return f"No tube of it stands: put one up{when}."


def _nothing(culture: Culture, plates: Sequence[Measured], reader: Reader) -> CultureView:
    """Return a culture that is no more; of its growth only that it had slowed is said."""
    slower = held_against_earlier(plates)
    is_slower = slower is not None and slower.is_slower
    return CultureView(
        code=culture.code,
        variety=reader.name(culture.variety),
        source=culture.source,
        mother_on=culture.mother_on,
        is_cleared=culture.cleared,
        note=culture.note,
        tubes=(),
        working=(),
        plates=tuple(_plate(each) for each in reversed(plates)),
        vigour=slower_words(slower) if is_slower else "",
        is_slower=is_slower,
        clone=None,
        warning="Nothing of it stands on the shelf.",
    )


def _clone(kept: Kept, picked_g: int, reader: Reader) -> Clone:
    woke = any(test for tube in kept.tubes for test in tube.tests if not test.failed)
    is_grown = bool(kept.plates) or woke
    plate = "its test plate grew" if is_grown else "no test plate was measured or woken"
    fruit = f"{reader.said(picked_g)} picked of it" if picked_g else "nothing was picked of it yet"
    return Clone(is_grown, picked_g, f"{plate}; {fruit}")


def _plate(each: Measured) -> PlateLine:
    return PlateLine(
        lot=each.lot,
        plate=each.plate,
        at=each.at,
        mm_per_day=round(each.growth.mm_per_day, 3),
        within=round(each.growth.within, 3),
        is_at_edge=each.growth.is_at_edge,
        transfers=each.transfers,
        temperature_c=each.temperature_c,
        medium=each.medium,
        words=growth_words(each.growth),
    )


def _tube(tube: Tube, asked: Asked, source: str, reader: Reader) -> TubeLine:
    last, today = tube.last, reader.today
    said = asked_words(asked, source)
    if asked.asks is not Asks.NOTHING:
        said = f"{on_words(asked.on, today)}: {said}"
    return _line(
        tube.lot,
        reader,
        woken=f"woken {short_day(last.on)}: {woken_words(last)}" if last else "",
        asked=asked,
        said=first_upper(f"{said}."),
    )


def _line(
    lot: LivingLot, reader: Reader, *, woken: str = "", asked: Asked | None = None, said: str = ""
) -> TubeLine:
    step = lot.now_step()
    return TubeLine(
        lot=lot.code,
        stage=lot.stage.value,
        step=lot.step,
        words=f"{lot.alive} {noun_of(lot.stage, lot.alive)}",
        alive=lot.alive,
        place=lot.place,
        room=lot.room,
        room_name=reader.room_name(lot.room),
        temperature_c=lot.temperature_c,
        medium=step.mix,
        made_on=lot.made_on,
        opened_on=lot.opened_on,
        keeps_until=keeps_until(lot),
        transfers=lot.transfers,
        transfer_limit=lot.route.transfer_limit,
        woken=woken,
        asks=asked.asks.value if asked else "",
        asked=said,
        on=asked.on if asked else None,
        is_due=asked is not None and asked.is_due(reader.today),
        back_to=asked.back_to if asked else "",
        held=lot.held,
    )
