"""The line under each record in the settings."""

from __future__ import annotations

from pinset.chain.register import (
    Bench,
    CookKind,
    Culture,
    Room,
    RoomKind,
    Shelf,
    Steriliser,
    Worker,
)
from pinset.services.books.record_words import summary

ROOM = Room("inc", "Incubation", RoomKind.INCUBATION, 22.0, (Shelf("a", 10), Shelf("b", 20)))


def test_people_are_told_by_hours_a_week() -> None:
    ada = Worker("ada", "Ada", (8.0, 8.0, 8.0, 8.0, 6.5, 0.0, 0.0), laboratory=False)
    assert summary(ada) == "38.5 hours a week, not in the laboratory"
    ben = Worker("ben", "Ben", (4.0,) * 7, role="owner")
    assert summary(ben) == "28 hours a week, role owner"


def test_temperatures_have_their_unit_and_shelves_their_plural() -> None:
    assert summary(ROOM) == "kind incubation, temperature 22 °C, 2 shelves"
    one = Room("inc", "Incubation", RoomKind.INCUBATION, 3.3333, (Shelf("a", 10),))
    assert summary(one) == "kind incubation, temperature 3.3 °C, 1 shelf"


def test_the_farms_own_units() -> None:
    """22 °C are 71.6 °F."""
    assert "temperature 72 °F" in summary(ROOM, "us")


def test_pressure_minutes_and_words_for_yes_and_no() -> None:
    kettle = Steriliser(
        "kettle", "Kettle", "bay", (CookKind("grain", 5, 60, 90, 300),), 8, 1, 1.4
    )  # fmt: skip
    said = summary(kettle)
    assert "1 kind of cook" in said
    assert "True" not in said
    assert summary(Bench("b", "Bench", "lab", 240)) == "room lab, minutes per day 240"
    assert "not cleared for use" in summary(Culture("c", "grey", "a clone", cleared=False))
