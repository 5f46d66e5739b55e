"""A note is no reason: what speaks against the moment is asked about by a field of its own."""

from __future__ import annotations

import secrets
from collections.abc import Callable
from datetime import timedelta

import pytest

from farm.small_farm import NOW, TODAY
from pinset.chain.upkeep import Chore, ChoreAt, ChoreKind
from pinset.farm import register_store
from pinset.farm.models import Entry
from pinset.services import clock
from pinset.services.answers import lot_actions
from pinset.services.answers.lot_actions import Saying
from pinset.services.answers.when_said import UnlikelyMomentError
from pinset.services.looking.looked import Seen, look
from pinset.services.looking.readings import Readings
from pinset.services.looking.walked import RoomRead, Walk, walked
from pinset.services.upkeep.doing import ChoreTap, done
from pinset.services.views import Done

LONG_AGO = NOW - timedelta(days=200)
LONG_AGO_SAID = "Written down although: 2025-08-24 is 200 days ago."


def _lost(lot: str, note: str, why: str) -> Done:
    return lot_actions.lose(Saying(lot, "ben", secrets.token_hex(16), LONG_AGO, note, why), 1)


def _looked(lot: str, note: str, why: str) -> Done:
    return look(Saying(lot, "ben", secrets.token_hex(16), LONG_AGO, note, why), Seen())


def _walked(_lot: str, note: str, why: str) -> Done:
    walk = Walk("ben", secrets.token_hex(16), LONG_AGO, note, why)
    return walked(walk, [RoomRead("grow", Readings(temperature_c=15.0))])


def _chore(_lot: str, note: str, why: str) -> Done:
    tap = ChoreTap("floor", "ben", secrets.token_hex(16), LONG_AGO, note=note, why=why)
    return done(tap)


@pytest.mark.parametrize("say", [_lost, _looked, _walked, _chore])
def test_a_note_does_not_stand_for_an_unlikely_moment(
    say: Callable[[str, str, str], Done],
    stock: dict[str, str],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setenv(clock.PRETENDED, NOW.isoformat())
    floor = Chore(
        "floor", "Wash the floor", ChoreKind.ROOM_CLEANING, ChoreAt.ROOM, "grow", 7,
        since=TODAY - timedelta(days=9),
    )  # fmt: skip
    register_store.write([floor], TODAY, "", NOW - timedelta(days=60))
    before = Entry.objects.count()
    with pytest.raises(UnlikelyMomentError, match="200 days ago"):
        say(stock["grain"], "from the old book", "")
    assert Entry.objects.count() == before
    told = say(stock["grain"], "from the old book", "copied late")
    assert LONG_AGO_SAID in told.findings
    entry = Entry.objects.order_by("id").last()
    assert entry is not None
    assert "copied late" in {entry.details.get("why"), entry.details.get("reason")}
