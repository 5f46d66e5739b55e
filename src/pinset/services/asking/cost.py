"""What a promise takes, in words: a small difference is rounding and is about nothing."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from pinset.chain.stages import noun_of
from pinset.planning.ask.costs import Cost
from pinset.services.asking.promise_asked import Question
from pinset.services.asking.view import CostRow, Numbers
from pinset.services.book_reader import Reader
from pinset.services.words import first_upper, kilograms, minutes_in_words, plural

NOTHING = "about nothing"
HOUR = 60.0
GRAMS = 1000.0
CENTS = 100.0
TEN = 10.0
LEAST_SAID = 0.05


@dataclass(frozen=True, slots=True)
class _Scale:
    """How much of something is worth saying, over all the days that are judged."""

    more: float  # a difference below it is rounding
    less: float  # a saving below it, too: two plans of one farm never agree to the last unit
    say: Callable[[float], str]


def _count(value: float) -> str:
    if value < LEAST_SAID:
        return "less than 0.1"
    return f"{value:.1f}" if value < TEN else f"{value:,.0f}"


HOURS = _Scale(0.25, 2.0, lambda hours: minutes_in_words(HOUR * hours))
COOKS = _Scale(0.1, 1.0, _count)
PLACES = _Scale(0.5, 5.0, lambda places: f"{places:,.0f}")
UNITS = _Scale(0.5, 5.0, _count)


def cost_rows(cost: Cost, question: Question, reader: Reader) -> tuple[CostRow, ...]:
    """Return what it takes; a week only for a promise of every week."""
    weeks = cost.weeks if question.weekday is not None else 0.0
    farm = reader.book.farm
    weight = _Scale(1.0, 20.0, lambda kg: kilograms(kg * GRAMS, farm.units))
    money = _Scale(0.5, 5.0, lambda value: f"{farm.currency} {value:,.2f}")
    rows = [
        _row("At the clean bench", cost.bench_hours, weeks, HOURS),
        _row("By hand, with picking", cost.hands_hours, weeks, HOURS),
        _row("Cooks", cost.cooks, weeks, COOKS),
        _row("Substrate and grain, wet", cost.substrate_kg, weeks, weight),
        _row("Grow-room places at the most", cost.room_places, 0.0, PLACES),
    ]
    if cost.bought_cents:
        rows.append(_row("Spawn bought", cost.bought_cents / CENTS, weeks, money))
    own = [each for each in cost.started if each[0].split(" ")[0] == question.variety]
    others = [each for each in cost.started if each not in own and abs(each[1]) >= UNITS.less]
    return (*rows, *(_units(each, weeks, reader) for each in (*own, *others)))


def _row(what: str, value: float, weeks: float, scale: _Scale) -> CostRow:
    if -scale.less < value < scale.more:
        return CostRow(what, "", NOTHING)
    a_week = _signed(value / weeks, scale) if weeks else ""
    return CostRow(what, a_week, _signed(value, scale))


def _signed(value: float, scale: _Scale) -> str:
    said = scale.say(abs(value))
    return f"{said} less" if value < 0.0 else said


def _units(started: tuple[str, float], weeks: float, reader: Reader) -> CostRow:
    """Return how many more units of a variety's step are begun."""
    words, count = started
    variety, _, code = words.partition(" ")
    step = reader.step(variety, code)
    noun = noun_of(step.stage, 2, is_bought=reader.is_bought(variety, code))
    of_step = f" ({code})" if code != step.stage.value else ""
    return _row(f"{reader.name(variety)}: {noun}{of_step} begun", count, weeks, UNITS)


def weekdays_cost(cost: Cost) -> tuple[str, ...]:
    """Return what other weekdays save or take, over all the days judged; nothing of trifles."""
    said = [
        ("at the clean bench", cost.bench_hours, HOURS),
        ("by hand, with picking", cost.hands_hours, HOURS),
        ("cooks", cost.cooks, COOKS),
    ]
    over = plural(max(1, round(cost.weeks)), "week")
    return tuple(
        f"{scale.say(abs(value))} {'less' if value < 0.0 else 'more'} {what} in {over}"
        for what, value, scale in said
        if not -scale.more < value < scale.more
    )


def cost_note(cost: Cost) -> str:
    """Return over which days it is counted."""
    weeks = plural(max(1, round(cost.weeks)), "week")
    return first_upper(
        f"counted over the next {weeks}, beyond what the farm does anyway, with all that is begun "
        "ahead. Where another variety makes way for it, fewer of its units are begun."
    )


def numbers(cost: Cost) -> Numbers:
    """Return what it takes as numbers for programs."""
    return Numbers(
        days=cost.days,
        bench_hours=round(cost.bench_hours, 2),
        hands_hours=round(cost.hands_hours, 2),
        cooks=round(cost.cooks, 2),
        substrate_kg=round(cost.substrate_kg, 1),
        room_places=round(cost.room_places, 1),
        bought_cents=cost.bought_cents,
    )
