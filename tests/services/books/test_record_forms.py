"""Records as forms and back, whatever is typed into them."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pinset.chain.register import (
    Buyer,
    CookKind,
    Farm,
    Promise,
    Room,
    RoomKind,
    Route,
    Shelf,
    Steriliser,
    Variety,
    Weekday,
    Worker,
)
from pinset.chain.route_builder import default_route
from pinset.errors import InputError
from pinset.services.books.priced_forms import by_the_kilogram, priced
from pinset.services.books.record_forms import (
    RecordForm,
    form_of,
    label_of,
    quantity_of,
    record_from,
    unit_of,
)

RECORDS: list[Any] = [
    Farm("Test", 1240.5, "Europe/Vienna", days_off=(date(2026, 12, 24),)),
    Room("inc", "Incubation", RoomKind.INCUBATION, 24.0, (Shelf("a", 10), Shelf("b", 20))),
    Worker("ada", "Ada", (8.0, 8.0, 8.0, 8.0, 6.5, 0.0, 0.0), laboratory=False, role="owner"),
    Buyer("market", "Market"),
    Promise("p", "market", "grey", 5000, weekday=Weekday.THU, until=date(2026, 9, 1)),
    default_route("Pleurotus ostreatus", code="oyster"),
    default_route("Lentinula edodes", code="shiitake", grain_passes=2),
]


def filled(form: RecordForm) -> dict[str, str]:
    cells = [field for table in form.tables for row in table.rows for field in row]
    return {field.path: field.value for field in (*form.fields, *cells)}


@pytest.mark.parametrize("record", RECORDS, ids=lambda r: f"{type(r).__name__}-{r.code}")
def test_a_form_left_as_it_is_gives_the_same_record(record: Any) -> None:
    assert record_from(type(record), filled(form_of(type(record), record))) == record


def test_a_new_row_is_added_and_an_emptied_one_goes() -> None:
    room = RECORDS[1]
    values = filled(form_of(Room, room))
    values |= {"shelves.2.code": "c", "shelves.2.holds": "30"}
    values |= {"shelves.0.code": "", "shelves.0.holds": ""}
    assert record_from(Room, values).shelves == (Shelf("b", 20), Shelf("c", 30))


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"temperature_c": "warm"}, "temperature_c: 'warm' is not accepted; accepted is a number"),
        ({"temperature_c": "nan"}, "accepted is a number"),
        ({"kind": "attic"}, "accepted is one of laboratory"),
        ({"shelves.0.holds": "1.5"}, "whole number"),
        ({"shelves": "all"}, "rows of a table"),
        ({"roof": "tin"}, "roof: 'tin'"),
        ({"shelves.0.__class__": "x"}, "field"),
        ({"name": "", "code": ""}, "required"),
    ],
)
def test_what_cannot_be_is_named(changed: dict[str, str], said: str) -> None:
    values = filled(form_of(Room, RECORDS[1])) | changed
    with pytest.raises(InputError) as caught:
        record_from(Room, values)
    assert said in str(caught.value)


def test_a_decimal_comma_is_a_number() -> None:
    values = filled(form_of(Room, RECORDS[1])) | {"temperature_c": "23,5"}
    assert record_from(Room, values).temperature_c == 23.5


@given(
    st.dictionaries(
        st.one_of(
            st.sampled_from(sorted(filled(form_of(Route, RECORDS[5])))), st.text(max_size=30)
        ),
        st.text(max_size=20),
        max_size=12,
    )
)
def test_nothing_typed_into_a_form_breaks_it(changed: dict[str, str]) -> None:
    values = filled(form_of(Route, RECORDS[5])) | changed
    try:
        record = record_from(Route, values)
    except InputError:
        return
    assert isinstance(record, Route)


@pytest.mark.parametrize(
    ("typed", "celsius"),
    [("70 F", 21.11), ("70 °F", 21.11), ("21.5 C", 21.5), ("294.15 K", 21.0), ("-3,5", -3.5)],
)
def test_a_temperature_with_its_unit(typed: str, celsius: float) -> None:
    """By the definition of the Fahrenheit scale, (70 - 32) / 1.8 = 21.11 °C."""
    values = filled(form_of(Room, RECORDS[1])) | {"temperature_c": typed}
    assert record_from(Room, values).temperature_c == celsius


def test_masses_heights_and_pressures_with_their_units() -> None:
    """5 lb = 2,267.96 g, 4,000 ft = 1,219.2 m (agreement of 1959); 15 psi = 1.034 bar."""
    route = filled(form_of(Route, RECORDS[5])) | {"steps.2.fill_g": "5 lb"}
    assert record_from(Route, route).steps[2].fill_g == 2268
    farm = filled(form_of(Farm, RECORDS[0])) | {"altitude_m": "4000 ft"}
    assert record_from(Farm, farm).altitude_m == 1219.2
    kettle = Steriliser("k", "Kettle", "bay", (CookKind("grain", 5, 60, 90, 300),), 8, 1, 1.4)
    boiler = filled(form_of(Steriliser, kettle)) | {"rating_bar_gauge": "15 psi"}
    assert record_from(Steriliser, boiler).rating_bar_gauge == 1.034


@pytest.mark.parametrize("typed", ["5 bar", "1,240", "70 F F", "warm C"])
def test_a_unit_that_does_not_fit_is_refused(typed: str) -> None:
    values = filled(form_of(Farm, RECORDS[0])) | {"altitude_m": typed}
    with pytest.raises(InputError, match="altitude_m") as caught:
        record_from(Farm, values)
    assert "a number" in str(caught.value)


def test_minutes_per_kilogram_are_no_mass() -> None:
    assert unit_of("pick_minutes_per_kg") == ""
    assert label_of("pick_minutes_per_kg") == "pick minutes per kg"
    assert quantity_of("price_cents_per_kg") is None


def money_farm() -> tuple[Variety, dict[str, str]]:
    grey = Variety("grey", "Grey oyster", "Pleurotus ostreatus", "oyster", price_cents_per_kg=1250)
    return grey, filled(priced(form_of(Variety, grey), "CHF", "kg"))


def test_prices_are_shown_in_the_farms_money() -> None:
    grey, values = money_farm()
    assert values["price_cents_per_kg"] == "12.50"
    form = priced(form_of(Variety, grey), "CHF", "kg")
    field = next(f for f in form.fields if "price" in f.path)
    assert (field.label, field.unit) == ("price per kg", "CHF")
    assert record_from(Variety, values) == grey
    bought = replace(RECORDS[5].steps[0], price_cents=5)
    steps = form_of(Route, replace(RECORDS[5], steps=(bought, *RECORDS[5].steps[1:])))
    price = next(f for f in steps.tables[0].rows[0] if f.path == "steps.0.price_cents")
    assert (price.label, price.value) == ("price", "0.05")


@pytest.mark.parametrize(
    ("typed", "cents"), [("12", 1200), ("12,5", 1250), ("0.05", 5), ("1240.50", 124050), ("0", 0)]
)
def test_a_price_is_taken_in_the_farms_money(typed: str, cents: int) -> None:
    values = money_farm()[1] | {"price_cents_per_kg": typed}
    assert record_from(Variety, values).price_cents_per_kg == cents


@pytest.mark.parametrize("typed", ["1,500", "1.500", "-3", "12 EUR", "cheap", "1e3", "٣"])
def test_a_price_that_cannot_be_read_is_refused(typed: str) -> None:
    values = money_farm()[1] | {"price_cents_per_kg": typed}
    with pytest.raises(InputError, match=r"12\.50"):
        record_from(Variety, values)


def test_a_farm_in_pounds_says_its_prices_by_the_pound() -> None:
    """USD 12.50 a kilogram is USD 5.67 a pound of 0.45359237 kg."""
    grey, _ = money_farm()
    form = priced(form_of(Variety, grey), "USD", "lb")
    field = next(f for f in form.fields if "price" in f.path)
    assert (field.label, field.value, field.unit) == ("price per lb", "5.67", "USD")
    left = by_the_kilogram(Variety, filled(form), grey, "lb")
    assert record_from(Variety, left) == grey
    typed = by_the_kilogram(Variety, filled(form) | {"price_cents_per_kg": "6"}, grey, "lb")
    assert record_from(Variety, typed).price_cents_per_kg == 1323
    with pytest.raises(InputError, match=r"12\.50"):
        by_the_kilogram(Variety, {"price_cents_per_kg": "cheap"}, grey, "lb")


def test_numbers_are_shown_as_exactly_as_they_are_kept() -> None:
    farm = Farm("Test", 1240.5678, "Europe/Vienna")
    assert record_from(Farm, filled(form_of(Farm, farm))) == farm


@pytest.mark.parametrize(
    ("typed", "numbers"),
    [
        ("8, 7.5, 0", (8.0, 7.5, 0.0)),
        ("8,7,0", (8.0, 7.0, 0.0)),
        ("8 7.5 0", (8.0, 7.5, 0.0)),
        ("8 7,5 0", (8.0, 7.5, 0.0)),
        ("8; 7,5; 0", (8.0, 7.5, 0.0)),
        (" 8 ", (8.0,)),
    ],
)
def test_a_list_of_numbers_is_parted_as_it_is_typed(typed: str, numbers: tuple[float, ...]) -> None:
    grey = {"code": "grey", "name": "Grey", "species": "P. ostreatus", "route": "r"}
    assert record_from(Variety, {**grey, "season": typed}).season == numbers


WEEK = ("8", "17:00-20:30", "16:00 - 18:00, 7:00-11:00", "7,5", "", "0")
READ = (8.0, "17:00-20:30", "07:00-11:00, 16:00-18:00", 7.5, 0.0, 0.0, 0.0)


def test_hours_are_a_field_for_each_weekday() -> None:
    typed = {f"hours.{day}": text for day, text in enumerate(WEEK)}
    worker = record_from(Worker, {"code": "ada", "name": "Ada", **typed})
    assert worker.hours == READ
    shown = {each.path: (each.label, each.value) for each in form_of(Worker, worker).fields}
    assert shown["hours.1"] == ("hours on Tuesday", "17:00-20:30")
    assert shown["hours.6"] == ("hours on Sunday", "0")
    assert record_from(Worker, filled(form_of(Worker, worker))) == worker


@pytest.mark.parametrize("typed", ["late", "inf", "17:00", "20:00-02:00", "7:00-9:00, 8:00-10:00"])
def test_hours_that_cannot_be_are_refused_at_their_day(typed: str) -> None:
    with pytest.raises(InputError) as refused:
        record_from(Worker, {"code": "ada", "name": "Ada", "hours.1": typed})
    assert refused.value.field == "hours.1"
