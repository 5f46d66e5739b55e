"""In the terminal: lots of a pick are weighed, and the grow rooms' spores are warned about."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta

import pytest
from click.testing import CliRunner, Result

from pinset.cli import done as command
from pinset.farm import register_store
from pinset.farm.models import Posting
from pinset.services.clock import now_utc
from pinset.services.day.spores import WARNING
from web import shed as sheds

Say = Callable[..., Result]


@pytest.fixture
def say(db: None, monkeypatch: pytest.MonkeyPatch) -> Say:  # noqa: ARG001
    monkeypatch.setattr(command, "open_chosen", lambda _context: None)
    return lambda *words: CliRunner().invoke(command.done, list(words), obj={})


def picked_g() -> int:
    return -sum(Posting.objects.filter(account="grown").values_list("quantity", flat=True))


@pytest.mark.parametrize(
    ("units", "typed", "grams"),
    [
        ("us", "5", 2268),
        ("us", "5 lb", 2268),
        ("us", "2 kg", 2000),
        ("metric", "2.5", 2500),
        ("metric", "650g", 650),
    ],
)
def test_the_lots_of_a_pick_take_weights(say: Say, units: str, typed: str, grams: int) -> None:
    shed = sheds.build()
    farm = sheds.book_of(shed.day).farm
    register_store.write([replace(farm, units=units)], shed.day - timedelta(days=1), "", now_utc())
    before = picked_g()
    said = say(shed.jobs["pick"], "--lot", f"{shed.fruiting}={typed}")
    assert said.exit_code == 0, said.output
    assert picked_g() - before == grams


def test_what_is_no_weight_or_number_is_refused(say: Say) -> None:
    shed = sheds.build()
    assert "LOT=WEIGHT" in say(shed.jobs["pick"], "--lot", shed.fruiting).output
    assert "--lot" in say(shed.jobs["pick"], "--lot", f"{shed.fruiting}=much").output
    assert "LOT=UNITS" in say(shed.jobs["look"], "--lot", f"{shed.blocks}=5 lb").output


def test_after_the_grow_rooms_the_laboratory_is_warned_about(say: Say) -> None:
    shed = sheds.build()
    assert WARNING not in say(shed.jobs["shake"], "--person", "ada").output
    picked = say(shed.jobs["pick"], "--weight", "4.8 kg", "--person", "ada")
    assert f"! {WARNING}" in picked.output
    nobody = say(shed.jobs["look"])
    assert WARNING not in nobody.output
    other = say(shed.jobs["jars"], "--person", "ben", "--part", "--count", "4")
    assert WARNING not in other.output
    hers = say(shed.jobs["jars"], "--person", "ada")
    assert f"! {WARNING}" in hers.output


@pytest.mark.parametrize(
    ("units", "more", "weight"),
    [("metric", (), "3.2kg"), ("metric", ("--part",), "3.2kg"), ("us", (), "3.2lb")],
)
def test_a_pick_without_its_weight_is_asked_for_it(
    say: Say, units: str, more: tuple[str, ...], weight: str
) -> None:
    shed = sheds.build()
    farm = sheds.book_of(shed.day).farm
    register_store.write([replace(farm, units=units)], shed.day - timedelta(days=1), "", now_utc())
    said = say(shed.jobs["pick"], *more)
    assert said.exit_code == 1
    assert said.output.strip() == (
        "pinset: The weight is missing. Read it from the scale and give it with --weight, such as "
        f"--weight {weight}."
    )
    assert picked_g() == 0


def test_a_part_without_its_number_is_asked_for_it(say: Say) -> None:
    said = say(sheds.build().jobs["look"], "--part")
    assert said.output.strip() == (
        "pinset: The number is missing. Say how many of it were done with --count, such as "
        "--count 3."
    )
