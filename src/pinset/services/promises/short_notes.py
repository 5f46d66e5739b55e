"""What is short soon, in a few sentences a variety: the soonest reason, and at most one more."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from datetime import timedelta

from pinset.planning.plan import Plan, Short
from pinset.planning.reading.short_reason import ShortReason
from pinset.planning.reading.shortage_words import is_said, worth_a_word
from pinset.services.book_reader import Reader
from pinset.services.views import ShortNote
from pinset.services.words import joined, short_day

__all__ = ["short_notes", "short_soon", "worth_a_word"]

SOON_DAYS = 21


def short_soon(plan: Plan, reader: Reader) -> tuple[ShortNote, ...]:
    """Return what the plan of the present day leaves short within three weeks."""
    if plan.start != reader.today:
        return ()
    last = reader.today + timedelta(days=SOON_DAYS)
    return short_notes([each for each in plan.short if reader.today <= each.day <= last], reader)


def short_notes(shorts: Sequence[Short], reader: Reader) -> tuple[ShortNote, ...]:
    """Return one note for each variety and measure that is short, the soonest first."""
    together: dict[tuple[str, str], list[Short]] = defaultdict(list)
    for short in sorted(worth_a_word(shorts), key=lambda each: each.day):
        together[short.variety, short.measure].append(short)
    return tuple(_note(reader, each) for each in together.values())


def _note(reader: Reader, shorts: Sequence[Short]) -> ShortNote:
    """Return what is said of one variety; ``shorts`` stand soonest first.

    The second reason is one that work or places can mend, if there is one and the first cannot.
    """
    groups: dict[tuple[ShortReason | str, tuple[str, ...]], list[Short]] = defaultdict(list)
    for short in shorts:
        groups[short.reason_code or short.reason, short.about].append(short)
    said_groups = [group for group in groups.values() if _is_said(group)] or [list(shorts)]
    first, *others = said_groups
    told = sorted((short for group in said_groups for short in group), key=lambda each: each.day)
    head = f"{reader.name(shorts[0].variety)} will be short by {_when(reader, told)}."
    if not others:
        return ShortNote(head, first[0].reason)
    others.sort(key=lambda group: first[0].is_unavoidable and group[0].is_unavoidable)
    second, *rest = others
    said = [f"{_part(reader, group, told)}: {group[0].reason}" for group in (first, second)]
    left = sorted((short for group in rest for short in group), key=lambda each: each.day)
    said += [f"Promises shows why {_when(reader, left)}, are short, too."] if left else []
    return ShortNote(head, " ".join(said))


def _is_said(shorts: Sequence[Short]) -> bool:
    """Say whether what is short together is more than nothing in words."""
    return is_said(sum(short.amount for short in shorts), shorts[0].measure)


def _when(reader: Reader, shorts: Sequence[Short]) -> str:
    return f"{_total(reader, shorts)}, on {_days(shorts)}"


def _part(reader: Reader, part: Sequence[Short], told: Sequence[Short]) -> str:
    """Return how much of what is told is short for one reason, with its days if they are others."""
    of_it = f"{_total(reader, part)} of it"
    return of_it if _days(part) == _days(told) else f"{of_it}, on {_days(part)}"


def _total(reader: Reader, shorts: Sequence[Short]) -> str:
    return reader.about(sum(short.amount for short in shorts), shorts[0].measure)


def _days(shorts: Sequence[Short]) -> str:
    return joined([short_day(day) for day in sorted({each.day for each in shorts})])
