"""Losses are written down by the signs of Look; what was written before reads as it did."""

from __future__ import annotations

import secrets

import pytest

from pinset.farm.models import Entry
from pinset.services.answers import lot_actions
from pinset.services.answers.lot_actions import Saying
from pinset.services.books.lots import lot_view
from pinset.services.floor.next_things import hand_view
from pinset.services.floor.records import Deed, Held
from pinset.services.floor.taps import Saying as Tapped
from pinset.services.floor.writing_down import write_down
from pinset.services.looking.causes import Cause, cause_of, causes_in
from pinset.tables.signs import Medium, Out, signs_of


def by(lot: str) -> Saying:
    return Saying(lot, "ada", secrets.token_hex(16))


@pytest.mark.parametrize(
    ("given", "cause"),
    [
        ("green-dust", Cause("green dust", ("green-dust",))),
        ("Green  dust", Cause("Green  dust", ("green-dust",))),
        ("green mould", Cause("green mould", ("green-dust",))),
        ("wet or sour", Cause("wet or sour", ("wet-sour",))),
        ("another mould", Cause("another mould", ("other",))),
        ("not known", Cause("not known")),
        ("smells of fish", Cause("smells of fish")),
        ("", Cause("")),
    ],
)
def test_signs_names_and_old_words_mean_the_same(given: str, cause: Cause) -> None:
    assert cause_of(given) == cause


def test_what_is_offered_are_the_signs_of_look_that_take_units_out_as_lost() -> None:
    for medium in Medium:
        lost = {each.key for each in signs_of(medium) if each.out is Out.LOST} - {"other"}
        assert {key for key, _ in causes_in([medium])} == lost | {"not known"}
    both = {key for key, _ in causes_in([Medium.PLATE, Medium.GRAIN])}
    assert {"creamy-dots", "green-dust"} <= both
    assert not both & {"slime-ring", "wet-sour"}


def test_the_page_of_a_lot_writes_the_sign_down(stock: dict[str, str]) -> None:
    done = lot_actions.lose(by(stock["grain"]), 2, "wet-sour")
    entry = Entry.objects.get(client_id=done.entry)
    assert (entry.details["cause"], entry.details["signs"]) == ("wet and sour", ["wet-sour"])
    assert lot_view(stock["grain"]).life[-1].what == "2 units lost to contamination: wet and sour"


def test_orange_fluff_is_an_emergency_wherever_it_is_tapped(stock: dict[str, str]) -> None:
    [said] = lot_actions.lose(by(stock["grain"]), 1, "orange-fluff").findings
    assert said.startswith("Orange fluff is an emergency")
    [thing] = [e for e in hand_view((Held(stock["block"]),)).things if e.deed is Deed.LOSE]
    tapped = Tapped(Deed.LOSE, thing.amounts, choice="orange-fluff")
    done = write_down(tapped, person="ada", client_id=secrets.token_hex(16))
    assert done.findings == (said,)
    assert lot_actions.lose(by(stock["grain"]), 1, "green-dust").findings == ()


def test_old_words_still_read_as_they_were_written(stock: dict[str, str]) -> None:
    lot_actions.lose(by(stock["grain"]), 2, "green mould")
    assert lot_view(stock["grain"]).life[-1].what == "2 units lost to contamination: green mould"


def test_scan_offers_the_signs_that_fit_all_lots_in_hand(stock: dict[str, str]) -> None:
    held = (Held(stock["grain"]), Held(stock["plate"]))
    [thing] = [each for each in hand_view(held).things if each.deed is Deed.LOSE]
    assert thing.choices == causes_in([Medium.GRAIN, Medium.PLATE])
    said = Tapped(Deed.LOSE, thing.amounts, choice="black-heads")
    done = write_down(said, person="ada", client_id=secrets.token_hex(16))
    assert done.sentence.endswith("lost, black heads.")
    entry = Entry.objects.get(client_id=done.entries[0])
    assert entry.details["signs"] == ["black-heads"]
