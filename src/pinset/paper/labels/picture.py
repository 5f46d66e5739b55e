"""A label as a drawing for a page: the marks of the paper, in millimetres."""

from __future__ import annotations

from dataclasses import dataclass

from pinset.chain.label_layouts import LabelLayout
from pinset.paper.labels.drawing import Word, drawn
from pinset.paper.labels.words import LabelWords

PT_MM = 25.4 / 72


@dataclass(frozen=True, slots=True)
class PictureWord:
    """Words of a picture; sizes in millimetres."""

    text: str
    x: float
    y: float
    size: float
    wide: float
    is_strong: bool
    is_turned: bool


@dataclass(frozen=True, slots=True)
class LabelPicture:
    """What one label looks like."""

    wide: float
    high: float
    modules: str  # path of the dark modules
    words: tuple[PictureWord, ...]
    left_out: int  # things that had no room


def picture_of(said: LabelWords, layout: LabelLayout) -> LabelPicture:
    """Return a label as a drawing whose unit is the millimetre."""
    marks = drawn(said, layout)
    module = marks.module_mm
    path = "".join(
        f"M{marks.qr_x_mm + column * module:.3f} {marks.qr_y_mm + row * module:.3f}"
        f"h{wide * module:.3f}v{module:.3f}h{-wide * module:.3f}z"
        for row, column, wide in marks.code.dark
    )
    words = tuple(_word(each) for each in marks.words)
    return LabelPicture(layout.label_width_mm, layout.label_height_mm, path, words, marks.left_out)


def _word(word: Word) -> PictureWord:
    return PictureWord(
        word.text,
        round(word.x_mm, 2),
        round(word.y_mm, 2),
        round(word.size_pt * PT_MM, 2),
        round(word.wide_mm, 2),
        word.is_strong,
        word.is_turned,
    )
