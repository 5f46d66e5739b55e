"""The folder of keys and certificates: written whole or not at all, keys for their owner alone."""

from __future__ import annotations

import os
from collections.abc import Mapping
from pathlib import Path

from pinset.errors import PinsetError, RefusedError

FOLDER = "https"
"""In the farm's folder. No backup and no export holds it: it is copied by hand or made anew."""

AUTHORITY, AUTHORITY_KEY = "authority.crt", "authority-key.pem"
SERVER, SERVER_KEY = "server.crt", "server-key.pem"
KEYS = frozenset({AUTHORITY_KEY, SERVER_KEY})

KEY_MODE, PLAIN_MODE, FOLDER_MODE = 0o600, 0o644, 0o700
OTHERS = 0o077
LARGEST = 100_000
"""Bytes of a file that could be a key or a certificate."""


def folder_of(farm: Path) -> Path:
    """Return where a farm keeps its certificates."""
    return farm / FOLDER


def write(farm: Path, files: Mapping[str, bytes]) -> None:
    """Write files into the folder, each in the place of the one before once all are on the disk.

    Raises
    ------
    PinsetError
        If the folder cannot be written; nothing is changed then.
    """
    folder = folder_of(farm)
    parts: list[tuple[Path, Path]] = []
    try:
        folder.mkdir(mode=FOLDER_MODE, exist_ok=True)
        try:
            for name, data in files.items():
                part = folder / f".{name}.{os.getpid()}"
                parts.append((part, folder / name))
                _write_one(part, data, KEY_MODE if name in KEYS else PLAIN_MODE)
            for part, place in parts:
                part.replace(place)
        finally:
            for part, _ in parts:
                part.unlink(missing_ok=True)
    except OSError as problem:
        raise PinsetError(f"{folder} cannot be written: {problem.strerror}.") from problem


def _write_one(path: Path, data: bytes, mode: int) -> None:
    number = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, mode)
    with os.fdopen(number, "wb") as file:
        file.write(data)
        file.flush()
        os.fsync(file.fileno())


def read(
    path: Path, what: str, hint: str = "Put it back, or make it anew.", *, is_secret: bool = False
) -> bytes:
    """Return what stands in a file of keys or certificates; ``what`` says in words which it is.

    Raises
    ------
    RefusedError
        If it is not there, cannot be read, or is a secret that others on this computer can read.
    """
    try:
        mode = path.stat().st_mode
        data = path.read_bytes() if path.stat().st_size <= LARGEST else b""
    except FileNotFoundError:
        raise RefusedError(f"{what} is not in {path}.", hint) from None
    except OSError as problem:
        raise RefusedError(f"{what} in {path} cannot be read: {problem.strerror}.") from problem
    if is_secret and os.name == "posix" and mode & OTHERS:
        raise RefusedError(
            f"{what} in {path} can be read by others on this computer.",
            f"Close it: chmod 600 {path}. If somebody may have read it, make everything anew: "
            "pinset certificate make --anew.",
        )
    return data


def remove(farm: Path) -> tuple[str, ...]:
    """Delete keys and certificates; return the names of the files that went.

    Raises
    ------
    PinsetError
        If they cannot be deleted.
    """
    folder = folder_of(farm)
    names = (AUTHORITY_KEY, SERVER_KEY, SERVER, AUTHORITY)
    try:
        gone = tuple(name for name in names if (folder / name).exists())
        for name in gone:
            (folder / name).unlink()
        if folder.exists() and not any(folder.iterdir()):
            folder.rmdir()
    except OSError as problem:
        raise PinsetError(f"{folder} cannot be written: {problem.strerror}.") from problem
    return gone
