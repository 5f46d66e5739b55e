"""Words somebody typed for one of a list: what nearly fits is named beside the refusal."""

from __future__ import annotations

from collections.abc import Iterable
from difflib import get_close_matches

from pinset.errors import InputError

ALIKE = 0.6
"""Share of signs two words have in common, from which one may be meant by the other. [-]"""


def did_you_mean(given: str, known: Iterable[str]) -> str:
    """Return ``Did you mean green-dust?``, or nothing where no word is near."""
    by_word = {each.casefold(): each for each in known}
    near = get_close_matches(given.casefold(), list(by_word), n=2, cutoff=ALIKE)
    return f"Did you mean {' or '.join(by_word[each] for each in near)}?" if near else ""


def one_of(field: str, given: str, known: Iterable[str], *, none: str = "none yet") -> str:
    """Return a word that is one of those known.

    Parameters
    ----------
    field : str
        The input by the name the reader knows.
    given : str
        What was typed.
    known : iterable of str
        The words that fit.
    none : str
        What is said instead of them where there is none.

    Raises
    ------
    InputError
        If it is none of them; it lists them and names those that are near.
    """
    words = list(known)
    if given not in words:
        listed = f"one of {', '.join(words)}" if words else none
        raise InputError(field, given, listed, did_you_mean(given, words))
    return given
