"""Cooks as jobs: what each load holds, when it is loaded, when it may be opened."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date, datetime, timedelta
from math import floor

from pinset.chain.day_hours import clock_minute
from pinset.chain.in_use import loaded_on
from pinset.chain.lime import is_lime, read_lime
from pinset.chain.register import CookKind, RoomKind, Steriliser
from pinset.chain.stages import Stage
from pinset.chain.who_is_here import here_on
from pinset.planning.plan import PlannedCook, Start
from pinset.science.judging.cook_rules import read_rule, rule_in_words
from pinset.services.book_reader import Reader
from pinset.services.day.hours_left import HoursLeft, loading_minutes
from pinset.services.jobs.batches_said import batches_in
from pinset.services.jobs.preparing import clock_moment, stake_of, why_cook
from pinset.services.jobs.records import JobKind, LotAmount, PlannedJob
from pinset.services.loads.cooling import cooling_of
from pinset.services.loads.in_reach import InReach
from pinset.services.loads.loads_in_time import MIDNIGHT, Load, fitting, in_time
from pinset.services.loads.opening_hour import Opening, opening_of_cook
from pinset.services.words import joined, minutes_in_words

LOADING = ("pressure", "steam")
OPENING = ("pressure", "steam", "hot-agar", "hot-glass")
WHOLE = HoursLeft()
NEARLY_WHOLE = 1e-3  # of a vessel
LITRES_PER_KG = 1.6
"""Room of a filled vessel where none is described; common practice, no source."""


def loads_of(
    cooks: Sequence[PlannedCook],
    wanting: Sequence[Start],
    reader: Reader,
    left: HoursLeft = WHOLE,
    in_reach: InReach | None = None,
) -> tuple[Load, ...]:
    """Return the loads of the planned cooks, filled with the starts they serve, soonest first.

    A start is served by the first cook of its kind whose vessels are open and cool by its day and
    still keep on it; what does not fit goes into the next, and the last takes what is left. Of
    vessels that are counted a load is filled with no more than the plan has empty for it. Loads
    for which nothing is wanted are left out. Cooks of one steriliser follow each other; ``left``
    says from when on it is free today. A load too soon for new vessels of a mix takes what is begun
    of it (``in_reach``): the rest goes into the next.
    """
    loads = _empty_loads(cooks, reader, left)
    litres = {vessel.code: vessel.litres for vessel in reader.book.vessels}
    for start in sorted(wanting, key=lambda each: each.day):
        step = reader.step(start.variety, start.step)
        if not step.cook:
            continue
        each = litres.get(step.vessel, step.fill_g * LITRES_PER_KG / 1000.0) or 1.0
        found = fitting(loads, start, reader)
        wanted = round(start.count)
        for load in found:
            room = min(load.litres_left, load.filled.get(step.vessel, load.litres_left))
            most = floor(room / each + NEARLY_WHOLE)
            units = wanted if load is found[-1] else min(wanted, most)
            if in_reach is not None and units > 0:
                units = in_reach.take(step, load.day, units)
            if units > 0:
                load.starts.append(replace(start, count=units))
                load.litres_left -= units * each
                if step.vessel in load.filled:
                    load.filled[step.vessel] -= units * each
                wanted -= units
    filled = in_time([load for load in loads if load.starts], reader)
    set_hours(filled, reader, left, {})
    return filled


def set_hours(
    loads: Sequence[Load], reader: Reader, left: HoursLeft, not_before: Mapping[str, int]
) -> None:
    """Give each load its hour: one after the other, today from when the steriliser is free.

    None between two times at which somebody is here, unless somebody comes to the steriliser then.
    ``not_before`` gives for a steriliser the minute of today before which its vessels are not
    filled: its first load waits until then.
    """
    free: dict[tuple[date, str], datetime] = {}
    for load in loads:
        code = load.steriliser.code
        first = clock_moment(load.steriliser.load_at)
        if load.day == reader.today and code in left.sterilisers:
            own = left.sterilisers[code].free_from
            minute = max(own, not_before.get(code, 0))
            first = MIDNIGHT + timedelta(minutes=minute)
            load.waits = minute > own and (load.day, code) not in free
        load.at = _when_somebody_is_here(free.get((load.day, code), first), load, reader)
        free[load.day, code] = load.at + timedelta(hours=load.kind.hours)


def _when_somebody_is_here(at: datetime, load: Load, reader: Reader) -> datetime:
    minute = round((at - MIDNIGHT).total_seconds() / 60)
    until = load.steriliser.opened_until
    if until and minute <= clock_minute(until):
        return at
    return at + timedelta(minutes=here_on(reader.book, load.day).after_gap(minute) - minute)


def too_late(loads: Sequence[Load], today: date, left: HoursLeft) -> frozenset[str]:
    """Return the sterilisers with a load that no longer fits into today's hours."""
    found: set[str] = set()
    seen: set[str] = set()
    for load in loads:
        code = load.steriliser.code
        own = left.sterilisers.get(code)
        if load.day != today or own is None or left.since is None:
            continue
        begin = round((load.at - MIDNIGHT).total_seconds() / 60)
        follows = code in seen or (own.loads > 0 and begin == own.free_from)
        if not own.fits(load.kind, begin, follows=follows):
            found.add(code)
        seen.add(code)
    return frozenset(found)


def late_loads(loads: Sequence[Load], reader: Reader, left: HoursLeft) -> frozenset[str]:
    """Return the sterilisers of which a load that waits for its vessels is not done within today.

    In the morning: everybody is still to come, and the day's whole hours are there.
    """
    book, today = reader.book, reader.today
    here = here_on(book, today)
    found, seen, waits = set[str](), set[str](), set[str]()
    for load in (each for each in loads if each.day == today):
        code = load.steriliser.code
        own = left.sterilisers.get(code)
        if own is None:
            continue
        waits |= {code} if load.waits else set()
        begin = round((load.at - MIDNIGHT).total_seconds() / 60)
        whole = replace(own, here=here)
        if code in waits and not whole.fits(load.kind, begin, follows=code in seen):
            found.add(code)
        seen.add(code)
    return frozenset(found)


def _empty_loads(cooks: Sequence[PlannedCook], reader: Reader, left: HoursLeft) -> list[Load]:
    sterilisers = {steriliser.code: steriliser for steriliser in reader.book.sterilisers}
    loads = []
    for cook in sorted(cooks, key=lambda each: each.day):
        steriliser = sterilisers.get(cook.steriliser)
        kinds = steriliser.cooks if steriliser else ()
        kind = next((each for each in kinds if each.code == cook.kind), None)
        times = round(cook.cooks)
        if steriliser is None or kind is None or times < 1:
            continue
        steriliser = loaded_on(reader.book, steriliser, cook.day) or steriliser
        today = left.sterilisers.get(cook.steriliser) if cook.day == reader.today else None
        done = today.finished[kind.code] if today else 0
        filled = {each.vessel: each.litres for each in cook.filled}
        loads += [
            Load(
                cook.day, steriliser, kind, done + number, done + times, kind.litres, filled=filled
            )
            for number in range(times)
        ]
    return loads


def own_hold(minutes: float) -> str:
    """Return the farm's own figure of a hold in minutes, as the job of its load says it."""
    return f"Hold {minutes_in_words(minutes)}: the farm's own figure."


def cook_jobs(load: Load, reader: Reader) -> tuple[PlannedJob, ...]:
    """Return the loading and the opening of one cook, both at hours that do not move.

    Where nobody is there at the end of the cook, the opening is for the first hour after it at
    which somebody is: after days off it stands on the day of that hour.
    """
    steriliser, kind, fed = load.steriliser, load.kind, load.starts
    count = sum(round(start.count) for start in fed)
    feeds: dict[tuple[str, str], int] = defaultdict(int)
    for start in fed:
        feeds[reader.varieties[start.variety].route, start.step] += round(start.count)
    what = f"{kind.code} vessels into {steriliser.name}"
    batches = joined(batches_in(fed, reader))
    shared = {
        "count": count,
        "unit": "units",
        "stage": Stage.PREPARED.value,
        "step": fed[0].step,
        "room_kind": RoomKind.STERILISER.value,
        "place": steriliser.name,
        "steriliser": steriliser.code,
        "cook_kind": kind.code,
        "for_day": fed[0].day,
        "feeds": tuple(LotAmount("", units, step, route) for (route, step), units in feeds.items()),
    }
    at = load.at
    opening = _opens(load, reader)
    stake = stake_of(fed, load.day, reader)
    cooling = cooling_of(fed, kind, reader)
    unload = "open, unload and set out to cool" if cooling.hours else "open and unload"
    suffix = f":{load.number + 1}" if load.of > 1 else ""
    part = f", cook {load.number + 1} of {load.of}" if load.of > 1 else ""
    loading = PlannedJob(
        key=f"cook:{steriliser.code}:{kind.code}:{load.day}{suffix}",
        kind=JobKind.COOK,
        task="load",
        what=what + part,
        detail=f"{own_hold(kind.hold_minutes)}{_asked(kind)} {batches}"
        f"{_waits(load)}{_earlier(load, reader)}",
        minutes=loading_minutes(kind),
        day=load.day,
        fixed_at=_clock_words(at),
        due=_clock_words(at),
        why=why_cook(fed, reader),
        serves=stake.serves,
        slack_days=stake.slack_days,
        stake=stake.words,
        cautions=_cook_cautions(steriliser, kind),
        **shared,  # type: ignore[arg-type]
    )
    unloading = PlannedJob(
        key=f"open:{steriliser.code}:{kind.code}:{load.day}{suffix}",
        kind=JobKind.OPEN,
        task="open",
        what=f"vessels in {steriliser.name}: {unload}{part}",
        detail="Liquids only below 80 °C" if kind.code in {"agar", "liquid"} else "",
        minutes=max(5, round(kind.hands_minutes / 3 + cooling.minutes)),
        day=opening.day,
        cool_hours=cooling.hours,
        why="The cook must have ended and cooled before the door is opened.",
        cautions=("lime",) if is_lime(kind.rule) else OPENING,
        **shared,  # type: ignore[arg-type]
    )
    sucks = opening.told_by(loading).cautions
    return replace(loading, cautions=sucks), opening.given_to(unloading)


def _asked(kind: CookKind) -> str:
    if is_lime(kind.rule):
        return f" Asked for: {read_lime(kind.rule).words}; no heat is reckoned."
    return f" A core is to reach {rule_in_words(read_rule(kind.rule))}." if kind.rule else ""


def _waits(load: Load) -> str:
    """Return in words that it is loaded later than at its hour."""
    return f"; not at {load.steriliser.load_at}: filling takes until then" if load.waits else ""


def _cook_cautions(steriliser: Steriliser, kind: CookKind) -> tuple[str, ...]:
    if is_lime(kind.rule):
        return ("lime",)
    if steriliser.rating_bar_gauge > 0:
        return LOADING
    return ("steam", "carbon-monoxide")


def _earlier(load: Load, reader: Reader) -> str:
    """Return in words that it is loaded sooner than at its hour, while somebody is here."""
    own = load.steriliser
    usual = next((s.load_at for s in reader.book.sterilisers if s.code == own.code), own.load_at)
    if own.load_at == usual or load.at >= clock_moment(usual):
        return ""
    return f"; sooner than {usual}, while somebody is here"


def _opens(load: Load, reader: Reader) -> Opening:
    """Return when it is opened; its own hours are counted on the day that stands for its day."""
    shift = datetime.combine(load.day, MIDNIGHT.time()) - MIDNIGHT
    ended = load.at + timedelta(hours=load.kind.hours) + shift
    return opening_of_cook(reader.book, load.steriliser.code, load.day, ended)


def _clock_words(moment: datetime) -> str:
    """Return the clock time, saying so where it falls on the next day."""
    text = f"{moment.hour:02}:{moment.minute:02}"
    return text if moment.day == 1 else f"{text} next day"
