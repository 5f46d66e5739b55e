"""Tissue of a fruit goes to plates of a new culture, held back until it is cleared."""

from __future__ import annotations

import secrets
from collections.abc import Callable
from datetime import timedelta

import pytest

from farm.small_farm import NOW, TODAY, Taps
from pinset.chain.stages import Stage
from pinset.errors import InputError, RefusedError
from pinset.farm import door, trade
from pinset.farm.check import check
from pinset.farm.models import Entry
from pinset.farm.queries.alive import living
from pinset.services import clock
from pinset.services.answers.lot_actions import Saying
from pinset.services.books.lots import lot_view
from pinset.services.cultures.cloning import Taken, take_clone
from pinset.services.cultures.shelf import shelf_view

MakeLot = Callable[..., str]
THREE = Taken("fine-one", 3, "inc-1")


@pytest.fixture
def fruiting(make: MakeLot, monkeypatch: pytest.MonkeyPatch) -> str:
    code = make(40, Stage.BLOCK, 20, "inc-1")
    taken = trade.Taken(code, 20, "inc-1")
    door.record([trade.move(Taps(start=80_000)(), taken, "grow-1", step="fruiting")], now=NOW)
    later = NOW + timedelta(hours=6)  # than the move, at whatever hour the tests run
    monkeypatch.setenv(clock.PRETENDED, later.isoformat())
    return code


def said(code: str, tap: str = "") -> Saying:
    return Saying(code, "ben", tap or secrets.token_hex(16))


def test_a_clone_is_a_new_culture_in_quarantine(fruiting: str) -> None:
    done = take_clone(said(fruiting), THREE)
    [code] = done.new_lots
    assert f"3 plates {code} made of its tissue, held back as culture fine-one" in done.sentence
    assert any("an expert and a gene test" in finding for finding in done.findings)
    [plates] = living(TODAY, lots=[code])
    assert (plates.alive, plates.place, plates.transfers) == (3, "inc-1", 0)
    assert "not cleared" in plates.held
    view = next(each for each in shelf_view().cultures if each.code == "fine-one")
    assert (view.is_cleared, view.source) == (False, f"tissue of a fruit of lot {fruiting}")
    assert "3 units of" in lot_view(fruiting).life[-1].what
    assert check() == ()


def test_a_double_tap_takes_one(fruiting: str) -> None:
    tap = secrets.token_hex(16)
    assert not take_clone(said(fruiting, tap), THREE).already
    assert take_clone(said(fruiting, tap), THREE).already
    assert Entry.objects.filter(kind="clone").count() == 1
    with pytest.raises(RefusedError, match="sent before"):
        take_clone(said(fruiting, tap), Taken("fine-one", 4, "inc-1"))


def test_what_cannot_be_is_refused_and_writes_nothing(fruiting: str, make: MakeLot) -> None:
    tube = make(20)
    before = Entry.objects.count(), len(shelf_view().cultures)
    for wrong, words in (
        (Taken("g1", 3, "inc-1"), "no culture has yet"),
        (Taken("fine-one", 0, "inc-1"), "1 to 200 plates"),
        (Taken("fine-one", 3, "grow-1"), "one of lab-1"),
    ):
        with pytest.raises(InputError, match=words):
            take_clone(said(fruiting), wrong)
    with pytest.raises(RefusedError, match="does not fruit"):
        take_clone(said(tube), THREE)
    for code in ("", "a code with blanks", "x" * 300):
        with pytest.raises((InputError, RefusedError)):
            take_clone(said(fruiting), Taken(code, 3, "inc-1"))
    assert (Entry.objects.count(), len(shelf_view().cultures)) == before
