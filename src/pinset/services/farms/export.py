"""Writing the farm as the files it can be loaded from."""

from __future__ import annotations

from dataclasses import replace as with_parts
from datetime import date
from pathlib import Path

from pinset.chain.register import FarmBook
from pinset.chain.rules_lot import ASK_FOR_A_NOTE, check_lots
from pinset.farm import register_store
from pinset.files.description.writing import write_folder
from pinset.services.farms.standing_lots import standing_lots
from pinset.services.plans import planning_day
from pinset.services.upkeep.compared import compared, last_done

AS_RECORDED = "as recorded here"
"""Note of a lot of which the books say what a load would ask about."""


def current_book(on: date | None = None) -> FarmBook:
    """Return everything the farm says of itself on a day, its living lots among it.

    Chores say when they were last done, instruments when they were last compared.

    Raises
    ------
    RefusedError
        If no farm was described by that day.
    """
    if on is None:
        book, day = planning_day.farm_book()
    else:
        book, day = register_store.book(on), on
    book = last_done(compared(book), day)
    routes = {route.code: route for route in book.routes}
    by_variety = {each.code: routes[each.route] for each in book.varieties if each.route in routes}
    return _with_notes_asked_for(with_parts(book, lots=standing_lots(day, by_variety)))


def _with_notes_asked_for(book: FarmBook) -> FarmBook:
    """Return the book with a note where one is asked for, so that what is so can be loaded."""
    asked = {each.record for each in check_lots(book, None) if each.id in ASK_FOR_A_NOTE}
    return with_parts(
        book,
        lots=tuple(
            with_parts(lot, note=AS_RECORDED)
            if not lot.note and f"lots {lot.code}" in asked
            else lot
            for lot in book.lots
        ),
    )


def export(
    folder: Path, *, on: date | None = None, as_xlsx: bool = False, replace: bool = False
) -> tuple[Path, ...]:
    """Write the farm into a folder: `farm.toml` and the tables.

    Parameters
    ----------
    folder : Path
        Made if it is not there.
    on : date, optional
        The day whose registers count; today if None. Lots are those alive now.
    as_xlsx : bool
        Tables as workbooks.
    replace : bool
        Take the place of files that are there.

    Returns
    -------
    tuple of Path
        The files written.

    Raises
    ------
    RefusedError
        If there is no farm, files are in the way, or the folder cannot be written.
    """
    return write_folder(current_book(on), folder, as_xlsx=as_xlsx, replace=replace)
