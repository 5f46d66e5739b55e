"""Fits words into the room a label has: the largest type first, then shorter words."""

from __future__ import annotations

from dataclasses import dataclass

from reportlab.pdfbase.pdfmetrics import stringWidth

from pinset.paper.labels.words import LEVELS, MOST_CHOICES, Fact
from pinset.paper.letters import BOLD, PLAIN, printable

LEADING = 1.16  # of the size of the letters
CHOSEN, CUT = (
    range(MOST_CHOICES),
    range(MOST_CHOICES, LEVELS),
)  # levels of words as they were given; of words cut
PASSES = (
    (9.0, 16.0, CHOSEN),
    (7.5, 9.0, CHOSEN),
    (6.5, 7.5, CHOSEN),
    (6.5, 7.5, CUT),
    (5.5, 6.5, CHOSEN),
    (5.0, 6.5, CUT),
)
"""Least and most size of the letters [pt] and the levels of shortness, as they are tried."""

STEP = 0.25


@dataclass(frozen=True, slots=True)
class Line:
    """One line of words."""

    text: str
    is_strong: bool


@dataclass(frozen=True, slots=True)
class Fitted:
    """Lines that fit, the size of their letters, and how many facts had no room at all."""

    lines: tuple[Line, ...]
    size_pt: float
    left_out: int = 0


def font(*, is_strong: bool) -> str:
    """Return the name of the letters."""
    return BOLD if is_strong else PLAIN


def fitted(facts: tuple[Fact, ...], wide_pt: float, high_pt: float) -> Fitted:
    """Return the facts as lines within a width and a height.

    Large letters are wanted more than long words, and short words more than cut ones. If even the
    shortest words in the smallest letters are too much, the facts at the end are left out, and it
    is said how many.

    Parameters
    ----------
    facts : tuple of Fact
        The weightiest first.
    wide_pt, high_pt : float
        Room there is. [pt]
    """
    for kept in range(len(facts), 0, -1):
        for least, most, levels in PASSES:
            for level in levels:
                size = most
                while size >= least:
                    lines = _lines(facts[:kept], level, size, wide_pt)
                    if lines is not None and len(lines) * size * LEADING <= high_pt:
                        return Fitted(lines, size, len(facts) - kept)
                    size -= STEP
    return Fitted((), PASSES[-1][0], len(facts))


def _lines(
    facts: tuple[Fact, ...], level: int, size: float, wide: float
) -> tuple[Line, ...] | None:
    """Return the facts broken into lines, or None if a word is wider than a line."""
    found: list[Line] = []
    for fact in facts:
        name = font(is_strong=fact.is_strong)
        line = ""
        for word in printable(fact.at(level)).split(" "):
            if stringWidth(word, name, size) > wide:
                return None
            longer = f"{line} {word}" if line else word
            if stringWidth(longer, name, size) > wide:
                found.append(Line(line, fact.is_strong))
                longer = word
            line = longer
        if line:
            found.append(Line(line, fact.is_strong))
    return tuple(found)
