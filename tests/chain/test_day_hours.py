"""Hours of one weekday, as a number or by the clock."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pinset.chain.day_hours import (
    WHOLE_DAY,
    Span,
    clock_words,
    hours_count,
    read_spans,
    spans_of,
    spans_text,
)
from pinset.errors import InputError


def test_a_number_counts_from_the_beginning_of_the_farms_day() -> None:
    assert spans_of(8.0, 450) == (Span(450, 930),)
    assert spans_of(0.0, 450) == ()
    assert hours_count(7.5) == 7.5


def test_a_span_stands_by_the_clock_whenever_the_day_begins() -> None:
    assert spans_of("17:00-20:30", 450) == (Span(17 * 60, 20 * 60 + 30),)
    assert hours_count("17:00-20:30") == 3.5


def test_two_spans_come_in_their_order_and_in_one_form() -> None:
    assert spans_text("16.00 \u2013 18:00,7:00-11:00") == "07:00-11:00, 16:00-18:00"
    assert hours_count("07:00-11:00, 16:00-18:00") == 6.0
    assert spans_text("20:00-24:00") == "20:00-24:00"


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("17:00", "17:00-20:30"),
        ("17:00-", "17:00-20:30"),
        ("17:00-25:00", "clock times from 00:00 to 24:00"),
        ("17:60-18:00", "clock times"),
        ("24:00-24:00", "clock times"),
        ("22:00-02:00", "past midnight: write 22:00-24:00 here and 00:00-02:00 on the next day"),
        ("17:00-17:00", "ends later than it begins"),
        ("07:00-11:00, 10:00-12:00", "07:00-11:00 and 10:00-12:00 overlap"),
        ("1:00-2:00,3:00-4:00,5:00-6:00,7:00-8:00,9:00-10:00", "at most 4"),
    ],
)
def test_what_cannot_be_is_refused_in_words(text: str, said: str) -> None:
    with pytest.raises(InputError, match=said) as refused:
        read_spans(text, "hours.tue")
    assert refused.value.field == "hours.tue"


@given(st.lists(st.integers(0, WHOLE_DAY), min_size=2, max_size=8, unique=True))
def test_what_is_written_is_read_back(minutes: list[int]) -> None:
    ends = sorted(minutes[: len(minutes) // 2 * 2])
    spans = [Span(a, b) for a, b in zip(ends[::2], ends[1::2], strict=True)]
    text = ", ".join(f"{clock_words(s.begins)}-{clock_words(s.ends)}" for s in spans)
    assert list(read_spans(text)) == spans
    assert spans_text(text) == text
