"""What stands on a label, in words, and how a code is grouped for reading."""

from __future__ import annotations

import re
from dataclasses import dataclass

from pinset.chain.lotcode import is_valid

LONGEST_GROUP = 4
MOST_CHOICES = 3
LETTERS_KEPT = (8, 6, 5, 4, 3)  # of words that are cut, level by level
LEVELS = MOST_CHOICES + len(LETTERS_KEPT)
WORD = re.compile(r"[^\W\d_]+")


@dataclass(frozen=True, slots=True)
class Fact:
    """One thing said on a label: in full, then shorter and shorter."""

    choices: tuple[str, ...]
    is_strong: bool = False

    def at(self, level: int) -> str:
        """Return what is said at a level of shortness; from the third on words are cut.

        Words that are cut keep at least three letters and get a full stop. Lot codes, and all
        words with a figure in them, are never cut.

        Examples
        --------
        >>> [Fact(("grain jar", "grain")).at(level) for level in (0, 2, 7)]
        ['grain jar', 'grain', 'gra.']
        """
        if level < MOST_CHOICES:
            return self.choices[min(level, len(self.choices) - 1)]
        return shortened(self.choices[-1], LETTERS_KEPT[level - MOST_CHOICES])


@dataclass(frozen=True, slots=True)
class LabelWords:
    """What one label says; facts stand in the order of their weight."""

    code: str  # as the QR code holds it: "7K4MV", or "7K4MV/12" for one unit
    facts: tuple[Fact, ...]

    @property
    def lot(self) -> str:
        """The code of the lot."""
        return self.code.partition("/")[0]

    @property
    def unit(self) -> str:
        """The unit with its stroke: ``/12``; empty for a whole lot."""
        return self.code[len(self.lot) :]


def groups(lot: str) -> tuple[str, ...]:
    """Return a code in groups of at most four signs, as even as can be, the longer ones first.

    Examples
    --------
    >>> groups("7K4MV"), groups("23456789")
    (('7K4', 'MV'), ('2345', '6789'))
    """
    number = -(-len(lot) // LONGEST_GROUP)
    least, longer = divmod(len(lot), number)
    found, at = [], 0
    for i in range(number):
        size = least + (i < longer)
        found.append(lot[at : at + size])
        at += size
    return tuple(found)


def shortened(text: str, letters: int) -> str:
    """Return a text with its long words cut to so many letters and a full stop.

    Examples
    --------
    >>> shortened("from plates MYGUA, culture PO-3 of Pleurotus", 4)
    'from plat. MYGUA, cult. PO-3 of Pleu.'
    """
    return " ".join(_cut(part, letters) for part in text.split(" "))


def _cut(part: str, letters: int) -> str:
    word = WORD.match(part)
    if word is None or any(sign.isdigit() for sign in part) or is_valid(part.strip(",.;:()")):
        return part
    if word.end() <= letters + 1:  # a full stop would gain nothing
        return part
    behind = part[-1] if part[-1] in ",;:" else ""
    return f"{part[:letters]}.{behind}"
