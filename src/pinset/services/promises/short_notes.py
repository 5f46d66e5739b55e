"""What is short soon, in a few sentences a variety: the soonest reason, and at most one more."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence

from pinset.planning.plan import Short
from pinset.planning.reading.short_reason import ShortReason
from pinset.planning.reading.shortage_words import is_said, worth_a_word
from pinset.services.book_reader import Reader
from pinset.services.words import joined, short_day

__all__ = ["short_notes", "worth_a_word"]


def short_notes(shorts: Sequence[Short], reader: Reader) -> tuple[str, ...]:
    """Return one note for each variety and measure that is short, the soonest first."""
    together: dict[tuple[str, str], list[Short]] = defaultdict(list)
    for short in sorted(worth_a_word(shorts), key=lambda each: each.day):
        together[short.variety, short.measure].append(short)
    return tuple(_note(reader, each) for each in together.values())


def _note(reader: Reader, shorts: Sequence[Short]) -> str:
    """Return what is said of one variety; ``shorts`` stand soonest first.

    The second reason is one that work or places can mend, if there is one and the first cannot.
    """
    groups: dict[tuple[ShortReason | str, tuple[str, ...]], list[Short]] = defaultdict(list)
    for short in shorts:
        groups[short.reason_code or short.reason, short.about].append(short)
    said_groups = [group for group in groups.values() if _is_said(group)] or [list(shorts)]
    first, *others = said_groups
    said = [f"{reader.name(shorts[0].variety)} will be short by {_when(reader, first)}."]
    said.append(first[0].reason)
    others.sort(key=lambda group: first[0].is_unavoidable and group[0].is_unavoidable)
    if others:
        second, *rest = others
        begins = "Later days" if second[0].day > first[0].day else "Besides"
        said += [f"{begins}: short by another {_when(reader, second)}.", second[0].reason]
        left = sorted((short for group in rest for short in group), key=lambda each: each.day)
        said += [f"Promises shows why {_when(reader, left)}, are short, too."] if left else []
    return " ".join(said)


def _is_said(shorts: Sequence[Short]) -> bool:
    """Say whether what is short together is more than nothing in words."""
    return is_said(sum(short.amount for short in shorts), shorts[0].measure)


def _when(reader: Reader, shorts: Sequence[Short]) -> str:
    total = reader.about(sum(short.amount for short in shorts), shorts[0].measure)
    return f"{total}, on {joined([short_day(day) for day in sorted({s.day for s in shorts})])}"
