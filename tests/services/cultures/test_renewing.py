"""Fresh tubes are made of one that is opened; what speaks against it is asked about."""

from __future__ import annotations

import secrets
from collections.abc import Callable

import pytest

from farm.small_farm import TODAY
from pinset.chain.shelf_life import Asks
from pinset.chain.stages import Stage
from pinset.errors import InputError, RefusedError
from pinset.farm.check import check
from pinset.farm.models import Lot
from pinset.farm.queries.alive import living
from pinset.services.answers import taking_back
from pinset.services.answers.lot_actions import Saying, hold
from pinset.services.answers.lot_counts import UnlikelyError
from pinset.services.cultures.renewing import renew
from pinset.services.cultures.saying import woken
from pinset.services.cultures.shelf import tube_line
from services.recorded import counts

MakeLot = Callable[..., str]


def said(code: str, why: str = "", tap: str = "") -> Saying:
    return Saying(code, "ben", tap or secrets.token_hex(16), why=why)


def test_a_tube_is_opened_and_fresh_ones_stand_there(make: MakeLot) -> None:
    old = make(109, transfers=1)
    done = renew(said(old), 4, "inc-1")
    [new] = done.new_lots
    assert done.sentence == f"{old}: 4 tubes {new} made of it, on inc-1."
    [fresh] = living(TODAY, lots=[new])
    assert (fresh.alive, fresh.place, fresh.culture, fresh.transfers) == (4, "inc-1", "g1", 2)
    assert fresh.made_on == TODAY
    assert counts(old) == {"made": 6, "alive": 5, "used": 1}
    [line] = tube_line(old)[1]
    assert (line.asks, line.is_due) == (Asks.NOTHING, False)
    assert line.asked.lower().startswith(f"renewed as {new}".lower())
    assert check() == ()
    taking_back.undo(done.entry, person="ada", client_id=secrets.token_hex(16), reason="a slip")
    assert counts(old) == {"made": 6, "alive": 6}
    assert tube_line(old)[1][0].is_due
    assert check() == ()


def test_a_double_tap_makes_them_once(make: MakeLot) -> None:
    old, tap = make(109), secrets.token_hex(16)
    first, again = renew(said(old, tap=tap), 4, "inc-1"), renew(said(old, tap=tap), 4, "inc-1")
    assert (first.already, again.already) == (False, True)
    assert Lot.objects.filter(stage="tube").count() == 1 + 1
    with pytest.raises(RefusedError, match="sent before"):
        renew(said(old, tap=tap), 5, "inc-1")


@pytest.mark.parametrize("cause", ["limit", "held", "failed"])
def test_what_speaks_against_it_is_asked_about(make: MakeLot, cause: str) -> None:
    old = make(60, transfers=5 if cause == "limit" else 1)
    words = {"limit": "moved 5 times", "held": "held back: green", "failed": "nothing grew"}[cause]
    if cause == "held":
        hold(said(old), "green at the rim")
    if cause == "failed":
        woken(said(old), 2, 0)
    with pytest.raises(UnlikelyError, match=words):
        renew(said(old), 2, "inc-1")
    assert counts(old) == {"made": 6, "alive": 6}
    renew(said(old, why="the only one there is"), 2, "inc-1")
    assert counts(old)["used"] == 1


def test_what_cannot_be_is_refused(make: MakeLot) -> None:
    old, plates = make(60), make(8, Stage.PLATE, place="inc-1")
    for tubes, place, words in ((0, "inc-1", "1 to 200"), (2, "nowhere", "one of inc-1")):
        with pytest.raises(InputError, match=words):
            renew(said(old), tubes, place)
    with pytest.raises(RefusedError, match="No tube of lot"):
        renew(said(plates), 2, "inc-1")
