"""The rows of a logger's file, whether it is text or a workbook."""

from __future__ import annotations

from pinset.errors import InputError
from pinset.files.logger.decode import decoded
from pinset.files.logger.records import LogLayout, LogLimits, Sure
from pinset.files.logger.report import LogReport
from pinset.files.logger.rows import Grid, split_text
from pinset.files.logger.xlsx import is_workbook, read_workbook

_PICTURES = {
    b"\x89PNG": "a picture (PNG)",
    b"\xff\xd8\xff": "a picture (JPEG)",
    b"GIF8": "a picture (GIF)",
    b"%PDF": "a page (PDF)",
}


def grid_of(
    data: bytes, layout: LogLayout, limits: LogLimits, report: LogReport
) -> tuple[Grid, LogLayout]:
    """Return the rows of a file, and what is held of it: encoding and separator, or the sheet.

    Parameters
    ----------
    data : bytes
        The file.
    layout : LogLayout
        What is held of it by hand.
    limits : LogLimits
        Most bytes, rows and columns.
    report : LogReport
        Where findings go.

    Raises
    ------
    InputError
        If it is empty, a picture, damaged or absurdly large.
    """
    if not data.strip(b"\0 \t\r\n"):
        raise InputError(
            report.file,
            f"an empty file ({len(data)} bytes)",
            "a log of a cook as CSV or XLSX",
            "Take the file from the logger once more.",
        )
    if len(data) > limits.most_bytes:
        raise InputError(
            report.file,
            f"{len(data) / 1e6:.0f} MB",
            f"up to {limits.most_bytes / 1e6:.0f} MB",
            "Is this the right file? A day at one reading a second is about 6 MB.",
        )
    picture = next((name for start, name in _PICTURES.items() if data.startswith(start)), "")
    if picture:
        raise InputError(
            report.file,
            f"{picture}, no table",
            "a log of a cook as CSV or XLSX",
            "Export the readings themselves from the logger's program.",
        )
    if is_workbook(data):
        held = layout.sheet.value if layout.sheet.sure is Sure.GIVEN else ""
        grid, sheet = read_workbook(data, held, limits, report)
        return grid, LogLayout(sheet=sheet)
    held = layout.encoding.value if layout.encoding.sure is Sure.GIVEN else ""
    text, encoding = decoded(data, held, report)
    held = layout.separator.value if layout.separator.sure is Sure.GIVEN else ""
    grid, separator = split_text(text, held, limits, report)
    return grid, LogLayout(encoding=encoding, separator=separator)
