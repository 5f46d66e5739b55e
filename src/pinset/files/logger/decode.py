"""Bytes of a logger's text file to text; damage is passed over and said."""

from __future__ import annotations

import codecs

from pinset.errors import InputError
from pinset.files.logger.records import Guess, Sure
from pinset.files.logger.report import LogReport

ENCODINGS = ("utf-8", "utf-16-le", "utf-16-be", "cp1252", "latin-1")

_PROBE = 4096
_MOSTLY = 0.8  # of every other byte of UTF-16 in Latin letters is NUL
_MARKS = {
    codecs.BOM_UTF8: "utf-8",
    codecs.BOM_UTF16_LE: "utf-16-le",
    codecs.BOM_UTF16_BE: "utf-16-be",
}


def decoded(data: bytes, held: str, report: LogReport) -> tuple[str, Guess[str]]:
    """Return the text of a file and the encoding it was read in.

    ``held`` is the encoding said by hand, or empty.

    Raises
    ------
    InputError
        If the file is none of text.
    """
    mark = next((each for each in _MARKS if data.startswith(each)), b"")
    if held:
        encoding = Guess(held, Sure.GIVEN, "said by hand")
    elif mark:
        encoding = Guess(_MARKS[mark], Sure.NAMED, "the file begins with its mark")
    else:
        encoding = _guessed(data)
    text = data.removeprefix(mark).decode(encoding.value, errors="replace")
    if encoding.value.startswith("utf-16") and len(data.removeprefix(mark)) % 2:
        text = text.removesuffix("\ufffd")
        report.warn("cut-off", "The file breaks off in the middle of a letter.", _WHOLE)
    return _without_nul(text, report), encoding


_WHOLE = "Take the file from the logger once more; half of it may be missing."


def _guessed(data: bytes) -> Guess[str]:
    probe = data[:_PROBE]
    pairs = len(probe) // 2
    if pairs and probe[1::2].count(0) > _MOSTLY * pairs and not probe[0::2].count(0):
        return Guess("utf-16-le", Sure.LIKELY, "every second byte is 0")
    if pairs and probe[0::2].count(0) > _MOSTLY * pairs and not probe[1::2].count(0):
        return Guess("utf-16-be", Sure.LIKELY, "every second byte is 0")
    for encoding, sure, why in (
        ("utf-8", Sure.LIKELY, "all letters are whole in it"),
        ("cp1252", Sure.UNSURE, "it is not UTF-8"),
    ):
        try:
            data.decode(encoding)
        except UnicodeDecodeError:
            continue
        return Guess(encoding, sure, why)
    return Guess("latin-1", Sure.UNSURE, "it is neither UTF-8 nor Windows-1252")


def _without_nul(text: str, report: LogReport) -> str:
    """Leave out NUL signs, which loggers write when their power fails."""
    count = text.count("\0")
    if not count:
        return text
    if 2 * count > len(text):
        raise InputError(report.file, "mostly NUL bytes", "a table of text or a workbook", _OTHER)
    row = text.count("\n", 0, text.index("\0")) + 1
    report.warn(
        "nul-bytes",
        f"{count} NUL bytes stand in the file from row {row} on and were left out; "
        "a logger writes them when its power fails.",
        _WHOLE,
        row=row,
    )
    return text.replace("\0", "")


_OTHER = "Is this the right file? Export the log as CSV or XLSX."
