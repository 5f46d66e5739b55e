"""Draws one label as marks in millimetres: the QR code, the code in large type, words.

The QR code stands at the left, or on top where a label is higher than wide. A label for a tube has
the smallest QR code that reads and says its code a second time, turned, so that it can be read
lying and standing in a rack.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from reportlab.lib.units import mm
from reportlab.pdfbase.pdfmetrics import stringWidth

from pinset.chain.label_layouts import LabelLayout
from pinset.paper.labels.fitting import LEADING, Fitted, fitted, font
from pinset.paper.labels.qr import LEAST_MM, QUIET, Modules, module_mm, modules
from pinset.paper.labels.words import Fact, LabelWords, groups
from pinset.paper.letters import BOLD, PLAIN, ready

PAD_MM = 1.5  # blank at each edge of a label
UNPRINTED_MM = 4.3  # at each edge of a page an office printer leaves blank (memory)
QR_SHARE = 0.42  # of the longer side of a label, at most
CAP = 0.66  # height of a capital, of the size of the letters
MOST_CODE_PT = 40.0
STACKED_BELOW_PT = 10.5  # smaller letters in one line are too small: the groups go on lines
UNIT_SIZE = 0.7  # of the code's letters
CODE_SHARE = 0.34  # of the height there is, for a code in one line
STACKED_SHARE = 0.55  # for a code in several
GROUP_GAP = 0.22  # between groups, of the size of the letters
TURNED_PT = 8.0
TURNED_MM = 4.0  # taken by the turned code, its gap included
TURNED_FROM_MM = 36.0  # shorter labels have no room for it


@dataclass(frozen=True, slots=True)
class Word:
    """Words on one line; the place is the left end of its base line."""

    text: str
    x_mm: float
    y_mm: float  # from the upper edge
    size_pt: float
    is_strong: bool
    wide_mm: float
    is_turned: bool = False  # by a quarter, read from below to above


@dataclass(frozen=True, slots=True)
class LabelMarks:
    """Everything on one label; places are from its upper left corner."""

    code: Modules
    qr_x_mm: float
    qr_y_mm: float
    module_mm: float
    words: tuple[Word, ...]
    left_out: int  # facts without room


@dataclass(frozen=True, slots=True)
class _Box:
    left: float
    top: float
    right: float
    bottom: float

    @property
    def wide(self) -> float:
        return self.right - self.left

    @property
    def high(self) -> float:
        return self.bottom - self.top


def drawn(said: LabelWords, layout: LabelLayout) -> LabelMarks:
    """Return the marks of a label; all labels of a layout are laid out alike."""
    ready()
    box = _inside(layout)
    code = modules(said.code)
    if layout.label_height_mm > layout.label_width_mm:
        return _upright(said, layout, box, code)
    return _lying(said, layout, box, code)


def _inside(layout: LabelLayout) -> _Box:
    """Return where words may stand: away from the label's edge and from the page's."""
    least = 0.0 if layout.is_roll else UNPRINTED_MM
    edges = (layout.left_mm, layout.top_mm, layout.right_mm, layout.bottom_mm)
    left, top, right, bottom = (max(PAD_MM, least - each) for each in edges)
    return _Box(left, top, layout.label_width_mm - right, layout.label_height_mm - bottom)


def _lying(said: LabelWords, layout: LabelLayout, box: _Box, code: Modules) -> LabelMarks:
    wide, high = layout.label_width_mm, layout.label_height_mm
    edge = max(box.top, high - box.bottom)
    module = LEAST_MM if layout.tubes else min(
        module_mm(code.side, high, edge), module_mm(code.side, QR_SHARE * wide, 0.0)
    )  # fmt: skip
    symbol, quiet = code.side * module, QUIET * module
    x = max(box.left, quiet)
    y = (high - symbol) / 2
    right = box.right
    turned: tuple[Word, ...] = ()
    if layout.tubes and wide >= TURNED_FROM_MM:
        turned = _turned(said, _Box(right - TURNED_MM, box.top, right, box.bottom))
        right -= TURNED_MM
    room = _Box(x + symbol + quiet, box.top, right, box.bottom)
    words, left_out = _text(said, room, is_middle=True)
    return LabelMarks(code, x, y, module, (*words, *turned), left_out)


def _upright(said: LabelWords, layout: LabelLayout, box: _Box, code: Modules) -> LabelMarks:
    wide, high = layout.label_width_mm, layout.label_height_mm
    edge = max(box.left, wide - box.right)
    module = LEAST_MM if layout.tubes else min(
        module_mm(code.side, wide, edge), module_mm(code.side, QR_SHARE * high, 0.0)
    )  # fmt: skip
    symbol, quiet = code.side * module, QUIET * module
    y = max(box.top, quiet)
    room = _Box(box.left, y + symbol + quiet, box.right, box.bottom)
    words, left_out = _text(said, room, is_middle=False)
    return LabelMarks(code, (wide - symbol) / 2, y, module, words, left_out)


def _turned(said: LabelWords, room: _Box) -> tuple[Word, ...]:
    text = " ".join(groups(said.lot)) + said.unit
    size = TURNED_PT
    size *= min(1.0, room.high * mm / stringWidth(text, BOLD, size))
    wide = stringWidth(text, BOLD, size) / mm
    return (Word(text, room.right, room.bottom - (room.high - wide) / 2, size, True, wide, True),)


def _text(said: LabelWords, room: _Box, *, is_middle: bool) -> tuple[tuple[Word, ...], int]:
    """Return the code in large type and the facts below it."""
    lines, size = _code_lines(said, room.wide, room.high)
    step = size * 1.02 / mm  # codes have no letters that reach below the line
    code_high = (len(lines) - 1) * step + size * CAP / mm
    gap = 0.35 * size / mm
    facts = _facts(said.facts, room.wide * mm, (room.high - code_high - gap) * mm)
    line_high = facts.size_pt * LEADING / mm
    whole = code_high + (gap + len(facts.lines) * line_high if facts.lines else 0.0)
    top = room.top + (max(0.0, room.high - whole) / 2 if is_middle else 0.0)
    words: list[Word] = []
    for i, line in enumerate(lines):
        words += _spread(line, room.left, top + size * CAP / mm + i * step, size)
    y = top + code_high + gap + facts.size_pt * 0.86 / mm
    for i, each in enumerate(facts.lines):
        name = font(is_strong=each.is_strong)
        wide = stringWidth(each.text, name, facts.size_pt) / mm
        words.append(
            Word(each.text, room.left, y + i * line_high, facts.size_pt, each.is_strong, wide)
        )
    return tuple(words), facts.left_out


@lru_cache(maxsize=512)
def _facts(facts: tuple[Fact, ...], wide_pt: float, high_pt: float) -> Fitted:
    return fitted(facts, wide_pt, high_pt)


def _code_lines(
    said: LabelWords, wide: float, high: float
) -> tuple[tuple[tuple[str, ...], ...], float]:
    """Return the code's groups line by line and the size of its letters, as large as fits.

    Codes of one length get one size, so that the labels of a sheet look alike.
    """
    parts = (*groups(said.lot), *((said.unit,) if said.unit else ()))
    usual = tuple(_usual(part) for part in parts)
    best: tuple[float, tuple[tuple[str, ...], ...]] = (0.0, (parts,))
    for many in range(1, len(groups(said.lot)) + 1):
        share = CODE_SHARE if many == 1 else STACKED_SHARE
        by_height = share * high * mm / ((many - 1) * 1.02 + CAP)
        sizes = [wide * mm / max(_wide(line, 1.0) for line in _dealt(each, many))
                 for each in (parts, usual)]  # fmt: skip
        size = min(*sizes, by_height, MOST_CODE_PT)
        if size > best[0] and best[0] < STACKED_BELOW_PT:
            best = (size, _dealt(parts, many))
    size, lines = best
    return lines, size


def _usual(part: str) -> str:
    """Return signs as wide as most: in place of the code's own, and three for a unit."""
    return f"/{'0' * max(3, len(part) - 1)}" if part.startswith("/") else "G" * len(part)


def _dealt(parts: tuple[str, ...], many: int) -> tuple[tuple[str, ...], ...]:
    """Return parts in order on so many lines, the last lines the fuller ones."""
    least, more = divmod(len(parts), many)
    lines, at = [], 0
    for i in range(many):
        size = least + (i >= many - more)
        lines.append(parts[at : at + size])
        at += size
    return tuple(lines)


def _font(part: str, size: float) -> tuple[str, float]:
    """Return letters and size of a part of the code; the unit is the smaller one."""
    return (PLAIN, size * UNIT_SIZE) if part.startswith("/") else (BOLD, size)


def _wide(line: tuple[str, ...], size: float) -> float:
    gaps = sum(GROUP_GAP for part in line[1:] if not part.startswith("/"))
    return sum(stringWidth(part, *_font(part, size)) for part in line) + gaps * size


def _spread(line: tuple[str, ...], x: float, y: float, size: float) -> list[Word]:
    words = []
    for i, part in enumerate(line):
        if i and not part.startswith("/"):
            x += GROUP_GAP * size / mm
        name, large = _font(part, size)
        wide = stringWidth(part, name, large) / mm
        words.append(Word(part, x, y, large, name == BOLD, wide))
        x += wide
    return words
