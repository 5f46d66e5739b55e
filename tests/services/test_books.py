"""Rooms are as full as they are, with what is prepared counted too."""

from __future__ import annotations

import secrets
from collections.abc import Callable
from dataclasses import replace

import pytest

from pinset.farm import register_store
from pinset.services import books, recording
from pinset.services.job_records import JobKind, LotAmount
from services.conftest import FULL_BOOK, NOW, TODAY

LayJob = Callable[..., str]


def test_prepared_vessels_take_their_places(lay: LayJob, stock: dict[str, str]) -> None:
    assert stock
    feeds = (LotAmount("", 30, "grain"),)
    job = lay(JobKind.COOK, steriliser="kettle", cook_kind="grain", count=30, feeds=feeds)
    recording.done(job, person="ada", client_id=secrets.token_hex(16))
    [bay] = [room for room in books.rooms_view() if room.code == "bay"]
    assert bay.shelves == (("bay-1", 30.0, 200),)
    assert bay.units == 30


@pytest.mark.usefixtures("stock")
def test_buyers_read_pounds_if_the_farm_does() -> None:
    """5 kg are 11.02 lb (pound of 1959)."""
    farm = replace(FULL_BOOK.farm, units="us")
    register_store.write([farm], TODAY, "", NOW)
    [market] = books.buyers_view()
    assert "11.02 lb Grey oyster for Market stall, every Thursday" in market.promises
