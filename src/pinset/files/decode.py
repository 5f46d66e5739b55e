"""Bytes of a text file to text, whatever program saved it."""

from __future__ import annotations

import codecs

from pinset.files.description.place import Place, Report

MOST_BYTES = 20_000_000
"""A description of a farm is far smaller; a larger file is not read."""

_PROBE = 4096


def to_text(data: bytes, file: str, report: Report) -> str | None:
    """Return the text of a file in UTF-8, UTF-16 or Windows-1252, or None if it is damaged."""
    place = Place(file)
    if data.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        return _utf16(data, "utf-16", place, report)
    if b"\0" in data:
        guess = _utf16_guess(data[:_PROBE])
        if guess:
            return _utf16(data, guess, place, report)
        before = data[: data.index(b"\0")]
        report.wrong(
            "nul-byte",
            Place(file, before.count(b"\n") + 1),
            f"the file holds a NUL byte after {len(before)} bytes: it is damaged or no text file.",
            "Save the table again as CSV (UTF-8) or take it from a backup.",
        )
        return None
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        return _windows(data, error.start, place, report)


def _windows(data: bytes, start: int, place: Place, report: Report) -> str | None:
    row = data[:start].count(b"\n") + 1
    try:
        text = data.decode("cp1252")
    except UnicodeDecodeError as error:
        row = data[: error.start].count(b"\n") + 1
        report.wrong(
            "encoding",
            Place(place.file, row),
            f"byte 0x{data[error.start]:02x} is no letter in UTF-8, UTF-16 or Windows-1252.",
            "Save the table again as CSV (UTF-8).",
        )
        return None
    report.note(
        "windows-1252",
        Place(place.file, row),
        "the file is not UTF-8; it was read as Windows-1252.",
        "Look whether letters such as ä, é, ß came out right.",
    )
    return text


def _utf16(data: bytes, codec: str, place: Place, report: Report) -> str | None:
    try:
        text = data.decode(codec)
    except UnicodeDecodeError as error:
        report.wrong(
            "encoding",
            place,
            f"the file starts as UTF-16 but breaks off after {error.start} bytes.",
            "Save the table again as CSV (UTF-8).",
        )
        return None
    if "\0" in text:
        row = text[: text.index("\0")].count("\n") + 1
        report.wrong(
            "nul-byte",
            Place(place.file, row),
            "the file holds a NUL sign: it is damaged or no text file.",
            "Save the table again as CSV (UTF-8).",
        )
        return None
    return text.removeprefix("\ufeff")


def _utf16_guess(probe: bytes) -> str:
    """Name the byte order of UTF-16 without a mark: nearly every other byte of it is NUL."""
    pairs = len(probe) // 2
    if not pairs:
        return ""
    if probe[1::2].count(0) > 0.8 * pairs and not probe[0::2].count(0):
        return "utf-16-le"
    if probe[0::2].count(0) > 0.8 * pairs and not probe[1::2].count(0):
        return "utf-16-be"
    return ""
