"""Photos of looks beside the ledger: put in with the entry that speaks of them, never changed."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Iterator

from django.db import DEFAULT_DB_ALIAS

from pinset.errors import InputError
from pinset.farm.models import Photo
from pinset.farm.trouble import plain_words

MOST_BYTES = 4_000_000
JPEG = b"\xff\xd8\xff"
"""What every JPEG file begins with (ITU-T T.81, annex B: start of image, then a marker)."""

AT_ONCE = 20


def keep(content: bytes) -> str:
    """Keep a photo and return its digest; one that is kept already stays as it is.

    One that was forgotten stays forgotten. Call it inside the transaction that writes the entry
    which names the digest.

    Raises
    ------
    InputError
        If it is no JPEG, or too large.
    StorageError
        If the disk or the database would not do it.
    """
    if not content.startswith(JPEG) or len(content) > MOST_BYTES:
        given = f"{len(content)} bytes"
        raise InputError("photo", given, f"a JPEG picture of at most {MOST_BYTES} bytes")
    digest = digest_of(content)
    with plain_words():
        Photo.objects.get_or_create(digest=digest, defaults={"content": content})
    return digest


def digest_of(content: bytes) -> str:
    """Return the digest a photo is kept under."""
    return hashlib.sha256(content).hexdigest()


def stored(digest: str) -> bytes | None:
    """Return a photo, or None if there is none of that digest or it was forgotten.

    Raises
    ------
    InputError
        If what is kept is not what the digest says.
    """
    found = Photo.objects.filter(digest=digest, is_forgotten=False).first()
    if found is None:
        return None
    content = bytes(found.content)
    if digest_of(content) != digest:
        raise InputError("photo", digest, "a picture as it was handed in", "Run: pinset check.")
    return content


def there(digests: Iterable[str]) -> frozenset[str]:
    """Return those of some photos that can be shown: kept and not forgotten."""
    rows = Photo.objects.filter(digest__in=set(digests), is_forgotten=False)
    return frozenset(rows.values_list("digest", flat=True))


def judged(using: str = DEFAULT_DB_ALIAS) -> Iterator[tuple[str, bool, bool]]:
    """Yield every photo's digest, whether it was forgotten, and whether it is as it should be."""
    for each in Photo.objects.using(using).order_by("digest").iterator(AT_ONCE):
        content = bytes(each.content)
        is_whole = not content if each.is_forgotten else digest_of(content) == each.digest
        yield each.digest, each.is_forgotten, is_whole
