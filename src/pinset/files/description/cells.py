"""One cell of a table: what it may hold, how it is read, how it is written.

Each kind has ``accepted`` (words for the message), ``read`` (cell to value) and ``show`` (value to
what stands in a cell). ``show`` then ``read`` gives the value back unchanged.
"""

from __future__ import annotations

import unicodedata
from dataclasses import dataclass
from datetime import date, datetime, time
from enum import StrEnum
from typing import Any, Protocol

from pinset.chain.lotcode import read_code
from pinset.errors import InputError
from pinset.files.description.place import listed, nearest, shown
from pinset.files.description.sheet import Raw

NONE_SIGN = "-"
"""Written in a cell to say "none", where an empty cell means "as published"."""


MOST_DIGITS = 30


class CellError(InputError):
    """A cell that cannot be read; ``name`` is the part of the finding's id after ``load.``."""

    def __init__(self, name: str, given: object, accepted: str, hint: str = "") -> None:
        self.name = name
        super().__init__("cell", given, accepted, hint)


class Kind(Protocol):
    """What a column may hold."""

    @property
    def accepted(self) -> str:
        """What is accepted, in words."""

    @property
    def none(self) -> Any:
        """The value that stands for none."""

    def read(self, cell: Raw, *, comma_is_decimal: bool = False) -> Any:
        """Return the value of a cell that is not empty, or raise CellError."""

    def show(self, value: Any) -> Raw:
        """Return what is written in the cell."""


def cell_text(cell: Raw) -> str:
    """Return a cell as the text a person sees: a code typed as 101 is no ``101.0``."""
    if isinstance(cell, bool):
        return "yes" if cell else "no"
    if isinstance(cell, float) and cell.is_integer():
        return str(int(cell))
    if isinstance(cell, int) and abs(cell) > 10**MOST_DIGITS:
        return f"a number of more than {MOST_DIGITS} digits"
    if isinstance(cell, datetime):
        return cell.date().isoformat() if cell.time() == time() else cell.isoformat(" ")
    if isinstance(cell, (date, time)):
        return cell.isoformat()
    return str(cell).replace("\xa0", " ").strip()


@dataclass(frozen=True, slots=True)
class Text:
    """Free text."""

    most: int = 2000
    none: str = ""

    @property
    def accepted(self) -> str:
        """What is accepted."""
        return f"text of at most {self.most} signs"

    def read(self, cell: Raw, *, comma_is_decimal: bool = False) -> str:
        """Return the text without spaces at its ends."""
        del comma_is_decimal
        text = cell_text(cell)
        if len(text) > self.most:
            raise CellError("too-long", text, self.accepted)
        control = next((sign for sign in text if _is_control(sign)), "")
        if control:
            raise CellError("control-sign", text, "text without control signs")
        return unguarded(text)

    def show(self, value: str) -> str:
        """Return the text, guarded if a spreadsheet would take it for a formula."""
        return guarded(value)


def _is_control(sign: str) -> bool:
    return (ord(sign) < ord(" ") and sign not in "\n\t") or sign == "\x7f"


FORMULA_SIGNS = ("=", "+", "-", "@", "\t")


def guarded(text: str) -> str:
    """Put an apostrophe before text that a spreadsheet would run as a formula.

    So too before the signs that this reader takes for none or for a comment.
    """
    return f"'{text}" if text.lstrip("'").startswith((*FORMULA_SIGNS, "#")) else text


def unguarded(text: str) -> str:
    """Take away the apostrophe that :func:`guarded` put there."""
    if text.startswith("'") and text.lstrip("'").startswith((*FORMULA_SIGNS, "#")):
        return text[1:]
    return text


@dataclass(frozen=True, slots=True)
class Code:
    """A code: letters, digits and ``- _ .``, kept in lower case."""

    none: str = ""
    most: int = 40

    @property
    def accepted(self) -> str:
        """What is accepted."""
        return f"a code of letters a-z, digits, - _ . without spaces, at most {self.most} signs"

    def read(self, cell: Raw, *, comma_is_decimal: bool = False) -> str:
        """Return the code in its one case."""
        del comma_is_decimal
        text = cell_text(cell)
        code = text.lower()
        if not is_code(code) or len(code) > self.most:
            better = suggested_code(code)
            fits = better and is_code(better) and len(better) <= self.most
            raise CellError("code", text, self.accepted, f"For example {better}." if fits else "")
        return code

    def show(self, value: str) -> str:
        """Return the code."""
        return value


@dataclass(frozen=True, slots=True)
class LotCode:
    """A lot's printed code, with its check sign."""

    none: str = ""
    accepted: str = "a lot code with a right check sign, such as 7K4MV, or nothing"

    def read(self, cell: Raw, *, comma_is_decimal: bool = False) -> str:
        """Return the code as printed."""
        del comma_is_decimal
        text = cell_text(cell)
        try:
            found = read_code(text)
        except InputError as error:
            raise CellError("lot-code", text, self.accepted, error.hint) from None
        if found.unit is not None:
            raise CellError("lot-code", text, self.accepted, "Leave out the unit number.")
        return found.lot

    def show(self, value: str) -> str:
        """Return the code."""
        return value


def suggested_code(text: str) -> str:
    """Return the code most like a text: ``Grüne Kiste`` is ``grune-kiste``."""
    bare = unicodedata.normalize("NFKD", text).encode("ascii", "ignore").decode("ascii").lower()
    return "-".join("".join(sign if sign.isalnum() else " " for sign in bare).split())


def is_code(text: str) -> bool:
    """Return True if a text can be a code."""
    plain = text.isascii() and all(sign.isalnum() or sign in "-_." for sign in text)
    return plain and text[:1].isalnum()


MOST_LISTED = 40
"""So many words are listed where one of them is accepted."""


@dataclass(frozen=True, slots=True)
class Choice:
    """One of a few words."""

    words: tuple[str, ...]
    enum: type[StrEnum] | None = None
    none: Any = ""

    @property
    def accepted(self) -> str:
        """What is accepted."""
        return f"one of {listed(self.words, most=MOST_LISTED)}"

    def read(self, cell: Raw, *, comma_is_decimal: bool = False) -> Any:
        """Return the word, or its enum member."""
        del comma_is_decimal
        text = cell_text(cell)
        word = " ".join(text.casefold().replace("_", " ").split())
        for known in self.words:
            if word == known.replace("_", " ").casefold():
                return self.enum(known) if self.enum else known
        close = nearest(text, self.words)
        raise CellError("word", text, self.accepted, f"Did you mean {close}?" if close else "")

    def show(self, value: Any) -> str:
        """Return the word."""
        return str(value)


def choice(enum: type[StrEnum]) -> Choice:
    """Return the kind of a column that holds members of an enum."""
    return Choice(tuple(member.value for member in enum), enum)


@dataclass(frozen=True, slots=True)
class YesNo:
    """Yes or no."""

    accepted: str = "yes or no"
    none: bool = False

    def read(self, cell: Raw, *, comma_is_decimal: bool = False) -> bool:
        """Return True for yes."""
        del comma_is_decimal
        word = cell_text(cell).casefold()
        if word in {"yes", "y", "true", "1", "x"}:
            return True
        if word in {"no", "n", "false", "0"}:
            return False
        raise CellError("word", cell_text(cell), self.accepted)

    def show(self, value: bool) -> str:  # noqa: FBT001 - the value of a cell
        """Return the word."""
        return "yes" if value else "no"


@dataclass(frozen=True, slots=True)
class Several:
    """Several values of one kind in one cell, parted by spaces, commas or semicolons."""

    kind: Kind
    none: tuple[()] = ()
    exactly: int = 0  # so many of them; 0: any number

    @property
    def accepted(self) -> str:
        """What is accepted."""
        many = str(self.exactly) if self.exactly else "one or more"
        return f"{many}, parted by spaces; each {self.kind.accepted}"

    def read(self, cell: Raw, *, comma_is_decimal: bool = False) -> tuple[Any, ...]:
        """Return the values in the order given."""
        text = cell_text(cell)
        words = text.replace(",", " ").replace(";", " ").split()
        values = []
        for word in words:
            try:
                values.append(self.kind.read(word, comma_is_decimal=comma_is_decimal))
            except CellError as error:
                raise CellError(error.name, text, self.accepted, error.hint) from None
        if values and self.exactly and len(values) != self.exactly:
            raise CellError("number-of-values", f"{text} ({len(values)})", self.accepted)
        return tuple(values)

    def show(self, value: tuple[Any, ...]) -> Raw:
        """Return the values parted by spaces."""
        return " ".join(str(self.kind.show(item)) for item in value)


def sentence(error: CellError) -> str:
    """Return the sentence of a finding made from a cell that cannot be read."""
    return f"{shown(error.given)} is given; accepted is {error.accepted}."
