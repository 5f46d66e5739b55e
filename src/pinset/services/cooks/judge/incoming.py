"""Logs that were handed in and not yet judged for good: files in the farm's folder, by digest.

Working papers: a verdict keeps its log with the ledger, and what nobody came back to goes after a
week.
"""

from __future__ import annotations

import hashlib
import os
import re
import time
from dataclasses import dataclass
from pathlib import Path

from django.conf import settings

from pinset.errors import InputError, RefusedError

FOLDER = "incoming-logs"
MOST_BYTES = 50_000_000
KEPT_DAYS = 7
DAY = 86400.0
LONGEST_NAME = 80
_DIGEST = re.compile(r"[0-9a-f]{64}")
_UNSAFE = re.compile(r"[^\w .()+-]+")


@dataclass(frozen=True, slots=True)
class IncomingLog:
    """A log that waits to be judged."""

    digest: str  # SHA-256
    name: str
    data: bytes


def keep(data: bytes, name: str) -> str:
    """Keep a log and return its digest; the same log twice is one.

    Raises
    ------
    InputError
        If it is empty or too large.
    """
    if not data:
        raise InputError("file", name, "a log that holds something")
    if len(data) > MOST_BYTES:
        most = f"up to {MOST_BYTES / 1e6:.0f} MB"
        raise InputError("file", f"{name}, {len(data) / 1e6:.0f} MB", most)
    folder = _folder()
    folder.mkdir(mode=0o700, exist_ok=True)
    _forget_old(folder)
    digest = hashlib.sha256(data).hexdigest()
    half = folder / f"{digest}.{os.getpid()}.half"
    half.write_bytes(data)
    half.replace(folder / digest)  # whole or not at all
    (folder / f"{digest}.name").write_text(plain_name(name), encoding="utf-8")
    return digest


def incoming(digest: str) -> IncomingLog:
    """Return a log that waits.

    Raises
    ------
    RefusedError
        If there is none of that digest any more.
    """
    folder = _folder()
    path = folder / digest
    if not _DIGEST.fullmatch(digest) or not path.is_file():
        raise RefusedError(
            "This log does not wait here any more.", "Hand the file in once more, please."
        )
    name = folder / f"{digest}.name"
    said = name.read_text(encoding="utf-8") if name.is_file() else ""
    return IncomingLog(digest, said or "log", path.read_bytes())


def plain_name(name: str) -> str:
    """Return a file's name without folders and signs that mean something elsewhere."""
    last = name.replace("\\", "/").rsplit("/", maxsplit=1)[-1]
    return _UNSAFE.sub("_", last).strip()[:LONGEST_NAME] or "log"


def _folder() -> Path:
    return Path(settings.FARM_FOLDER) / FOLDER


def _forget_old(folder: Path) -> None:
    before = time.time() - KEPT_DAYS * DAY
    for path in folder.iterdir():
        if path.is_file() and path.stat().st_mtime < before:
            path.unlink(missing_ok=True)
