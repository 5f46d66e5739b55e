from __future__ import annotations

from datetime import date

import pytest

from chain.book import BOOK
from pinset.chain.living import LivingLot


def lot(step: str) -> LivingLot:
    route = BOOK.routes[0]
    return LivingLot(
        code="MYGUA",
        variety="shiitake",
        step=step,
        stage=route.steps[-1].stage,
        alive=60,
        made_on=date(2026, 1, 2),
        step_since=date(2026, 1, 20),
        place="A1",
        room="inc",
        temperature_c=20.0,
        route=route,
    )


def test_the_present_step_is_that_of_its_own_route() -> None:
    assert lot("ripening").now_step() is BOOK.routes[0].step("ripening")


def test_a_step_its_route_lacks_is_an_error() -> None:
    with pytest.raises(KeyError):
        lot("grain-9").now_step()
