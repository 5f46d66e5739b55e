"""What is short soon is said by reason: none is hidden behind the soonest day's."""

from __future__ import annotations

from datetime import timedelta

from farm.small_farm import BOOK, TODAY
from pinset.planning.plan import Short
from pinset.services.book_reader import Reader
from pinset.services.jobs_of_starts import stake_in_words
from pinset.services.short_notes import short_notes
from pinset.services.words import short_day

READER = Reader(BOOK, TODAY)


def short(days: int, kilos: float, reason: str, *, nature: bool = False) -> Short:
    day = TODAY + timedelta(days=days)
    grams = kilos * 1000
    return Short("market", day, "grey", grams, "gram", grams, reason, is_unavoidable=nature)


def nature(days: int) -> Short:
    by = short_day(TODAY + timedelta(days=days - 1))
    said = f"What is alive now gives no more Grey oyster by {by}, whatever is done; so it is."
    return short(days, 2, said, nature=True)


def full(days: int, on: str, mend: int) -> Short:
    said = f"Short of 5 blocks because the grow room poly is full on {on}; about {mend} more places"
    return short(days, 3, f"{said} would mend it.")


FIXED = "The days set for starting and moving, and the days off, leave 4 blocks too few."


def on(*days: int) -> list[str]:
    return [short_day(TODAY + timedelta(days=day)) for day in days]


def test_days_of_one_reason_are_one_sentence() -> None:
    [note] = short_notes((nature(5), nature(2)), READER)
    first, second = on(2, 5)
    assert note == f"Grey oyster will be short by 4 kg, on {first} and {second}. {nature(2).reason}"


def test_a_later_reason_is_said_with_its_own_days() -> None:
    rows = (nature(2), full(9, "10 March", 20), full(16, "10 March, 11 March and 6 more days", 84))
    [note] = short_notes(rows, READER)
    first, ninth, last = on(2, 9, 16)
    assert note == (
        f"Grey oyster will be short by 2 kg, on {first}. {rows[0].reason} "
        f"Later days: short by another 6 kg, on {ninth} and {last}. {rows[1].reason}"
    )


def test_what_can_be_mended_goes_before_what_cannot_and_the_rest_is_pointed_to() -> None:
    nothing = short(4, 1, "Nothing alive now gives more, and no more can be started.", nature=True)
    [note] = short_notes((nature(2), nothing, short(9, 4, FIXED), full(12, "3 April", 9)), READER)
    [fourth, ninth, twelfth] = on(4, 9, 12)
    assert f"Later days: short by another 4 kg, on {ninth}. {FIXED}" in note
    assert note.endswith(f"Promises shows why 4 kg, on {fourth} and {twelfth}, are short, too.")


def test_two_reasons_on_the_same_day() -> None:
    [note] = short_notes((nature(2), short(2, 4, FIXED)), READER)
    assert f"Besides: short by another 4 kg, on {on(2)[0]}. {FIXED}" in note


def part(days: int, amount: float, *, measure: str = "unit", promise: str = "spawn") -> Short:
    day = TODAY + timedelta(days=days)
    return Short(promise, day, "grey", amount, measure, 3, FIXED, is_unavoidable=False)


def test_less_than_half_a_unit_is_not_worth_a_word() -> None:
    assert short_notes((part(2, 0.4), part(9, 0.3)), READER) == ()
    assert short_notes((part(2, 20.0, measure="gram"),), READER) == ()
    [note] = short_notes((part(2, 0.4), part(5, 1.6)), READER)
    assert note == f"Grey oyster will be short by 2 units, on {on(5)[0]}. {FIXED}"


def test_parts_of_one_promise_and_day_count_together() -> None:
    [note] = short_notes((part(2, 0.4), part(2, 0.4), part(5, 0.4)), READER)
    assert note.startswith(f"Grey oyster will be short by 1 unit, on {on(2)[0]}.")


def test_a_stake_of_less_than_half_a_unit_is_none() -> None:
    assert stake_in_words(0.4, "unit", READER) == ""
    assert stake_in_words(0.6, "unit", READER) == "1 unit"
    assert stake_in_words(20.0, "gram", READER) == ""
