"""What to do with a doubtful lot: asked on its page, worked out by the worker, decided by tap."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.test import Client

from pinset.farm import door, trade
from pinset.farm.queries.alive import living
from pinset.farm.trade import Taken, Tap
from pinset.services.clock import now_utc
from pinset.services.losses import reckoning
from pinset.services.plans import work
from web.asking import FOUND, OK, sent_to_sign_in, words
from web.shed import Shed


@pytest.fixture
def lot(shed: Shed) -> str:
    """Return a lot of grain some of which was lost."""
    part = next(each for each in living(shed.day) if each.stage.value == "grain")
    tap = Tap("ab" * 16, now_utc() - timedelta(minutes=5), "ada")
    taken = Taken(part.code, 1, part.place)
    door.record([trade.lose(tap, taken, cause="green")], now=now_utc())
    reckoning.reckon_now()
    return part.code


def page(code: str) -> str:
    return f"/losses/lot/{code}/"


def test_strangers_sign_in_and_lots_nobody_knows_are_not_found(
    stranger: Client, owner: Client, lot: str
) -> None:
    assert sent_to_sign_in(stranger, page(lot))
    known = owner.get("/books/lots/ZZZZZ/").status_code
    assert owner.get(page("ZZZZZ")).status_code == known != OK


def test_asked_worked_out_and_decided(worker: Client, shed: Shed, lot: str, tap: str) -> None:
    assert "What does each choice cost?" in words(worker.get(page(lot)))
    assert worker.post(f"{page(lot)}ask/").status_code == FOUND
    assert "Waiting for its turn." in words(worker.get(page(lot)))
    assert worker.post(f"{page(lot)}ask/").status_code == FOUND  # shared: it waits already
    assert work.work_once()
    said = words(worker.get(page(lot)))
    for name in ("Watch", "Use first", "Hold back", "Cull", "proposed", "of what is promised"):
        assert name in said
    assert "Something was written down since" not in said
    shown = worker.get(page(lot)).content.decode()
    assert f'min="{shed.day.isoformat()}"' in shown  # a past day is not sent at all
    assert f'min="{(shed.day + timedelta(days=1)).isoformat()}"' in shown
    by = shed.day + timedelta(days=6)
    done = worker.post(
        f"/books/lots/{lot}/say/use-first/", {"client_id": tap, "use_by": by.isoformat()}
    )
    assert done.status_code == FOUND
    assert all(each.use_by == by for each in living(shed.day, lots=[lot]))
    assert "to be used first, by" in words(worker.get(f"/books/lots/{lot}/"))
    assert "Something was written down since" in words(worker.get(page(lot)))


def test_watching_asks_for_another_look(worker: Client, shed: Shed, lot: str, tap: str) -> None:
    on = shed.day + timedelta(days=3)
    asked = {"client_id": tap, "look_on": on.isoformat()}
    assert worker.post(f"/books/lots/{lot}/say/watch/", asked).status_code == FOUND
    assert all(each.look_on == on for each in living(shed.day, lots=[lot]))


@pytest.mark.parametrize(("what", "name"), [("watch", "look_on"), ("use-first", "use_by")])
def test_days_that_are_past_are_refused(
    worker: Client, shed: Shed, lot: str, tap: str, what: str, name: str
) -> None:
    gone = {"client_id": tap, name: (shed.day - timedelta(days=1)).isoformat()}
    worker.post(f"/books/lots/{lot}/say/{what}/", gone)
    none = {"client_id": tap, name: ""}
    worker.post(f"/books/lots/{lot}/say/{what}/", none)
    part = living(shed.day, lots=[lot])[0]
    assert (part.use_by, part.look_on) == (None, None)
