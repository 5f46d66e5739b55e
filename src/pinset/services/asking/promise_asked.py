"""What is typed when it is asked whether something can be promised, read and checked."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from math import isfinite

from pinset.chain.due import due_days
from pinset.chain.register import FarmBook, Promise, StepKind, Variety, Weekday
from pinset.errors import InputError
from pinset.planning.building.from_book import LONGEST_HORIZON
from pinset.planning.season.tuning import WANTED
from pinset.services.bounds import MOST_GRAMS, MOST_UNITS
from pinset.services.promises.sold_as import PICKED, sold_of
from pinset.services.words import WEEKDAYS, joined, long_day, weighed_in
from pinset.units import grams

USUAL_CERTAINTY = WANTED
LEAST_CERTAINTY, MOST_CERTAINTY = 50, 99
HUNDRED = 100
FIELDS = (
    "variety", "step", "amount", "weekday", "on_date", "from_date", "until", "certainty", "buyer",
)  # fmt: skip
"""What can be typed, by name; what is missing counts as empty."""


@dataclass(frozen=True, slots=True)
class Question:
    """What would be promised, and how surely it is to be met each time."""

    variety: str
    amount: int  # grams of picked mushrooms, or units
    step: str = PICKED
    weekday: Weekday | None = None  # every week on this day ...
    from_date: date | None = None
    until: date | None = None
    on_date: date | None = None  # ... or once
    certainty: float = USUAL_CERTAINTY  # 0 to 1
    buyer: str = ""  # nobody yet

    @property
    def measure(self) -> str:
        """Whether the amount is in grams or in units."""
        return "gram" if self.step == PICKED else "unit"

    def as_promise(self) -> Promise:
        """Return the promise, without a code of its own."""
        return Promise(
            code="",
            buyer=self.buyer,
            variety=self.variety,
            amount=self.amount,
            measure=self.measure,
            step=self.step,
            weekday=self.weekday,
            from_date=self.from_date,
            until=self.until,
            on_date=self.on_date,
        )


def read_question(typed: Mapping[str, str], book: FarmBook, today: date) -> Question:
    """Return the question that was typed.

    Parameters
    ----------
    typed : mapping of str to str
        By the names of ``FIELDS``. The amount is in the farm's unit or has its own (``12``,
        ``26 lb``); a variety or a buyer is a code or a name; days are ISO dates.
    book : FarmBook
        The farm.
    today : date
        Its day.

    Raises
    ------
    InputError
        If something is missing or not accepted; it names the field.
    """
    given = {name: typed.get(name, "").strip() for name in FIELDS}
    variety = _variety(book, given["variety"])
    step = _step(book, variety, given["step"])
    weekday = _weekday(given["weekday"])
    on_date = _day("on_date", given["on_date"])
    if (weekday is None) == (on_date is None):
        accepted = "either a day of every week or one date, not both and not neither"
        raise InputError("weekday", given["weekday"], accepted)
    question = Question(
        variety=variety.code,
        amount=_amount(book, step, given["amount"]),
        step=step,
        weekday=weekday,
        from_date=None if on_date else _day("from_date", given["from_date"]) or today,
        until=None if on_date else _day("until", given["until"]),
        on_date=on_date,
        certainty=_certainty(given["certainty"]),
        buyer=_buyer(book, given["buyer"]),
    )
    _in_sight(question, today)
    return question


def _variety(book: FarmBook, given: str) -> Variety:
    known = {each.code: each for each in book.varieties}
    names = {each.name.casefold(): each for each in book.varieties}
    variety = known.get(given) or names.get(given.casefold())
    if variety is None:
        accepted = ", ".join(known) or "nothing yet: describe a variety first"
        raise InputError("variety", given, accepted)
    routes = {route.code: route for route in book.routes}
    if variety.route not in routes or not routes[variety.route].steps:
        raise InputError(
            "variety",
            given,
            "a variety with a route",
            f"{variety.name} has none, so none of it can be planned: describe its route first.",
        )
    return variety


def _step(book: FarmBook, variety: Variety, given: str) -> str:
    route = next(each for each in book.routes if each.code == variety.route)
    bears = any(step.kind is StepKind.FRUIT for step in route.steps)
    sold = [code for code in sold_of(book, variety.code) if code != PICKED or bears]
    step = given or (PICKED if bears else "")
    if step not in sold:
        raise InputError("step", given, ", ".join(sold))
    return step


def _amount(book: FarmBook, step: str, given: str) -> int:
    if step != PICKED:
        accepted = f"a whole number of units from 1 to {MOST_UNITS:,}"
        if not (given.isascii() and given.isdigit() and len(given) <= len(str(MOST_UNITS))):
            raise InputError("amount", given, accepted)
        if not 1 <= int(given) <= MOST_UNITS:
            raise InputError("amount", given, accepted)
        return int(given)
    unit = weighed_in(book.farm.units)
    accepted = f"more than nothing and at most 10,000 kg, in {unit} or with its own unit"
    if not given:
        raise InputError("amount", given, accepted)
    value = grams(given, unit, "amount")
    if not 0 < value <= MOST_GRAMS:
        raise InputError("amount", given, accepted)
    return value


def _weekday(given: str) -> Weekday | None:
    if not given:
        return None
    short = given.casefold()
    for day in Weekday:
        if short in {day.value, WEEKDAYS[day.number].casefold()}:
            return day
    raise InputError("weekday", given, ", ".join(day.value for day in Weekday))


def _day(field: str, given: str) -> date | None:
    if not given:
        return None
    try:
        return date.fromisoformat(given)
    except ValueError:
        raise InputError(field, given, "a date such as 2026-03-12") from None


def _certainty(given: str) -> float:
    typed = given.removesuffix("%").strip().replace(",", ".")
    if not typed:
        return USUAL_CERTAINTY
    accepted = f"a number of seasons in 100, {LEAST_CERTAINTY} to {MOST_CERTAINTY}"
    try:
        value = float(typed)
    except ValueError:
        raise InputError("certainty", given, accepted) from None
    if not (isfinite(value) and LEAST_CERTAINTY <= value <= MOST_CERTAINTY):
        raise InputError("certainty", given, accepted)
    return value / HUNDRED


def _buyer(book: FarmBook, given: str) -> str:
    if not given:
        return ""
    known = {each.code: each.code for each in book.buyers}
    names = {each.name.casefold(): each.code for each in book.buyers}
    code = known.get(given) or names.get(given.casefold())
    if code is None:
        accepted = joined([*known, "nothing"]) if known else "nothing: no buyer is described yet"
        raise InputError("buyer", given, accepted)
    return code


def _in_sight(question: Question, today: date) -> None:
    """Refuse days that are past, too far ahead, or never come."""
    last = today + timedelta(days=LONGEST_HORIZON - 1)
    seen = f"a day from {today.isoformat()} to {last.isoformat()}: no plan sees further ahead"
    for field in ("on_date", "from_date"):
        day: date | None = getattr(question, field)
        if day is not None and not today <= day <= last:
            raise InputError(field, day.isoformat(), seen)
    if question.until is not None and question.until < (question.from_date or today):
        begins = (question.from_date or today).isoformat()
        raise InputError("until", question.until.isoformat(), f"{begins} or a later day")
    if not due_days(question.as_promise(), today, last):
        field = "until" if question.until is not None else "from_date"
        ends = question.until or question.from_date or today
        day_name = WEEKDAYS[question.weekday.number] if question.weekday else ""
        accepted = f"days with a {day_name} among them, no later than {long_day(last)}"
        raise InputError(field, ends.isoformat(), accepted)
