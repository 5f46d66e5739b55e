"""Rules of cooks and instruments in the book: what cannot be is found, what is doubtful is said."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from pinset.chain.register import FarmBook, Instrument, InstrumentKind
from pinset.chain.rules_farm import check_places
from pinset.files.description.example import example_book


def found(book: FarmBook) -> set[str]:
    return {finding.id for finding in check_places(book)}


def with_rule(rule: str) -> FarmBook:
    book = example_book(date(2026, 3, 12))
    first = book.sterilisers[0]
    cooks = tuple(replace(each, rule=rule) for each in first.cooks)
    return replace(book, sterilisers=(replace(first, cooks=cooks), *book.sterilisers[1:]))


def with_instrument(**more: object) -> FarmBook:
    given = {"error": 0.3, "calibrated_on": date(2025, 6, 1), **more}
    one = Instrument("core", "Core", InstrumentKind.PROBE, **given)  # type: ignore[arg-type]
    return replace(example_book(date(2026, 3, 12)), instruments=(one,))


def test_a_rule_of_a_cook_must_be_one() -> None:
    assert "cook.rule" not in found(with_rule("f0=15,hold=121/15"))
    assert "cook.rule" not in found(with_rule(""))
    assert "cook.rule" in found(with_rule("long enough"))
    assert "cook.rule" in found(with_rule("f0=-1"))


def test_an_instrument_off_by_ten_kelvin_is_none() -> None:
    assert not found(with_instrument()) & {"instrument.error"}
    assert "instrument.error" in found(with_instrument(error=12.0))
    assert "instrument.error" in found(with_instrument(error=-0.1))
    assert "instrument.error" in found(with_instrument(error=None))
