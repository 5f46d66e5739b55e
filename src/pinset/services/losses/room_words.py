"""Words for counts of grow rooms: what was counted last, what is usual, where it is going."""

from __future__ import annotations

from pinset.learning.charts.own_usual import FEWEST
from pinset.learning.charts.trends import Direction
from pinset.learning.losses.rooms import ON_TRAPS, TREND_DAYS, RoomChart
from pinset.services.losses.words import day_words
from pinset.services.words import plural
from pinset.tables.signs import sign

_FEW = 0.01  # flies per trap and day that are no longer told apart
_SMALL = 0.001  # share
_SAME = 0.05  # so little a change a week is no more than rounding
_TEN = 10.0


def name_of(key: str) -> str:
    """Return what is counted, by the key of its sign."""
    return "flies on traps" if key == ON_TRAPS else f"{sign(key).name} on what fruits"


def count_name(chart: RoomChart) -> str:
    """Return what one count of a chart is: a count of traps, or a week of looks."""
    return "count" if chart.sign == ON_TRAPS else "week"


def number(value: float) -> str:
    """Return a number with two figures.

    Examples
    --------
    >>> number(0.4567), number(3.0), number(12.3), number(1234.0)
    ('0.46', '3', '12', '1,234')
    """
    return f"{value:.2g}" if value < _TEN else f"{value:,.0f}"


def amount(chart: RoomChart, value: float) -> str:
    """Return flies per trap and day, or a share in per cent."""
    if chart.sign == ON_TRAPS:
        return f"under {_FEW}" if 0.0 < value < _FEW else number(value)
    return f"under {100.0 * _SMALL:g} %" if 0.0 < value < _SMALL else f"{number(100.0 * value)} %"


def times(ratio: float) -> str:
    """Return how many times, as growers say it."""
    return "over 100 times" if ratio > 100.0 else f"{number(ratio)} times"  # noqa: PLR2004


def years(value: float) -> str:
    """Return a time in years, or in months where it is under two years."""
    if value < 2.0:  # noqa: PLR2004
        return plural(max(1, round(12.0 * value)), "month")
    return plural(round(value), "year")


def last_words(chart: RoomChart, zone: str) -> str:
    """Return what was counted last."""
    day = day_words(chart.last_at, zone)
    if not chart.points:
        return f"Last counted on {day}"
    last = chart.points[-1]
    if chart.sign == ON_TRAPS:
        flies = "1 fly" if last.found == 1 else f"{last.found:,} flies"
        return f"{flies} on {day}, {amount(chart, last.value)} per trap and day"
    return (
        f"{last.found} of {plural(int(last.of), 'unit')} looked at in the week of {day} newly "
        "showed it"
    )


def none_words(chart: RoomChart, zone: str) -> str:
    """Return that nothing was ever found, and how much may be there all the same."""
    most = f", with 95 % certainty under {amount(chart, chart.usual.high)}" if chart.usual else ""
    return (
        f"None in {plural(chart.counts, count_name(chart))} since "
        f"{day_words(chart.first_at, zone)}{most}"
    )


def too_few_words(chart: RoomChart) -> str:
    """Return that it is not known yet what is usual."""
    name = count_name(chart)
    return (
        f"Too few {name}s yet ({chart.counts}) to know what is usual here: the first {FEWEST} only "
        f"teach it"
    )


def trend_words(chart: RoomChart) -> str:
    """Return whether counts rise, with how sure that is."""
    found = chart.trend
    weeks = TREND_DAYS // 7
    if found is None:
        return f"Too few {count_name(chart)}s within {weeks} weeks for a trend."
    counts = plural(found.counts, count_name(chart))
    if not chart.trend_found:
        return f"None in the last {counts}."
    ends = f"{found.low:.2g} to {found.high:.2g}"
    by = f"by {counts}"
    if chart.sign == ON_TRAPS:
        by += f" in {plural(round(found.days / 7.0), 'week')}"
    if found.direction is Direction.UNCERTAIN:
        return (
            f"Whether it rises or falls cannot be told yet: {ends} times from week to week all go "
            f"with what was counted ({by})."
        )
    is_same = found.direction is Direction.STEADY and abs(found.times_a_week - 1.0) < _SAME
    weekly = "about the same" if is_same else f"{found.times_a_week:.2g} times"
    return (
        f"{found.direction.value.capitalize()}: {weekly} from week to week ({ends} times with 95 % "
        f"certainty, {by})."
    )
