"""Taking one own figure over into the route: its next version, from today on."""

from __future__ import annotations

from datetime import datetime

from pinset.errors import InputError, RefusedError
from pinset.learning.figures import What
from pinset.learning.own_figures import with_figures
from pinset.learning.taken_over import TakenOver, marked
from pinset.services.books.register_change import write_record
from pinset.services.clock import now_utc
from pinset.services.own_figures.figures import can_take, read_figures
from pinset.services.plans import planning_day


def take_over(variety: str, step: str, what: str, person: str, now: datetime | None = None) -> str:
    """Write a figure into the variety's route from today on, and return what was done in words.

    Lots that are alive keep the route they were made under. A second tap changes nothing.

    Raises
    ------
    InputError
        If there is no such variety, step or figure, or the records have nothing to plan with.
    RefusedError
        If the variety has no route, or its route would not hold with the figure.
    """
    moment = now or now_utc()
    book, today = planning_day.farm_book(moment)
    if not variety:
        raise InputError("variety", variety, ", ".join(each.code for each in book.varieties))
    read = next(iter(read_figures(variety, moment)), None)
    if read is None:
        raise RefusedError(f"Variety {variety} has no route.")
    found = next((each for each in read.steps if each.step == step), None)
    if found is None:
        raise InputError("step", step, ", ".join(each.step for each in read.steps))
    figures = [figure for figure in found.figures if figure.what.value == what]
    if not figures:
        raise InputError("figure", what, ", ".join(dict.fromkeys(f.what for f in found.figures)))
    kind = What(what)
    changed = with_figures(read.route, found, kind, read.base)
    if not can_take(found, read, kind):
        return "The route says so already."
    lots = max(figure.lots for figure in figures)
    write_record(marked(changed, step, kind, TakenOver(today, lots)), person, moment)
    return (
        "Taken over; the route says so from today. Lots that are alive keep the route they were "
        "made under. Plan again to plan with it."
    )
