"""What Today says of what lapses: spawn of one kind and cause in one note, each block lot alone."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

from pinset.planning.plan import Lapse
from pinset.planning.reading.short_reason import ShortReason
from pinset.services.book_reader import Reader
from pinset.services.promises.lapse_notes import lapse_notes
from planning.small_farm import bought_route, small_farm

TODAY = date(2026, 3, 9)
BOOK = small_farm(bought_route())
VARIETY = BOOK.varieties[0].code


def lapse(step: str, lot: str, days: int, **changed: ShortReason) -> Lapse:
    found = Lapse(
        VARIETY, step, (lot,), 3.0, TODAY + timedelta(days), ShortReason.NOT_NEEDED, f"{lot} ends."
    )
    return replace(found, **changed)  # type: ignore[arg-type]


def notes(*lapses: Lapse) -> tuple[str, ...]:
    return lapse_notes(lapses, Reader(BOOK, TODAY))


def test_later_spawn_of_one_kind_is_counted_in_the_first_note() -> None:
    found = notes(lapse("spawn", "A", 1), lapse("spawn", "B", 2), lapse("spawn", "C", 3))
    assert found == ("A ends. So it is with 3 (B) by 11 March and 3 (C) by 12 March.",)


def test_another_cause_and_blocks_have_their_own() -> None:
    other = lapse("spawn", "B", 2, cause=ShortReason.SET_DAYS)
    blocks = lapse("block", "C", 3), lapse("block", "D", 4)
    assert notes(lapse("spawn", "A", 1), other, *blocks) == (
        "A ends.", "B ends.", "C ends.", "D ends.",
    )  # fmt: skip


def test_what_the_book_no_longer_knows_is_told_all_the_same() -> None:
    gone = replace(lapse("spawn", "A", 1), variety="gone")
    assert notes(gone, replace(gone, lots=("B",), words="B ends.")) == ("A ends.", "B ends.")
