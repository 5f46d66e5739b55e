"""Grow rooms in words: what was counted against what is usual, its trend, and every alarm."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from pinset.chain.register import FarmBook, RoomKind
from pinset.learning.losses.rooms import FALSE_A_YEAR, ON_TRAPS, RoomAlarm, RoomChart, RoomPoint
from pinset.services.losses import room_words as words
from pinset.services.losses.room_advice import ADVICE, FOLLOWED, cautions_of
from pinset.services.losses.words import day_words
from pinset.services.words import first_upper, joined, plural, sentences
from pinset.tables.signs import sign

STALE_DAYS = 28
"""After so many days without a count it is said that nothing is known since; our own choice."""


@dataclass(frozen=True, slots=True)
class RoomAlarmLine:
    """An alarm of a room."""

    day: str  # of the count that raised it
    sentence: str
    often: str
    to_do: str
    goes_on: bool


@dataclass(frozen=True, slots=True)
class RoomChartLine:
    """One thing that is counted in a room."""

    sign: str  # key of the table of signs; empty: flies on traps
    name: str
    sentence: str
    trend_sentence: str
    alarm: RoomAlarmLine | None
    is_share: bool
    usual: float | None  # flies per trap and day, or share of units
    usual_low: float | None
    usual_high: float | None
    trend: str  # rising, steady, falling, uncertain; empty: too few counts, or too old
    times_a_week: float | None
    counts: int
    counts_between: float  # false alarms on a quiet farm, at least
    points: tuple[RoomPoint, ...]


@dataclass(frozen=True, slots=True)
class RoomLine:
    """One room."""

    room: str
    name: str
    charts: tuple[RoomChartLine, ...]  # those with an alarm first
    not_seen: str
    cautions: tuple[str, ...]


def room_lines(charts: Sequence[RoomChart], book: FarmBook, now: datetime) -> tuple[RoomLine, ...]:
    """Return the rooms in which anything was counted, those with an alarm that goes on first."""
    found = []
    for room in book.rooms:
        own = [each for each in charts if each.room == room.code]
        if not own:
            continue
        lines = [_line(each, charts, book, now) for each in own]
        lines.sort(key=lambda line: _rank(line.alarm))
        raised = [each for each in lines if each.alarm]
        cautions = [said for each in raised for said in cautions_of(ADVICE[each.sign])]
        found.append(
            RoomLine(
                room=room.code,
                name=room.name,
                charts=tuple(lines),
                not_seen=_not_seen(own) if room.kind is RoomKind.GROWING else "",
                cautions=tuple(dict.fromkeys(cautions)),
            )
        )
    return tuple(sorted(found, key=lambda line: _rank(line.charts[0].alarm)))


def rooms_sentence(rooms: Sequence[RoomLine]) -> str:
    """Return in which rooms an alarm goes on; empty: in none."""
    parts = [
        f"{room.name} ({joined([each.name for each in room.charts if _rank(each.alarm) == 0])})"
        for room in rooms
        if _rank(room.charts[0].alarm) == 0
    ]
    return f"More than usual in {joined(parts)}." if parts else ""


def _rank(alarm: RoomAlarmLine | None) -> int:
    if alarm is None:
        return 2
    return 0 if alarm.goes_on else 1


def _line(
    chart: RoomChart, everything: Sequence[RoomChart], book: FarmBook, now: datetime
) -> RoomChartLine:
    zone = book.farm.time_zone
    is_share = chart.sign != ON_TRAPS
    is_stale = now - chart.last_at > timedelta(days=STALE_DAYS)
    trend = None if is_stale else chart.trend
    usual = chart.usual
    return RoomChartLine(
        sign=chart.sign,
        name=words.name_of(chart.sign),
        sentence=_sentence(chart, everything, book, is_stale=is_stale),
        trend_sentence="" if is_stale else words.trend_words(chart),
        alarm=_alarm(chart, chart.alarm, zone, is_stale=is_stale) if chart.alarm else None,
        is_share=is_share,
        usual=usual.value if usual else None,
        usual_low=usual.low if usual else None,
        usual_high=usual.high if usual else None,
        trend=trend.direction.value if trend and chart.trend_found else "",
        times_a_week=trend.times_a_week if trend and chart.trend_found else None,
        counts=chart.counts,
        counts_between=chart.between,
        points=chart.points,
    )


def _sentence(
    chart: RoomChart, everything: Sequence[RoomChart], book: FarmBook, *, is_stale: bool
) -> str:
    zone = book.farm.time_zone
    parts = [words.last_words(chart, zone)]
    usual = chart.usual
    if chart.found == 0 and usual is not None:
        parts.append(words.none_words(chart, zone))
    elif usual is not None:
        ends = f"{words.amount(chart, usual.low)} to {words.amount(chart, usual.high)}"
        parts.append(
            f"Usual here: {words.amount(chart, usual.value)} ({ends} with 95 % certainty, from "
            f"{plural(usual.counts, words.count_name(chart))})"
        )
    else:
        parts += [words.too_few_words(chart), _elsewhere(chart, everything, book)]
    if is_stale:
        parts.append(f"Nothing is known since {day_words(chart.last_at, zone)}")
    if chart.left_out:
        parts.append(
            f"{plural(chart.left_out, 'count')} without the days since the last one "
            f"{'is' if chart.left_out == 1 else 'are'} left out"
        )
    return sentences(parts)


def _elsewhere(chart: RoomChart, everything: Sequence[RoomChart], book: FarmBook) -> str:
    """Return what is usual of the same thing in other rooms, where it is known."""
    names = {room.code: room.name for room in book.rooms}
    known = [
        f"{words.amount(chart, each.usual.value)} in {names.get(each.room, each.room)}"
        for each in everything
        if each.sign == chart.sign and each.room != chart.room and each.usual
    ]
    return f"Usual elsewhere: {joined(known)}" if known else ""


def _alarm(chart: RoomChart, alarm: RoomAlarm, zone: str, *, is_stale: bool) -> RoomAlarmLine:
    value = alarm.found / alarm.of
    what = "flies" if chart.sign == ON_TRAPS else f"of {alarm.of:,.0f} units looked at"
    per = " per trap and day" if chart.sign == ON_TRAPS else ""
    counts = plural(alarm.counts, words.count_name(chart))
    times = f", {words.times(value / alarm.usual)} as many" if alarm.usual > 0.0 else ""
    ending = _ending(alarm, zone, is_stale=is_stale)
    kind = "all traps" if chart.sign == ON_TRAPS else "all signs in all grow rooms"
    return RoomAlarmLine(
        day=day_words(alarm.at, zone),
        sentence=f"More than usual since {day_words(alarm.since, zone)}: {alarm.found} {what} in "
        f"{counts}, {words.amount(chart, value)}{per} where {words.amount(chart, alarm.usual)} was "
        f"usual{times}. {ending}",
        often=f"On a quiet farm such an alarm comes no more often than once in about "
        f"{chart.between:,.0f} {words.count_name(chart)}s of this room, some "
        f"{words.years(chart.between / chart.a_year)}; from {kind} together no more than "
        f"{FALSE_A_YEAR:g} a year. That is chance alone: swings with the season come on top.",
        to_do=ADVICE[chart.sign].to_do,
        goes_on=alarm.goes_on,
    )


def _ending(alarm: RoomAlarm, zone: str, *, is_stale: bool) -> str:
    until = day_words(alarm.until, zone)
    if not alarm.goes_on:
        return f"It was over after {until}."
    return f"Last counted on {until}: count again." if is_stale else "It goes on."


def _not_seen(own: Sequence[RoomChart]) -> str:
    """Return which signs nobody saw; empty where nobody looked, or all were seen."""
    seen = {each.sign for each in own}
    if seen <= {ON_TRAPS}:
        return ""
    missing = [sign(each).name for each in FOLLOWED if each not in seen]
    return first_upper(f"not seen at any look: {joined(missing)}.") if missing else ""
