"""Random farms for the round trip: every field drawn from what its column accepts."""

from __future__ import annotations

import string
from dataclasses import replace
from datetime import date
from typing import Any

from hypothesis import strategies as st

from files.chores import chores, instructions
from pinset.chain.label_layouts import LabelLayout
from pinset.chain.lotcode import encode
from pinset.chain.outages import Outage, OutageOf
from pinset.chain.pins import Pin
from pinset.chain.register import (
    Bench,
    Buyer,
    CookKind,
    Culture,
    Farm,
    FarmBook,
    Flush,
    Instrument,
    InstrumentKind,
    Outlet,
    OutletKind,
    Parent,
    Preparation,
    Promise,
    RateBasis,
    Room,
    RoomKind,
    Route,
    Shelf,
    Spread,
    StandingLot,
    Step,
    StepKind,
    Steriliser,
    Variety,
    Vessel,
    Weekday,
    Worker,
)
from pinset.chain.rules_route import caution_keys
from pinset.chain.stages import Stage
from pinset.chain.upkeep import ChoreAt

_FIRST = string.ascii_lowercase + string.digits
codes = st.builds(
    lambda first, rest: first + rest,
    st.sampled_from(_FIRST),
    st.text(alphabet=_FIRST + "-_.", max_size=8),
).filter(lambda code: code != "picked")

SUMMER_LOW = (1.0, 1.0, 1.1, 1.0, 0.9, 0.75, 0.6, 0.65, 0.9, 1.0, 1.0, 1.05)
"""Shares of the months: invented."""


def texts(least: int = 0, most: int = 40) -> st.SearchStrategy[str]:
    """Text a person may type, with signs that trip up careless writers of tables."""
    sign = st.one_of(
        st.sampled_from("=+-@#'\",;|%\n\t \\"),
        st.characters(blacklist_categories=("Cs", "Cc", "Cf", "Zs", "Zl", "Zp", "Co", "Cn")),
    )
    return (
        st.text(alphabet=sign, min_size=least, max_size=most)
        .map(lambda text: text.replace("\xa0", " ").strip())
        .filter(lambda text: len(text) >= least)
    )


def numbers(low: float, high: float) -> st.SearchStrategy[float]:
    return st.floats(low, high, allow_nan=False, allow_infinity=False).map(lambda v: v + 0.0)


fractions = numbers(0, 1)
clocks = st.times().map(lambda time: time.strftime("%H:%M"))
days = st.dates(date(2000, 1, 1), date(2099, 12, 31))
weekday_lists = st.lists(st.sampled_from(Weekday), unique=True, max_size=7).map(tuple)


@st.composite
def spreads(draw: Any, high: float) -> Spread:
    return Spread(*sorted(draw(st.tuples(*[numbers(0, high)] * 3))))


def some(strategy: st.SearchStrategy[Any], most: int = 3, least: int = 0) -> Any:
    return st.lists(strategy, min_size=least, max_size=most).map(tuple)


hours_of_a_day = numbers(0, 24) | st.sampled_from(
    ["17:00-20:30", "07:00-11:00, 16:00-18:00", "00:00-24:00"]
)


@st.composite
def farms(draw: Any) -> Farm:
    return Farm(
        name=draw(texts(1)),
        altitude_m=draw(numbers(-430, 6000)),
        time_zone=draw(st.sampled_from(["UTC", "Europe/Vienna", "America/Denver"])),
        country=draw(texts()),
        latitude=draw(st.none() | numbers(-90, 90)),
        longitude=draw(st.none() | numbers(-180, 180)),
        units=draw(st.sampled_from(["metric", "us"])),
        currency=draw(st.sampled_from(["EUR", "USD", "CHF"])),
        working_days=draw(weekday_lists),
        days_off=tuple(draw(st.lists(days, max_size=3))),
        day_starts=draw(clocks),
        van_at=draw(clocks),
        morning_round_minutes=draw(st.integers(0, 600)),
        code=draw(codes),
    )


@st.composite
def parents(draw: Any, steps: list[str]) -> tuple[Parent, ...]:
    chosen = draw(st.lists(st.sampled_from(steps), unique=True, max_size=3))
    return tuple(
        Parent(
            step,
            draw(numbers(0, 100_000).filter(lambda v: v > 0)),
            draw(st.none() | fractions),
            draw(st.none() | st.sampled_from(RateBasis)),
            draw(st.booleans()),
        )
        for step in chosen
    )


preparations = st.builds(
    Preparation,
    task=texts(1, 20),
    lead_hours=numbers(0, 2000),
    minutes_per_unit=numbers(0, 10_000),
    minutes_fixed=numbers(0, 10_000),
    room=st.sampled_from(RoomKind),
    caution=st.sampled_from(["", *caution_keys()]),
)
flushes = st.builds(
    Flush,
    gap_days=spreads(1000),
    share=fractions,
    pick_days=st.integers(1, 100),
    lost_before=fractions,
)


@st.composite
def step_of(draw: Any, code: str, steps: list[str], world: dict[str, list[str]]) -> Step:
    chosen = lambda name: draw(st.sampled_from(["", *world[name]]))  # noqa: E731
    return Step(
        code=code,
        kind=draw(st.sampled_from(StepKind)),
        stage=draw(st.sampled_from(Stage)),
        days=draw(spreads(1000)),
        loss=draw(spreads(1)),
        temperature_c=draw(numbers(-30, 60)),
        parents=draw(parents(steps)),
        vessel=chosen("vessels"),
        mix=draw(texts()),
        fill_g=draw(st.integers(0, 1_000_000)),
        fill_moisture=draw(numbers(0, 0.99)),
        keeps_days_warm=draw(numbers(0, 1000)),
        keeps_days_cold=draw(st.none() | numbers(0, 1000)),
        cold_min_c=draw(st.none() | numbers(-30, 60)),
        opened_keeps_days=draw(st.none() | numbers(0, 1000)),
        places=draw(numbers(0, 1000)),
        room=draw(st.sampled_from(RoomKind)),
        bench_minutes=draw(numbers(0, 10_000)),
        bench_setup_minutes=draw(numbers(0, 10_000)),
        hands_minutes=draw(numbers(0, 10_000)),
        shake_days=draw(some(st.integers(0, 1000))),
        look_days=draw(some(st.integers(0, 1000))),
        cook=chosen("cooks"),
        preparations=draw(
            st.lists(preparations, max_size=2, unique_by=lambda p: p.task.casefold()).map(tuple)
        ),
        weekdays=draw(weekday_lists),
        minimum_batch=draw(st.integers(1, 100_000)),
        yield_g=draw(numbers(0, 1_000_000)),
        yield_spread=draw(numbers(0, 5)),
        flushes=draw(some(flushes)),
        pick_minutes_per_kg=draw(numbers(0, 10_000)),
        climate=chosen("climates"),
        supplier=draw(texts()),
        supplier_days=draw(st.integers(0, 1000)),
        delivery_weekdays=draw(weekday_lists),
        price_cents=draw(st.integers(0, 10_000_000)),
        days_by_month=draw(st.sampled_from([(), SUMMER_LOW])),
    )


def _codes(draw: Any, least: int = 0, most: int = 3) -> list[str]:
    return draw(st.lists(codes, unique=True, min_size=least, max_size=most))


@st.composite
def books(draw: Any) -> FarmBook:
    """Draw a farm whose codes all name something and whose keys are unique."""
    shelf_codes = _codes(draw, 1)
    climates = draw(st.lists(texts(1, 20), unique=True, max_size=2))
    room_codes = _codes(draw, 1)
    rooms = tuple(
        Room(
            code,
            draw(texts(1)),
            draw(st.sampled_from(RoomKind)),
            draw(numbers(-30, 60)),
            tuple(Shelf(c, draw(st.integers(0, 1_000_000))) for c in shelf_codes)
            if index == 0
            else (),
            tuple(climates) if index == 0 else (),
        )
        for index, code in enumerate(room_codes)
    )
    cook_codes = _codes(draw)
    sterilisers = tuple(
        Steriliser(
            code,
            draw(texts(1)),
            room_codes[0],
            tuple(
                CookKind(
                    c,
                    draw(numbers(0, 24)),
                    draw(st.integers(0, 1440)),
                    draw(st.integers(0, 2880)),
                    draw(numbers(0, 100_000)),
                    draw(st.sampled_from(["", "f0=15", "hold=70C/120"])),
                    draw(st.none() | st.integers(0, 365)),
                )
                for c in cook_codes
            ),
            draw(numbers(0, 24)),
            draw(st.integers(0, 48)),
            draw(numbers(0, 10)),
            draw(clocks),
        )
        for code in _codes(draw, 1, 2)
    )
    vessels = tuple(
        Vessel(c, draw(texts(1)), draw(numbers(0, 10_000)), draw(st.none() | st.integers(0, 10**7)))
        for c in _codes(draw)
    )
    world = {"vessels": [v.code for v in vessels], "cooks": cook_codes, "climates": climates}
    routes = []
    for code in _codes(draw, 1, 2):
        steps = _codes(draw, 1)
        routes.append(
            Route(
                code,
                tuple(draw(step_of(step, steps, world)) for step in steps),
                draw(st.integers(0, 100)),
                draw(st.integers(0, 1000)),
                draw(texts()),
            )
        )
    varieties = tuple(
        Variety(
            c,
            draw(texts(1)),
            draw(texts(1)),
            (route := draw(st.sampled_from(routes))).code,
            draw(st.sampled_from(["picked", *(s.code for s in route.steps)])),
            draw(numbers(0, 60)),
            draw(numbers(0, 0.95)),
            draw(st.integers(0, 10_000_000)),
            draw(texts(0, 40)),
            draw(st.sampled_from([(), SUMMER_LOW])),
        )
        for c in _codes(draw, 1)
    )
    by_code = {route.code: route for route in routes}
    steps_of = {v.code: [s.code for s in by_code[v.route].steps] for v in varieties}
    cultures = tuple(
        Culture(
            c,
            draw(st.sampled_from(list(steps_of))),
            draw(texts(1)),
            draw(st.none() | st.dates(date(1950, 1, 1), date(2099, 1, 1))),
            draw(st.booleans()),
            draw(texts()),
        )
        for c in _codes(draw)
    )
    buyers = tuple(Buyer(c, draw(texts(1)), draw(st.just("") | clocks)) for c in _codes(draw, 1))
    workers = _workers(draw)
    benches = tuple(
        Bench(c, draw(texts(1)), room_codes[0], draw(st.integers(0, 1440))) for c in _codes(draw)
    )
    out = {
        OutageOf.STERILISER: [each.code for each in sterilisers],
        OutageOf.PERSON: [each.code for each in workers],
        OutageOf.BENCH: [each.code for each in benches],
        OutageOf.ROOM: room_codes,
    }
    instruments = tuple(_instrument(draw, c) for c in _codes(draw))
    done_at = {
        ChoreAt.ROOM: room_codes,
        ChoreAt.BENCH: [each.code for each in benches],
        ChoreAt.STERILISER: [each.code for each in sterilisers],
        ChoreAt.INSTRUMENT: [each.code for each in instruments],
        ChoreAt.FARM: [""],
    }
    kinds = {each.code: [kind.code for kind in each.cooks] for each in sterilisers}
    return FarmBook(
        farm=draw(farms()),
        rooms=rooms,
        sterilisers=sterilisers,
        benches=benches,
        workers=workers,
        vessels=vessels,
        routes=tuple(routes),
        varieties=varieties,
        cultures=cultures,
        buyers=buyers,
        promises=tuple(_promise(draw, c, buyers, steps_of) for c in _codes(draw)),
        lots=_told_apart(
            tuple(
                _lot(draw, n, steps_of, cultures, shelf_codes)
                for n in range(draw(st.integers(0, 3)))
            )
        ),
        instruments=instruments,
        outages=tuple(_outage(draw, c, out) for c in _codes(draw)),
        pins=tuple(_pin(draw, c, steps_of, kinds) for c in _codes(draw)),
        outlets=tuple(_outlet(draw, c, buyers, list(steps_of)) for c in _codes(draw)),
        labels=tuple(_layout(draw, c) for c in _codes(draw)),
        upkeep=draw(chores(_codes(draw), done_at, [each.code for each in workers])),
        instructions=draw(instructions(texts(1))),
    )


def _layout(draw: Any, code: str) -> LabelLayout:
    """Paper cut to its labels, with margins and gaps of its own."""
    wide, high = draw(st.floats(25, 60)), draw(st.floats(14.5, 60))
    columns, rows = draw(st.integers(1, 4)), draw(st.integers(1, 5))
    left, top, across, down = draw(st.tuples(*[st.floats(0, 20)] * 4))
    return LabelLayout(
        code,
        2 * left + columns * wide + (columns - 1) * across,
        2 * top + rows * high + (rows - 1) * down,
        wide,
        high,
        columns,
        rows,
        left,
        top,
        across,
        down,
        draw(st.booleans()),
        draw(texts()),
    )


def _outlet(draw: Any, code: str, buyers: tuple[Buyer, ...], varieties: list[str]) -> Outlet:
    kind = draw(st.sampled_from(list(OutletKind)))
    is_drying = kind is OutletKind.DRYING
    price = st.integers(0, 10_000_000)
    least, most = sorted(draw(st.tuples(st.integers(0, 10**7), st.integers(0, 10**7))))
    first, last = sorted(draw(st.tuples(days, days)))
    return Outlet(
        code,
        draw(texts(1)),
        kind,
        tuple(draw(st.lists(st.sampled_from(list(Weekday)), unique=True, max_size=3))),
        tuple(draw(st.lists(st.sampled_from(varieties), unique=True, max_size=2))),
        draw(price if is_drying else st.none() | price),
        least,
        draw(st.sampled_from([None, most])),
        draw(st.just("") | clocks),
        draw(st.sampled_from(["", *(buyer.code for buyer in buyers)])),
        draw(st.sampled_from([None, first])),
        draw(st.sampled_from([None, last])),
        draw(numbers(1, 50)) if is_drying else None,
        draw(texts(0, 200)),
        draw(texts()),
    )


def _pin(draw: Any, code: str, steps_of: dict[str, list[str]], kinds: dict[str, list[str]]) -> Pin:
    cooks = [each for each in kinds if kinds[each]]
    if cooks and draw(st.booleans()):
        steriliser = draw(st.sampled_from(cooks))
        kind = draw(st.sampled_from(kinds[steriliser]))
        count = draw(st.integers(0, 9))
        return Pin(code, "", kind, draw(days), count, draw(texts()), steriliser)
    variety = draw(st.sampled_from(list(steps_of)))
    step = draw(st.sampled_from(steps_of[variety]))
    return Pin(code, variety, step, draw(days), draw(st.integers(0, 1_000_000)), draw(texts()))


def _workers(draw: Any) -> tuple[Worker, ...]:
    return tuple(
        Worker(
            c,
            draw(texts(1)),
            tuple(draw(st.tuples(*[hours_of_a_day] * 7))),
            draw(st.booleans()),
            draw(st.sampled_from(["worker", "owner"])),
        )
        for c in _codes(draw)
    )


def _outage(draw: Any, code: str, out: dict[OutageOf, list[str]]) -> Outage:
    what = draw(st.sampled_from([kind for kind, codes in out.items() if codes]))
    first, last = sorted(draw(st.tuples(days, days)))
    return Outage(code, what, draw(st.sampled_from(out[what])), first, last, draw(texts()))


def _told_apart(lots: tuple[StandingLot, ...]) -> tuple[StandingLot, ...]:
    """Leave out a lot without a code that says the same as another: a file can't tell the two."""
    said = [replace(lot, code="") for lot in lots]
    return tuple(
        lot for lot, bare in zip(lots, said, strict=True) if lot.code or said.count(bare) == 1
    )


def _instrument(draw: Any, code: str) -> Instrument:
    return Instrument(
        code,
        draw(texts(1)),
        draw(st.sampled_from(InstrumentKind)),
        draw(texts()),
        draw(st.none() | numbers(0, 5)),
        draw(st.none() | st.dates(date(2000, 1, 1), date(2025, 12, 31))),
        draw(texts()),
        draw(st.integers(1, 3650)),
    )


def _promise(
    draw: Any, code: str, buyers: tuple[Buyer, ...], steps_of: dict[str, list[str]]
) -> Promise:
    weekly = draw(st.booleans())
    in_units = draw(st.booleans())
    first, last = sorted(draw(st.tuples(days, days)))
    variety = draw(st.sampled_from(list(steps_of)))
    return Promise(
        code,
        draw(st.sampled_from(buyers)).code,
        variety,
        draw(st.integers(1, 1_000_000)),
        "unit" if in_units else "gram",
        draw(st.sampled_from(["picked", *steps_of[variety]])),
        draw(st.sampled_from(Weekday)) if weekly else None,
        draw(st.none() | st.just(first)),
        draw(st.none() | st.just(last)),
        None if weekly else draw(days),
        draw(st.integers(0, 10_000_000)),
    )


def _lot(
    draw: Any,
    number: int,
    steps_of: dict[str, list[str]],
    cultures: tuple[Culture, ...],
    shelves: list[str],
) -> StandingLot:
    made_on, opened_on, in_room_since = sorted(draw(st.tuples(days, days, days)))
    variety = draw(st.sampled_from(list(steps_of)))
    count = draw(st.integers(1, 500_000))
    return StandingLot(
        variety,
        draw(st.sampled_from(steps_of[variety])),
        count,
        made_on,
        draw(st.sampled_from(shelves)),
        draw(st.sampled_from(["", *(culture.code for culture in cultures)])),
        encode(draw(st.integers(0, 100_000)) * 10 + number)
        if draw(st.booleans()) or number
        else "",
        draw(st.none() | st.integers(count, 1_000_000)),
        draw(st.integers(0, 100)),
        draw(st.integers(0, 1000)),
        draw(st.none() | st.just(opened_on)),
        draw(texts()),
        draw(st.none() | st.just(in_room_since)),
        draw(st.integers(0, 100_000_000)),
        draw(texts()),
        draw(st.none() | st.just(in_room_since)),
    )
