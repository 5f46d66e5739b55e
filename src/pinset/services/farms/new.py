"""Templates for describing a farm."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from pinset.files.description.writing import write_templates
from pinset.services.clock import wall_day


def new(
    folder: Path, *, today: date | None = None, as_xlsx: bool = False, replace: bool = False
) -> tuple[Path, ...]:
    """Write commented templates with a tiny invented farm into a folder.

    Parameters
    ----------
    folder : Path
        Made if it is not there.
    today : date, optional
        The day on which the invented lots stand; if None the present one on this machine's wall.
    as_xlsx : bool
        Tables as workbooks.
    replace : bool
        Take the place of files that are there.

    Returns
    -------
    tuple of Path
        The files written.

    Raises
    ------
    RefusedError
        If files are in the way, or the folder cannot be written.
    """
    return write_templates(folder, today=today or wall_day(), as_xlsx=as_xlsx, replace=replace)
