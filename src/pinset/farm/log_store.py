"""Loggers' files beside the ledger: put in with the verdict that speaks of them, never changed."""

from __future__ import annotations

import hashlib
import zlib
from collections.abc import Iterator

from django.db import DEFAULT_DB_ALIAS

from pinset.errors import InputError
from pinset.farm.models import LogFile
from pinset.farm.trouble import plain_words
from pinset.farm.validation import check_text

MOST_BYTES = 50_000_000
LONGEST_NAME = 120
LEVEL = 6
AT_ONCE = 20


def keep(content: bytes, name: str) -> str:
    """Keep a file and return its digest; a file that is kept already stays as it is.

    Call it inside the transaction that writes the entry which names the digest.

    Raises
    ------
    InputError
        If it is empty or too large, or its name cannot be kept.
    StorageError
        If the disk or the database would not do it.
    """
    check_text("log", name, LONGEST_NAME)
    if not 0 < len(content) <= MOST_BYTES:
        raise InputError("log", f"{len(content)} bytes", f"a file of 1 to {MOST_BYTES} bytes")
    digest = hashlib.sha256(content).hexdigest()
    with plain_words():
        LogFile.objects.get_or_create(
            digest=digest,
            defaults={
                "name": name,
                "size": len(content),
                "content": zlib.compress(content, LEVEL),
            },
        )
    return digest


def stored(digest: str) -> tuple[str, bytes] | None:
    """Return name and content of a kept file, or None if there is none of that digest.

    Raises
    ------
    InputError
        If what is kept is not what the digest says.
    """
    found = LogFile.objects.filter(digest=digest).first()
    if found is None:
        return None
    content = unpacked(bytes(found.content), found.size)
    if content is None or hashlib.sha256(content).hexdigest() != digest:
        raise InputError("log", digest, "a file as it was handed in", "Run: pinset check.")
    return found.name, content


def unpacked(packed: bytes, size: int) -> bytes | None:
    """Return what was compressed, or None if that is no such file of that size."""
    if not 0 < size <= MOST_BYTES:
        return None
    unpacking = zlib.decompressobj()
    try:
        content = unpacking.decompress(packed, size + 1)
    except zlib.error:
        return None
    return content if len(content) == size and unpacking.eof else None


def digests(using: str = DEFAULT_DB_ALIAS) -> Iterator[tuple[str, bool]]:
    """Yield every kept file's digest, and whether its content is what that says."""
    for each in LogFile.objects.using(using).order_by("digest").iterator(AT_ONCE):
        content = unpacked(bytes(each.content), each.size)
        yield (
            each.digest,
            content is not None and hashlib.sha256(content).hexdigest() == each.digest,
        )
