"""A workbook's archive looked over: whole, not damaged, not so large that it fills the memory."""

from __future__ import annotations

import io
import zipfile
import zlib
from collections.abc import Callable
from typing import TypeVar

from pinset.files.description.place import shown

Found = TypeVar("Found")

MOST_UNPACKED = 200_000_000
"""Bytes a workbook may unpack to; a day of eight probes at one reading a second is about 40 MB."""


class DamagedError(Exception):
    """The archive is broken; its text says where."""


class TooLargeError(Exception):
    """The archive would unpack to more than is read."""

    def __init__(self, unpacked: int) -> None:
        self.megabytes = unpacked // 1_000_000
        self.accepted = MOST_UNPACKED // 1_000_000
        super().__init__(f"{self.megabytes} MB unpacked")


def looked_over(data: bytes, take: Callable[[zipfile.ZipFile], Found]) -> Found:
    """Return what ``take`` finds in a workbook's archive, once that is known to be sound.

    Raises
    ------
    DamagedError
        If the archive, or a part of it, cannot be read.
    TooLargeError
        If it says that it unpacks to more than ``MOST_UNPACKED``.
    """
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            unpacked = sum(item.file_size for item in archive.infolist())
            if unpacked > MOST_UNPACKED:
                raise TooLargeError(unpacked)
            damaged = archive.testzip()
            if damaged is not None:
                raise DamagedError(f"its part {shown(damaged)} is damaged")
            return take(archive)
    except (
        zipfile.BadZipFile,
        zlib.error,
        EOFError,
        OSError,
        NotImplementedError,  # a way of packing that Python does not know
        RuntimeError,
        KeyError,
        ValueError,
    ) as error:
        raise DamagedError(f"half of it may be missing: {error}") from None
