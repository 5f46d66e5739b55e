"""A clone waits for its test plate and a fruiting; one from the wild for who named it."""

from __future__ import annotations

import secrets
from collections.abc import Callable
from datetime import timedelta

import pytest

from farm.small_farm import CODES, NOW, TODAY, Taps, lot
from pinset.chain.register import FarmBook
from pinset.chain.stages import Stage
from pinset.errors import InputError, RefusedError
from pinset.farm import door, trade
from pinset.farm.models import Entry
from pinset.farm.queries.alive import living
from pinset.services.answers.lot_actions import Saying, hold
from pinset.services.answers.lot_counts import UnlikelyError
from pinset.services.cultures.clearing import Clearing, clear
from pinset.services.cultures.saying import measure
from pinset.services.cultures.shelf import shelf_view
from pinset.services.plans import planning_day

MakeLot = Callable[..., str]
OWN = Clearing("g2", "farm")


@pytest.fixture
def cloned(make: MakeLot) -> str:
    """Plates of a clone, held back since they were made."""
    parent = make(60, Stage.BLOCK, 20, "inc-1")
    child = lot(CODES[180], Stage.PLATE, "plate", made_on=TODAY - timedelta(days=9), culture="g2")
    entry = trade.clone(Taps(start=90_000)(hours=-24.0 * 9), parent, child, 3, "inc-1")
    door.record([entry], now=NOW)
    return child.code


def fruited(make: MakeLot) -> None:
    """Pick of blocks of the clone."""
    block = make(50, Stage.BLOCK, 20, "grow-1", culture="g2")
    door.record([trade.pick(Taps(start=95_000)(hours=-24.0), block, 900, 1, "cold-1")], now=NOW)


def grown(plate: str) -> None:
    for days_ago, mm in ((4, 10.0), (0, 30.0)):
        at = NOW - timedelta(days=days_ago)
        measure(Saying(plate, "ben", secrets.token_hex(16), at=at, why="on paper"), mm)


def held(code: str) -> str:
    [part] = living(TODAY, lots=[code])
    return part.held


def is_cleared() -> bool:
    book, _ = planning_day.farm_book()
    return next(culture.cleared for culture in book.cultures if culture.code == "g2")


def new_id() -> str:
    return secrets.token_hex(16)


def test_a_clone_says_what_it_waits_for(cloned: str, make: MakeLot) -> None:
    def clone_words() -> str:
        view = next(each for each in shelf_view().cultures if each.code == "g2")
        assert not view.is_cleared
        assert view.clone is not None
        return view.clone.words

    assert clone_words() == ("no test plate was measured or woken; nothing was picked of it yet")
    grown(cloned)
    fruited(make)
    assert clone_words() == "its test plate grew; 0.9 kg picked of it"


def test_it_is_cleared_once_both_say_so(cloned: str, make: MakeLot) -> None:
    grown(cloned)
    fruited(make)
    assert held(cloned).startswith("clone, not cleared")
    done = clear(OWN, "ada", new_id())
    assert done.sentence == "g2 is cleared for use; 1 lot of it offered."
    assert any("Throw away whatever does not look like its lot" in said for said in done.findings)
    assert held(cloned) == ""
    assert is_cleared()
    with pytest.raises(RefusedError, match="cleared for use already"):
        clear(OWN, "ada", new_id())


def test_without_them_a_reason_is_asked_for(cloned: str) -> None:
    with pytest.raises(UnlikelyError, match="no test plate of it was measured or woken and noth"):
        clear(OWN, "ada", new_id())
    assert held(cloned)
    assert not is_cleared()
    tap = new_id()
    said = Clearing("g2", "farm", reason="fruited on a friend's farm")
    clear(said, "ada", tap)
    assert held(cloned) == ""
    entry = Entry.objects.get(client_id=tap)
    assert "no test plate" in entry.details["against"]
    assert clear(said, "ada", tap).already, "a double tap"


def test_one_from_the_wild_waits_for_who_named_it(cloned: str, make: MakeLot) -> None:
    grown(cloned)
    fruited(make)
    for nameless in (Clearing("g2", "wild"), Clearing("g2", "wild", " ", "it looks right")):
        with pytest.raises(InputError, match="expert and the gene test"):
            clear(nameless, "ada", new_id())
    assert held(cloned)
    tap = new_id()
    clear(Clearing("g2", "wild", "mycologist of the invented museum, ITS"), "ada", tap)
    assert Entry.objects.get(client_id=tap).details["named_by"].endswith("ITS")


def test_what_is_held_for_another_cause_stays_held(cloned: str, make: MakeLot) -> None:
    grown(cloned)
    fruited(make)
    hold(Saying(cloned, "ben", new_id()), "green at the rim")
    assert clear(OWN, "ada", new_id()).sentence == "g2 is cleared for use."
    assert held(cloned) == "green at the rim"


def test_what_cannot_be_is_refused(farm: FarmBook) -> None:  # noqa: ARG001
    for wrong, words in (
        (Clearing("nobody", "farm"), "one that is not cleared: g2"),
        (Clearing("g2", "moon"), "one of farm, wild"),
    ):
        with pytest.raises(InputError, match=words):
            clear(wrong, "ada", new_id())
    with pytest.raises(RefusedError, match="cleared for use already"):
        clear(Clearing("g1", "farm"), "ada", new_id())
