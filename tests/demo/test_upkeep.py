"""The demo farm's chores: done as they fall due, and the look that found the leaking seal."""

from __future__ import annotations

from collections import defaultdict
from datetime import timedelta
from zoneinfo import ZoneInfo

import pytest

from demo.history import Told, told
from pinset.chain.route_rules import check_book
from pinset.chain.upkeep_due import DoneOnce, due_of
from pinset.farm.entries import Kind, NewEntry

ZONE = ZoneInfo("Europe/Vienna")


@pytest.fixture(scope="module")
def history() -> Told:
    return told()


def done(history: Told) -> dict[str, list[NewEntry]]:
    found = defaultdict(list)
    for entry in history.entries:
        if entry.kind is Kind.CLEAN:
            found[entry.details["chore"]].append(entry)
    return found


def test_every_chore_but_the_comparisons_was_done_and_the_register_is_sound(history: Told) -> None:
    codes = {chore.code for chore in history.world.book.upkeep}
    assert codes - set(done(history)) == {"gauge", "chamber-probe", "core-probe"}
    wrong = [each for each in check_book(history.world.book) if each.record.startswith("upkeep")]
    assert wrong == []


def test_the_look_at_the_seal_found_the_leak_after_two_weeks_without_one(history: Told) -> None:
    seal = history.truth.seal
    looks = [(e.happened_at.astimezone(ZONE).date(), e) for e in done(history)["gasket"]]
    assert not [day for day, _ in looks if seal.since <= day <= seal.until]
    after = seal.until + timedelta(days=1)
    found, mended = (entry for day, entry in looks if day == after)
    assert found.details["amiss"]
    assert mended.details["changed"]
    assert [entry.details.get("amiss") for day, entry in looks].count(True) == 1


def test_readings_rise_and_stay_below_their_limits(history: Told) -> None:
    for code in ("lamp", "hepa", "pre-filter"):
        chore = next(each for each in history.world.book.upkeep if each.code == code)
        times = [
            DoneOnce(
                entry.happened_at.astimezone(ZONE).date(),
                entry.details["reading"],
                is_changed=bool(entry.details.get("changed")),
            )
            for entry in done(history)[code]
        ]
        assert len(times) > 12
        due = due_of(chore, times, [], history.truth.today)
        assert due.wear is not None
        assert due.wear.limit is not None
        assert not due.wear.is_over
        assert due.on is not None
        assert due.on >= history.truth.today - timedelta(days=2)
    assert any(entry.details.get("changed") for entry in done(history)["pre-filter"])


def test_one_of_three_has_not_read_the_new_instruction(history: Told) -> None:
    ticks = {
        (e.person, e.details["instruction"], e.details["version"])
        for e in history.entries
        if e.kind is Kind.READ
    }
    assert ("lene", "gasket", 1) in ticks
    assert {person for person, code, version in ticks if (code, version) == ("gasket", 2)} == {
        "marta",
        "jori",
    }
