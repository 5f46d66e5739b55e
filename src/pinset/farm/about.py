"""What an entry is about, as an index holds it: a cook, a chore, measured plates ...

It stands in the details, which are hashed; the column repeats it, so that a question about one cook
does not read every cook there ever was.
"""

from __future__ import annotations

from collections.abc import Mapping

from pinset.farm.entries import Kind

NAMED = {
    Kind.COOK.value: "cook",
    Kind.VERDICT.value: "cook",
    Kind.CLEAN.value: "chore",
    Kind.SESSION.value: "session",
    Kind.READ.value: "instruction",
    Kind.RECEIVE.value: "order",
    Kind.DROP.value: "order",
    Kind.NOTE.value: "mended",
}
"""Under which name the details of a kind say it."""

MEASURED = "radii"
"""A look by which plates were measured names them in its details, and is about that."""

LONGEST = 80


def about(kind: str, details: object) -> str | None:
    """Return the code of what an entry is about; None if it is about nothing of the kind.

    Examples
    --------
    >>> about("verdict", {"cook": "kettle-20260312-1000", "verdict": "pass"})
    'kettle-20260312-1000'
    >>> about("pick", {"cook": "kettle-20260312-1000"}) is None
    True
    """
    if kind == Kind.LOOK.value and isinstance(details, Mapping) and MEASURED in details:
        return MEASURED
    name = NAMED.get(kind)
    said = details.get(name) if name and isinstance(details, Mapping) else None
    return said[:LONGEST] if isinstance(said, str) and said else None
