"""Why units are lost, by the same signs that are looked for: drawn in Look, tapped beside a loss.

What was written as the cause of a loss before there were signs stays as it was; where such a word
is typed again it is understood as its sign.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from pinset.services.looking.words import names_of
from pinset.services.texts import LONGEST_REASON, written
from pinset.tables.cautions import caution
from pinset.tables.signs import Medium, Out, sign, sign_of_word, signs_of

NOT_KNOWN = "not known"
OTHER = "other"
SHOWN_BEFORE = "mouldy-units"
"""The caution that stands beside every form of a loss."""


@dataclass(frozen=True, slots=True)
class Cause:
    """Why units were lost: in words, and as signs where it is one of them."""

    words: str
    signs: tuple[str, ...] = ()


def cause_of(given: str) -> Cause:
    """Return a cause that was tapped or typed: a sign by its key or name, or any other words.

    Examples
    --------
    >>> cause_of("green-dust")
    Cause(words='green dust', signs=('green-dust',))
    >>> cause_of("green mould")
    Cause(words='green mould', signs=('green-dust',))
    >>> cause_of("fell off the shelf").signs
    ()
    """
    said = written("cause", given, LONGEST_REASON)
    key = sign_of_word(said)
    if not key:
        return Cause(said)
    return Cause(names_of([key]) if said == key else said, (key,))


def warned_of(cause: Cause) -> tuple[str, ...]:
    """Return the cautions of what was seen, beyond the one that stands beside the form.

    Examples
    --------
    >>> [words[:28] for words in warned_of(cause_of("orange-fluff"))]
    ['Orange fluff is an emergency']
    >>> warned_of(cause_of("green-dust"))
    ()
    """
    keys = dict.fromkeys(sign(key).caution for key in cause.signs)
    return tuple(caution(key).words for key in keys if key != SHOWN_BEFORE)


def causes_in(media: Iterable[Medium]) -> tuple[tuple[str, str], ...]:
    """Return the signs for which units of all these media count as lost: key and name of each."""
    each_has: Sequence[dict[str, str]] = [
        {
            each.key: each.name
            for each in signs_of(medium)
            if each.out is Out.LOST and each.key != OTHER
        }
        for medium in dict.fromkeys(media)
    ]
    if not each_has:
        return ((NOT_KNOWN, NOT_KNOWN),)
    first, *others = each_has
    common = [(key, name) for key, name in first.items() if all(key in each for each in others)]
    return (*common, (NOT_KNOWN, NOT_KNOWN))
