"""Backing the farm up into one file, and putting a backup in its place."""

from __future__ import annotations

from pathlib import Path

from pinset.farm import copying
from pinset.services.clock import now_utc
from pinset.services.farms import opening
from pinset.services.farms.one_at_a_time import only_one
from pinset.services.memory import forget_all
from pinset.services.words import plural


def backup(path: Path) -> str:
    """Write a verified copy of the farm into a file and say what was written."""
    written = copying.backup(path)
    entries = plural(written.entries, "entry", "entries")
    return (
        f"{written.path}: {entries}, {written.size / 1e6:.1f} MB, checked. "
        f"SHA-256 {written.sha256[:16]}... stands beside it. Keep a copy in another building."
    )


def restore(path: Path, folder: Path) -> str:
    """Put a backup in the place of the farm and say where the present one is kept.

    Raises
    ------
    RefusedError
        If the farm is being served, or the file is no backup of this kind of farm.
    """
    if not opening.is_farm(folder):
        opening.create_farm(folder)
    opening.use_farm(folder)
    with only_one(folder):
        done = copying.restore(path, now=now_utc(), folder=folder)
    forget_all()
    opening.refuse_newer()
    opening.bring_up_to_date()
    kept = f" The farm as it was is kept in {done.kept}." if done.kept else ""
    return f"{plural(done.entries, 'entry', 'entries')} restored.{kept}"
