"""Where the planned surplus goes, in words: by week and outlet, and what has no place."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from farm.small_farm import NOW, TODAY
from pinset.chain.plain import to_plain
from pinset.chain.register import FarmBook, Outlet, OutletKind, Weekday
from pinset.farm import job_store
from pinset.farm.job_store import PlanRow
from pinset.planning.outlets.seasons import OutletRange
from pinset.planning.outlets.surplus import NotTaken, OutletShare, SurplusPlan, WhyLeft
from pinset.planning.plan import Plan
from pinset.planning.season.chances import FarmChances
from pinset.services.answers import off_plan, to_outlet
from pinset.services.books.register_change import retire, write_records
from pinset.services.books.settings_page import kind_of
from pinset.services.outlets import book as outlets_book
from pinset.services.outlets import today as outlets_today
from pinset.services.outlets.surplus_view import surplus_view
from pinset.services.week.week import week_view

STALL = Outlet(
    "stall",
    "Stall",
    OutletKind.MARKET,
    (Weekday.SUN, Weekday.SAT),
    ("grey",),
    price_cents_per_kg=1100,
    most_g=8000,
    note="By the fountain.",
)
DRIER = Outlet(
    "drier",
    "Drying cupboard",
    OutletKind.DRYING,
    price_cents_per_kg=9000,
    least_g=1500,
    fresh_per_dry=10.0,
)
MONDAY = date(2026, 3, 9)
SATURDAY = date(2026, 3, 14)


def lay_plan(
    shares: tuple[OutletShare, ...] = (),
    left: tuple[NotTaken, ...] = (),
    ranges: tuple[OutletRange, ...] = (),
) -> None:
    plan = Plan(TODAY, 56, 14, (), (), (), (), (), (), (), 0.0, 0.0, 0.0, 0.0, "proven")
    body = {
        "plan": to_plain(plan),
        "remarks": [],
        "changes": [],
        "surplus": to_plain(SurplusPlan(shares, left)),
        "chances": to_plain(FarmChances(2000, outlets=ranges)),
    }
    job_store.lay(PlanRow(NOW, TODAY, 0, body, 0.0, 0.0, "proven"), [], [], [])


@pytest.fixture
def outlets(farm: FarmBook) -> FarmBook:
    write_records([STALL, DRIER], "", NOW - timedelta(hours=1))
    return farm


SHARES = (
    OutletShare("drier", TODAY, "grey", 2000.0, 1800.0),
    OutletShare("stall", SATURDAY, "grey", 4200.0, 4620.0),
    OutletShare("drier", SATURDAY, "grey", 1600.0, 1440.0),
    OutletShare("stall", SATURDAY + timedelta(days=7), "grey", 3000.0, 3300.0),
    OutletShare("stall", SATURDAY + timedelta(days=70), "grey", 9000.0, 9900.0),
)


def test_each_week_says_who_gets_what_and_what_it_brings(outlets: FarmBook) -> None:
    del outlets
    left = (
        NotTaken("grey", SATURDAY, 900.0, WhyLeft.LEAST),
        NotTaken("grey", SATURDAY + timedelta(days=1), 300.0, WhyLeft.LEAST),
        NotTaken("grey", SATURDAY + timedelta(days=2), 20.0, WhyLeft.FULL),
    )
    lay_plan(SHARES, left, (OutletRange("stall", MONDAY, 4000.0, 1200.0, 7600.0),))
    view = surplus_view()
    assert view.sentence == (
        "About 12 kg are expected beyond the promises of 8 weeks. 10.8 kg go to outlets and bring "
        "about EUR 112 if all comes as planned. For 1.2 kg there is no outlet."
    )
    this, following = view.weeks
    assert (this.monday, this.grams, this.money) == (MONDAY, 7800.0, "EUR 78.60")
    stall, drier = this.lines
    assert (stall.name, stall.what, stall.money) == (
        "Stall",
        "Saturday: 4.2 kg Grey oyster",
        "EUR 46.20",
    )
    assert (stall.low, stall.high) == (1200.0, 7600.0)
    assert drier.what == "Thursday: 2 kg Grey oyster; Saturday: 1.6 kg Grey oyster"
    assert (drier.low, drier.high) == (None, None)
    assert this.rest == (
        "No place for about 1.2 kg Grey oyster: less than the least of the outlets that are open.",
    )
    assert [line.outlet for line in following.lines] == ["stall"]
    assert following.rest == ()
    [remark] = view.remarks
    assert remark == (
        "Drying cupboard: 10 kg fresh for 1 kg dry (common practice, no source); the work of "
        "drying is not taken off."
    )
    assert view.notes == ()


def test_money_is_what_the_seasons_bring_on_average(outlets: FarmBook) -> None:
    """What the plan allots is no mean: a poor flush brings less, a good one has a most."""
    del outlets
    following = MONDAY + timedelta(days=7)
    ranges = (
        OutletRange("stall", MONDAY, 3100.0, 1200.0, 7600.0, 3410.0),
        OutletRange("drier", MONDAY, 4000.0, 0.0, 6000.0, 3600.0),
        OutletRange("drier", following, 700.0, 0.0, 2000.0, 630.0),
    )
    lay_plan(SHARES, (), ranges)
    view = surplus_view()
    assert view.sentence == (
        "About 10.8 kg are expected beyond the promises of 8 weeks. 10.8 kg go to outlets and "
        "bring about EUR 112 if all comes as planned; all of it has a place. The seasons bring "
        "about EUR 70 for 7.1 kg on average until the week of 9 March, for which the plan alone "
        "says EUR 79."
    )
    this, later = view.weeks
    assert (this.expected, this.expected_money) == (7100.0, "EUR 70.10")
    stall = next(line for line in this.lines if line.outlet == "stall")
    assert (stall.expected, stall.expected_cents, stall.expected_money) == (
        3100.0,
        3410.0,
        "EUR 34.10",
    )
    assert (later.expected, later.expected_money) == (None, ""), "not known of the stall"
    drier = next(line for line in later.lines if line.outlet == "drier")
    assert (drier.grams, drier.what, drier.expected_money) == (0.0, "", "EUR 6.30")


def test_fewer_weeks_may_be_asked_for(outlets: FarmBook) -> None:
    del outlets
    lay_plan(SHARES)
    assert [week.monday for week in surplus_view(1).weeks] == [MONDAY]
    assert "all of it has a place" in surplus_view(1).sentence


def test_without_a_plan_without_surplus_and_without_outlets(farm: FarmBook) -> None:
    del farm
    assert surplus_view().sentence == "There is no plan yet."
    lay_plan()
    assert surplus_view().sentence.startswith("Nothing is expected beyond the promises")
    lay_plan((), (NotTaken("grey", SATURDAY, 5000.0, WhyLeft.NOBODY),))
    assert surplus_view().sentence.endswith("No outlet is described yet that could take it.")
    write_records([STALL], "", NOW)
    assert surplus_view().sentence.endswith("No outlet takes any of it.")


def test_it_says_when_outlets_were_changed_since(outlets: FarmBook) -> None:
    del outlets
    lay_plan(SHARES)
    write_records([replace(STALL, most_g=1000)], "", NOW + timedelta(minutes=5))
    [note] = surplus_view().notes
    assert note == "Outlets were changed since this plan was made; the next plan reckons with it."


def test_a_farm_in_pounds_reads_what_a_pound_brings(outlets: FarmBook) -> None:
    """EUR 11.00 and 90.00 a kilogram; 0.45359237 kg are a pound."""
    farm = replace(outlets.farm, units="us")
    write_records([farm], "", NOW)
    stall, drier = outlets_book.outlets_view()
    assert stall.words.endswith("EUR 4.99 a pound.")
    assert drier.words.endswith(
        "EUR 40.82 a pound dry, EUR 4.08 a pound fresh: 10 lb fresh for 1 lb dry "
        "(common practice, no source)."
    )


def test_the_books_say_what_an_outlet_takes_and_what_it_is_to_get(outlets: FarmBook) -> None:
    del outlets
    lay_plan(SHARES)
    stall, drier = outlets_book.outlets_view()
    assert stall.words == (
        "On Saturdays and Sundays. Takes Grey oyster, at most 8 kg a day. EUR 11.00 a kilogram."
    )
    assert stall.note == "By the fountain."
    assert stall.sentence == "Nothing in the last four weeks."
    assert stall.planned == ("Saturday: 4.2 kg Grey oyster", "21 March: 3 kg Grey oyster")
    assert drier.words == (
        "On any working day. Takes all that is picked, at least 1.5 kg a day. EUR 90.00 a kilogram "
        "dry, EUR 9.00 a kilogram fresh: 10 kg fresh for 1 kg dry (common practice, no source)."
    )
    assert drier.planned[0] == "Today: 2 kg Grey oyster"


def test_dates_sources_and_usual_prices_are_said(outlets: FarmBook) -> None:
    del outlets
    soon = replace(STALL, from_date=SATURDAY, until=date(2026, 5, 2), price_cents_per_kg=None)
    over = replace(DRIER, until=date(2026, 3, 1), ratio_source="weighed here")
    write_records([soon, over], "", NOW)
    first, second = outlets_book.outlets_view()
    assert first.words.startswith("On Saturdays and Sundays from 14 March until 2 May.")
    assert first.words.endswith("The usual price of each variety.")
    assert second.words.startswith("On any working day, over since 1 March.")
    assert "(weighed here)" in second.words


def test_what_was_given_counts_also_of_an_outlet_that_was_ended(
    outlets: FarmBook, stock: dict[str, str]
) -> None:
    del outlets
    lay_plan(SHARES)
    off_plan.pick(stock["fruiting"], 6000, person="ada", client_id="a" * 32)
    to_outlet.hand_over("stall", "grey", 2500, person="ada", client_id="b" * 32)
    to_outlet.hand_over("drier", "grey", 2000, person="ada", client_id="c" * 32)
    stall, drier = outlets_book.outlets_view()
    assert stall.given == (("Grey oyster", 2500),)
    assert stall.sentence == "2.5 kg in four weeks, for EUR 27.50."
    assert drier.sentence == "2 kg fresh in four weeks, about 0.2 kg dry."
    retire(kind_of("outlet"), "stall", "", NOW)
    drier, ended = outlets_book.outlets_view()
    assert (ended.name, ended.words, ended.is_described) == ("stall", "No longer described.", False)
    assert ended.sentence == "2.5 kg in four weeks, for EUR 27.50."


def test_the_week_says_what_is_to_come(outlets: FarmBook, stock: dict[str, str]) -> None:
    del outlets
    write_records([replace(STALL, deliver_at="06:30")], "", NOW - timedelta(minutes=5))
    lay_plan(SHARES)
    assert outlets_today.planned_today() == ("Drying cupboard: about 2 kg Grey oyster",)
    [saturday] = [each for each in week_view().days if each.day == SATURDAY]
    said = {(each.at, each.text) for each in saturday.expected}
    assert ("06:30", "left over for Stall: about 4.2 kg Grey oyster") in said
    off_plan.pick(stock["fruiting"], 6000, person="ada", client_id="a" * 32)
    to_outlet.hand_over("drier", "grey", 2000, person="ada", client_id="b" * 32)
    assert outlets_today.planned_today() == ()
