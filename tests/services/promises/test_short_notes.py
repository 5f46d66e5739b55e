"""What is short soon is said by reason: none is hidden behind the soonest day's."""

from __future__ import annotations

from datetime import timedelta

from farm.small_farm import BOOK, TODAY
from pinset.chain.plain import from_plain, to_plain
from pinset.planning.plan import Short
from pinset.planning.reading.short_reason import ShortReason
from pinset.services.book_reader import Reader
from pinset.services.jobs.of_starts import stake_in_words
from pinset.services.promises.short_notes import short_notes
from pinset.services.words import short_day

READER = Reader(BOOK, TODAY)


NATURE = frozenset({ShortReason.TOO_SOON, ShortReason.NO_START, ShortReason.FEW_PARENTS})


def short(days: int, kilos: float, words: str, code: ShortReason, *about: str) -> Short:
    day = TODAY + timedelta(days=days)
    grams = kilos * 1000
    return Short("market", day, "grey", grams, "gram", grams, words, code in NATURE, code, about)


def nature(days: int) -> Short:
    by = short_day(TODAY + timedelta(days=days - 1))
    said = f"What is alive now gives no more Grey oyster by {by}, whatever is done; so it is."
    return short(days, 2, said, ShortReason.TOO_SOON, "block")


def full(days: int, on: str, mend: int) -> Short:
    said = f"Short of 5 blocks because the grow room poly is full on {on}; about {mend} more places"
    return short(days, 3, f"{said} would mend it.", ShortReason.FULL, "grow room poly")


FIXED = "The days set for starting and moving, and the days off, cost 4 blocks."


def fixed(days: int) -> Short:
    return short(days, 4, FIXED, ShortReason.SET_DAYS, "picked")


def on(*days: int) -> list[str]:
    return [short_day(TODAY + timedelta(days=day)) for day in days]


def test_days_of_one_reason_are_one_sentence() -> None:
    [note] = short_notes((nature(5), nature(2)), READER)
    first, second = on(2, 5)
    assert note.head == f"Grey oyster will be short by 4 kg, on {first} and {second}."
    assert note.why == nature(2).reason


def test_a_later_reason_is_said_with_its_own_days() -> None:
    rows = (nature(2), full(9, "10 March", 20), full(16, "10 March, 11 March and 6 more days", 84))
    [note] = short_notes(rows, READER)
    first, ninth, last = on(2, 9, 16)
    assert str(note) == (
        f"Grey oyster will be short by 8 kg, on {first}, {ninth} and {last}. "
        f"2 kg of it, on {first}: {rows[0].reason} "
        f"6 kg of it, on {ninth} and {last}: {rows[1].reason}"
    )


def test_what_can_be_mended_goes_before_what_cannot_and_the_rest_is_pointed_to() -> None:
    said = "Nothing alive now gives more, and no more can be started."
    nothing = short(4, 1, said, ShortReason.NO_START, "block")
    rows = (nature(2), nothing, fixed(9), full(12, "3 April", 9))
    [note] = short_notes(rows, READER)
    [fourth, ninth, twelfth] = on(4, 9, 12)
    assert note.head.startswith("Grey oyster will be short by 10 kg, on ")
    assert f"4 kg of it, on {ninth}: {FIXED}" in note.why
    assert note.why.endswith(f"Promises shows why 4 kg, on {fourth} and {twelfth}, are short, too.")


def test_two_reasons_on_the_same_day() -> None:
    [note] = short_notes((nature(2), fixed(2)), READER)
    assert f"4 kg of it: {FIXED}" in note.why


def few(days: int, wanted: str) -> Short:
    said = f"What is alive now starts too few: {wanted} would be needed."
    return short(days, 1, said, ShortReason.FEW_PARENTS, "block")


def test_the_same_reason_in_other_words_is_one_reason() -> None:
    jars = few(2, "about 2 more grain jars")
    both = few(5, "about 3 more grain jars and about 1 more plate")
    [note] = short_notes((jars, both), READER)
    first, second = on(2, 5)
    assert str(note) == f"Grey oyster will be short by 2 kg, on {first} and {second}. {jars.reason}"


def test_another_full_resource_is_another_reason() -> None:
    """The words are the same but for one that could pass for a number or a day."""
    room = short(2, 1, "Full in May.", ShortReason.FULL, "grow room may")
    other = short(5, 1, "Full in June.", ShortReason.FULL, "grow room june")
    [note] = short_notes((room, other), READER)
    assert note.why.endswith(f"1 kg of it, on {on(5)[0]}: Full in June.")


def test_a_plan_stored_without_codes_is_told_by_its_sentences() -> None:
    [note] = short_notes((part(2, 1.0), part(5, 1.0)), READER)
    assert note.why.endswith(FIXED)
    kept = part(2, 1.0)
    plain = {k: v for k, v in to_plain(kept).items() if k not in {"reason_code", "about"}}
    assert from_plain(Short, plain) == kept
    named = fixed(2)
    assert from_plain(Short, to_plain(named)) == named


def part(days: int, amount: float, *, measure: str = "unit", promise: str = "spawn") -> Short:
    day = TODAY + timedelta(days=days)
    return Short(promise, day, "grey", amount, measure, 3, FIXED, is_unavoidable=False)


def test_less_than_half_a_unit_is_not_worth_a_word() -> None:
    assert short_notes((part(2, 0.4), part(9, 0.3)), READER) == ()
    assert short_notes((part(2, 20.0, measure="gram"),), READER) == ()
    [note] = short_notes((part(2, 0.4), part(5, 1.6)), READER)
    assert str(note) == f"Grey oyster will be short by 2 units, on {on(5)[0]}. {FIXED}"


def test_parts_of_one_promise_and_day_count_together() -> None:
    [note] = short_notes((part(2, 0.4), part(2, 0.4), part(5, 0.4)), READER)
    assert note.head.startswith(f"Grey oyster will be short by 1 unit, on {on(2)[0]}.")


def test_a_stake_of_less_than_half_a_unit_is_none() -> None:
    assert stake_in_words(0.4, "unit", READER) == ""
    assert stake_in_words(0.6, "unit", READER) == "1 unit"
    assert stake_in_words(20.0, "gram", READER) == ""


def test_what_is_nothing_in_words_is_not_said() -> None:
    """Two promises of one day, each enough of its own; of a fraction of a unit nothing is said."""
    units = [
        Short("spawn", TODAY + timedelta(days=2), "grey", 3.0, "unit", 3.0, "Too soon.", True,
              ShortReason.TOO_SOON, ("grain",)),
        Short("spawn", TODAY + timedelta(days=2), "grey", 0.3, "unit", 0.3, "Full.", False,
              ShortReason.FULL, ("loft",)),
    ]  # fmt: skip
    [note] = short_notes(units, READER)
    assert str(note) == f"Grey oyster will be short by 3 units, on {on(2)[0]}. Too soon."
