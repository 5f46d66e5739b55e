"""What a chore reads off over time, drawn with its limit and the days on which it was changed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from django.utils.translation import gettext as _

from pinset.services.upkeep.records import ChorePage, Reading
from pinset.web.formats import short_day

LEFT, RIGHT, TOP, BOTTOM = 74.0, 432.0, 30.0, 190.0
FEWEST = 2  # readings that make a line
STEPS = (1.0, 2.0, 5.0)
MOST_TICKS = 5
EDGE_WORD = 60.0  # room a word beside a line needs
NEAR = 18.0  # a rule so near to the limit would run through its word


@dataclass(frozen=True, slots=True)
class Tick:
    """A mark beside the drawing."""

    at: float
    label: str
    anchor: str = "middle"


@dataclass(frozen=True, slots=True)
class WearDrawing:
    """Readings over time."""

    words: str  # for those who do not see it
    up: tuple[Tick, ...]
    across: tuple[Tick, ...]
    strokes: tuple[str, ...]  # points, one for each thing that was put in
    dots: tuple[tuple[float, float], ...]
    limit: float | None  # height of the line
    changed: tuple[Tick, ...]


def drawing_of(view: ChorePage) -> WearDrawing | None:
    """Return the drawing of a chore's readings; None where two are not there."""
    read = view.readings
    if len(read) < FEWEST or read[0].on == read[-1].on:
        return None
    values = [abs(each.value) for each in read]
    most = max([*values, view.limit or 0.0]) or 1.0
    low = 0.0 if min(values) < most / 2 else min(values) * 0.9
    ticks = _round_values(low, most)
    top = max(most, ticks[-1]) if ticks else most

    def across(day: date) -> float:
        share = (day - read[0].on).days / (read[-1].on - read[0].on).days
        return round(LEFT + (RIGHT - LEFT) * share, 1)

    def up(value: float) -> float:
        return round(BOTTOM - (BOTTOM - TOP) * (value - low) / ((top - low) or 1.0), 1)

    words = _("From %(first)s on %(begin)s to %(last)s on %(end)s") % {
        "first": read[0].words,
        "begin": _day(read[0].on),
        "last": read[-1].words,
        "end": _day(read[-1].on),
    }
    if view.limit is not None:
        words += _("; the limit is %(limit)s") % {"limit": view.limit_words}
    return WearDrawing(
        words=words,
        up=tuple(
            Tick(up(value), f"{value:,.10g} {_unit(view)}")
            for value in ticks
            if view.limit is None or abs(up(value) - up(view.limit)) > NEAR
        ),
        across=(
            Tick(LEFT, _day(read[0].on), "start"),
            Tick(RIGHT, _day(read[-1].on), "end"),
        ),
        strokes=tuple(
            " ".join(f"{across(each.on)},{up(abs(each.value))}" for each in part)
            for part in _parts(read)
            if len(part) >= FEWEST
        ),
        dots=tuple((across(each.on), up(abs(each.value))) for each in read),
        limit=None if view.limit is None else up(view.limit),
        changed=tuple(_changed(read, across)),
    )


def _changed(read: Sequence[Reading], across: object) -> list[Tick]:
    found: list[Tick] = []
    for each in read:
        if each.is_changed and callable(across):
            at = across(each.on)
            anchor = "end" if at > RIGHT - EDGE_WORD else "start" if at < LEFT + EDGE_WORD else ""
            is_free = not found or at - found[-1].at > 2 * EDGE_WORD
            found.append(Tick(at, _("changed") if is_free else "", anchor or "middle"))
    return found


def _parts(read: Sequence[Reading]) -> list[list[Reading]]:
    """Return the readings of each thing that was put in."""
    parts: list[list[Reading]] = [[]]
    for each in read:
        if each.is_changed and parts[-1]:
            parts.append([])
        parts[-1].append(each)
    return parts


def _round_values(low: float, most: float) -> list[float]:
    """Return a few round numbers from the low end to the first one at or above the most."""
    for power in range(-3, 8):
        for step in STEPS:
            size = step * 10.0**power
            if (most - low) / size <= MOST_TICKS:
                first = int(low / size)
                last = int(most / size) + (most % size > 0)
                return [n * size for n in range(first, last + 1) if n * size >= low]
    return []


def _unit(view: ChorePage) -> str:
    return "°C" if view.reads == "degC" else view.reads


def _day(day: date) -> str:
    return f"{short_day(day)} {day.year}"
