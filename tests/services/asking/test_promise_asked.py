"""What is typed is read as one means it; what cannot be promised is refused by its field."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from farm.small_farm import TODAY
from pinset.chain.register import StepKind, Weekday
from pinset.errors import InputError
from pinset.planning.building.from_book import LONGEST_HORIZON
from pinset.services.asking.promise_asked import Question, read_question
from services.conftest import FULL_BOOK

WEEKLY = {"variety": "grey", "amount": "12", "weekday": "fri"}
BARE = replace(FULL_BOOK.varieties[0], code="bare", name="Bare", route="nowhere")
BOOK = replace(FULL_BOOK, varieties=(*FULL_BOOK.varieties, BARE))


def days(ahead: int) -> str:
    return (TODAY + timedelta(days=ahead)).isoformat()


def test_every_week_from_today_on() -> None:
    asked = read_question(WEEKLY, BOOK, TODAY)
    assert asked == Question("grey", 12_000, weekday=Weekday.FRI, from_date=TODAY, certainty=0.95)
    assert asked.as_promise().measure == "gram"


def test_once_in_units_to_a_buyer() -> None:
    typed = {
        "variety": "grey oyster", "amount": "20", "step": "grain", "on_date": days(40),
        "certainty": "80 %", "buyer": "Market stall", "from_date": "",
    }  # fmt: skip
    asked = read_question(typed, BOOK, TODAY)
    promise = asked.as_promise()
    assert (promise.amount, promise.measure, promise.step) == (20, "unit", "grain")
    assert (promise.on_date, promise.weekday, promise.from_date) == (
        TODAY + timedelta(days=40), None, None,
    )  # fmt: skip
    assert (asked.certainty, asked.buyer) == (0.8, "market")


@pytest.mark.parametrize(
    ("amount", "grams"),
    [("12 kg", 12_000), ("2,5", 2_500), ("650 g", 650), ("26 lb", 11_793)],
)
def test_a_weight_may_have_its_own_unit(amount: str, grams: int) -> None:
    assert read_question({**WEEKLY, "amount": amount}, BOOK, TODAY).amount == grams


def test_a_farm_in_pounds_types_pounds() -> None:
    book = replace(BOOK, farm=replace(BOOK.farm, units="us"))
    assert read_question(WEEKLY, book, TODAY).amount == 5_443  # 12 x 453.59237 g


@pytest.mark.parametrize("word", ["fri", "Friday", "FRIDAY"])
def test_a_weekday_may_be_written_out(word: str) -> None:
    assert read_question({**WEEKLY, "weekday": word}, BOOK, TODAY).weekday is Weekday.FRI


@pytest.mark.parametrize(
    ("wrong", "field", "why"),
    [
        ({"variety": "gold"}, "variety", "grey"),
        ({"variety": ""}, "variety", "grey"),
        ({"variety": "bare"}, "variety", "Bare has none, so none of it can be planned"),
        ({"amount": ""}, "amount", "more than nothing"),
        ({"amount": "0"}, "amount", "more than nothing"),
        ({"amount": "-3"}, "amount", "more than nothing"),
        ({"amount": "10001"}, "amount", "at most 10,000 kg"),
        ({"amount": "a lot"}, "amount", "a lot"),
        ({"amount": "nan"}, "amount", "nan"),
        ({"amount": "3 bar"}, "amount", "3 bar"),
        ({"step": "grain", "amount": "2.5"}, "amount", "a whole number of units"),
        ({"step": "grain", "amount": "0"}, "amount", "a whole number of units"),
        ({"step": "grain", "amount": "100001"}, "amount", "100,000"),
        ({"step": "grain", "amount": "9" * 60}, "amount", "100,000"),
        ({"step": "fruiting"}, "step", "picked, plate, grain, block"),
        ({"step": "nothing"}, "step", "picked, plate, grain, block"),
        ({"weekday": ""}, "weekday", "either a day of every week or one date"),
        ({"weekday": "someday"}, "weekday", "mon, tue"),
        ({"on_date": days(3)}, "weekday", "not both"),
        ({"weekday": "", "on_date": days(-1)}, "on_date", "2026-03-12"),
        ({"weekday": "", "on_date": days(LONGEST_HORIZON)}, "on_date", "no plan sees further"),
        ({"weekday": "", "on_date": "20.3.2026"}, "on_date", "a date such as"),
        ({"from_date": days(-1)}, "from_date", "2026-03-12"),
        ({"from_date": days(LONGEST_HORIZON)}, "from_date", "no plan sees further"),
        ({"until": days(-1)}, "until", "or a later day"),
        ({"until": TODAY.isoformat()}, "until", "a Friday among them"),
        ({"certainty": "100"}, "certainty", "50 to 99"),
        ({"certainty": "49"}, "certainty", "50 to 99"),
        ({"certainty": "nan"}, "certainty", "50 to 99"),
        ({"certainty": "sure"}, "certainty", "50 to 99"),
        ({"buyer": "nobody"}, "buyer", "market"),
    ],
)
def test_what_is_refused_names_its_field(wrong: dict[str, str], field: str, why: str) -> None:
    with pytest.raises(InputError) as refused:
        read_question({**WEEKLY, **wrong}, BOOK, TODAY)
    assert refused.value.field == field
    assert why in str(refused.value)


def test_the_last_day_a_plan_sees_can_be_asked_about() -> None:
    last = days(LONGEST_HORIZON - 1)
    assert read_question({**WEEKLY, "weekday": "", "on_date": last}, BOOK, TODAY).on_date


def test_mushrooms_are_not_asked_of_a_route_that_bears_none() -> None:
    steps = tuple(s for s in FULL_BOOK.routes[0].steps if s.kind is not StepKind.FRUIT)
    book = replace(BOOK, routes=(replace(FULL_BOOK.routes[0], steps=steps),))
    with pytest.raises(InputError, match="plate, grain, block") as refused:
        read_question(WEEKLY, book, TODAY)
    assert refused.value.field == "step"
