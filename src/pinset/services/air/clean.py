"""A clean room: particles by source, the class reached, how long it takes to clear, in words."""

from __future__ import annotations

from dataclasses import replace
from math import inf

from pinset.errors import InputError
from pinset.science.air.classes import class_limit, class_reached
from pinset.science.air.filters import filter_of, filters_known, passes
from pinset.science.air.helps import Change, by_cost, effects
from pinset.science.air.particles import CleanRoom, Source, Split, clearing_time, steady
from pinset.science.air.people import Clothes, Counted, shed
from pinset.science.air.pressure import leakage, pressure_held
from pinset.science.air.ranges import Range
from pinset.services.air.answer import Answer, Fact, Sheet
from pinset.services.air.spoken import figures, pressure, said, times
from pinset.services.air.typed import Typed, at_its_field
from pinset.units import Quantity

SIZE_UM = 0.5
OUTSIDE_M3 = Range(3.52e6, 3.52e7, 3.52e7)
"""Of 0.5 um and larger outside: of ISO 8 to ISO 9 air, until a farm counts its own."""

USUAL = {
    "filter": "filter.h14",
    "people": "1",
    "clothes": Clothes.CLEAN,
    "mixing": "2",
    "target": "7",
}
NAMES = {
    Source.LEAK_IN: "leaks in, unfiltered",
    Source.PEOPLE: "people",
    Source.FRESH: "through the filter from outside",
    Source.RECIRCULATED: "back through the filter",
}
FIELDS = {
    "room volume": "volume",
    "fresh air": "fresh",
    "leak-in": "leak-in",
    "recirculated air": "again",
    "air flows": "fresh",
    "mixing": "mixing",
    "supply less exhaust": "exhaust",
    "gap": "gap",
    "gaps": "gap",
    "cost of a change": "cost-leak",
}
METHOD = (
    "One well mixed room: people, leak-in and what passes the filter, over the air cleaned.",
    "People: mean of 55 by Whyte and Hejab 2007, least and most as published; 0.5 um and larger.",
    "A filter's share is that of the worst size, so it is pessimistic. Clearing: the US CDC's law,",
    "times the mixing factor, 1 perfect to 10 very poor. Pressure: opening law, Cd 0.644.",
    "Classes of ISO 14644-1:2015 by estimate; one is claimed only by counts as the standard asks.",
)


def clean_answer(form: Typed, currency: str) -> Answer:
    """Return what is in the air of a clean room.

    Raises
    ------
    InputError
        If something is missing or cannot be; its field is the one of the form.
    """
    try:
        room = read_clean(form)
        number = _class(form)
        limit = _limit(number)
        split = steady(room)
        helped = _helped(room, form, currency)
        return Answer(
            sentence=_verdict(split, number, limit),
            flags=_flags(split, form),
            facts=(*_facts(room, split, limit, number), *_pressure(form)),
            sheets=(_sources(split), helped),
            points=(
                "First air: nothing, hands included, between the filter's face and an open vessel.",
                "A counter at 0.5 um does not show what clothes are worth; at 5 um, or plates, do.",
            ),
            narrows="A particle count at work, with the supply known, replaces what people shed; "
            "a count outside the door replaces what is outside.",
            inputs=(f"Outside {figures(_outside(form), '/m³')} of 0.5 um and larger.",),
            method=METHOD,
        )
    except InputError as problem:
        raise at_its_field(problem, FIELDS) from None


def read_clean(form: Typed) -> CleanRoom:
    """Return the room that was typed.

    Raises
    ------
    InputError
        As :func:`clean_answer`.
    """
    key = form.given("filter")
    if key not in filters_known():
        raise InputError("filter", key, "one of those listed")
    clothes = form.given("clothes")
    if clothes not in set(Clothes):
        raise InputError("clothes", clothes, "one of those listed")
    people = form.number("people", 0.0, 100.0, "a whole number from 0 to 100")
    share = passes([filter_of(key)])
    return CleanRoom(
        volume_m3=form.above("volume", Quantity.VOLUME),
        fresh_m3_s=form.least("fresh", Quantity.FLOW, empty=None),
        fresh_passes=share,
        outside_m3=_outside(form),
        people=shed(Clothes(clothes), Counted.FINE, round(people)),
        leak_in_m3_s=form.least("leak-in", Quantity.FLOW),
        recirculated_m3_s=form.least("again", Quantity.FLOW),
        recirculated_passes=share,
        mixing=form.number("mixing", 1.0, 10.0, "1 perfect to 10 very poor"),
    )


def _outside(form: Typed) -> Range:
    if not form.given("counted"):
        return OUTSIDE_M3
    return Range.exactly(form.number("counted", 0.0, 1e12, "particles a m³, 0 or more"))


def _class(form: Typed) -> float:
    number = form.number("target", 3.0, 9.0, "3 to 9, whole or half")
    if number * 2.0 != round(number * 2.0):
        raise InputError("target", form.given("target"), "3 to 9, whole or half")
    return number


def _limit(number: float) -> float:
    limit = class_limit(number, SIZE_UM)
    if limit is None:
        raise InputError("target", number, "3 to 9, whole or half")
    return limit


def _class_words(count: float) -> str:
    reached = class_reached({SIZE_UM: count})
    return f"ISO {reached:g}" if reached is not None else "no ISO class"


def _verdict(split: Split, number: float, limit: float) -> str:
    best, middle, worst = (_class_words(end) for end in split.total.ends)
    most = NAMES[split.most]
    kept = "keeps" if split.total.high <= limit else "may not keep"
    if split.total.low > limit:
        kept = "does not keep"
    span = middle if best == worst else f"{middle} ({best} to {worst})"
    return f"At work this room {kept} ISO {number:g}: about {span}. Most of it: {most}."


def _flags(split: Split, form: Typed) -> tuple[str, ...]:
    if split.most is Source.LEAK_IN:
        return ("Unfiltered air is most of it: close the gaps before a better filter is bought.",)
    if form.least("exhaust", Quantity.FLOW) > form.least("fresh", Quantity.FLOW):
        return ("More is drawn off than blown in: the room sucks unfiltered air in.",)
    return ()


def _facts(room: CleanRoom, split: Split, limit: float, number: float) -> list[Fact]:
    start = room.outside_m3.high
    empty = replace(room, people=Range.exactly(0.0))
    wait = clearing_time(empty, start, limit).times(1.0 / 60.0)
    changes = room.removed_m3_s * 3600.0 / room.volume_m3
    return [
        Fact("Particles at work", figures(split.total, "/m³"), "0.5 um and larger"),
        Fact("Clean air changes", f"{changes:.0f} an hour"),
        Fact(
            f"To ISO {number:g} after everybody left",
            "never" if wait.low == inf else times(wait),
            "from air as outside, nobody inside",
        ),
    ]


def _pressure(form: Typed) -> list[Fact]:
    gap = form.least("gap", Quantity.AREA)
    if gap <= 0.0:
        return []
    fresh = form.least("fresh", Quantity.FLOW)
    exhaust = form.least("exhaust", Quantity.FLOW)
    held = pressure_held(fresh - exhaust, gap)
    at_15 = leakage(gap, 15.0)
    return [
        Fact(
            "Pressure held",
            pressure(held, form.system),
            "10 to 15 Pa between rooms is usual (FDA 2004)",
        ),
        Fact(
            f"Leaks at {pressure(15.0, form.system)}",
            said(Quantity.FLOW, at_15, form.system),
            "what must be blown in beyond what is drawn off",
        ),
    ]


def _sources(split: Split) -> Sheet:
    ranked = sorted(split.by_source.items(), key=lambda each: -each[1].middle)
    rows = tuple((NAMES[source], figures(known, "/m³")) for source, known in ranked if known.high)
    return Sheet("Where they come from", ("Source", "Particles"), rows)


def _helped(room: CleanRoom, form: Typed, currency: str) -> Sheet:
    def price(name: str) -> float | None:
        given = form.given(name)
        return form.number(name, 0.0, 1e9, "money, 0 or more") if given else None

    changes = [
        Change(
            "half the leaks closed",
            replace(room, leak_in_m3_s=room.leak_in_m3_s / 2),
            price("cost-leak"),
        ),
        Change(
            "half as much again blown in",
            replace(room, fresh_m3_s=room.fresh_m3_s * 1.5),
            price("cost-fresh"),
        ),
        Change(
            "half the people", replace(room, people=room.people.times(0.5)), price("cost-people")
        ),
        Change(
            "a filter that lets a tenth through",
            replace(
                room,
                fresh_passes=room.fresh_passes / 10,
                recirculated_passes=room.recirculated_passes / 10,
            ),
            price("cost-filter"),
        ),
    ]
    found = effects(room, changes)
    first = {effect.change.name: n for n, effect in enumerate(by_cost(found), start=1)}
    rows = tuple(
        (
            effect.change.name,
            f"{figures(effect.times_cleaner)} times cleaner",
            "" if effect.change.cost is None else f"{effect.change.cost:g} {currency}",
            f"{first[effect.change.name]}." if effect.change.name in first else "",
        )
        for effect in found
    )
    return Sheet("What helps most", ("Change", "Helps", "Costs", "For its money"), rows)
