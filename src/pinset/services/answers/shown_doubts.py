"""A reason given on a page overrules only what that page had shown to speak against the work.

Its field may be filled before anything was asked, for what was otherwise than planned. What else
speaks against it is then shown first; sent again, the same reason stands for it.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from pinset.errors import RefusedError

HINT = "A reason given before this was shown does not stand for it: look at it, and send it again "
HINT += "with the reason if it is right all the same."


class UnseenDoubtError(RefusedError):
    """A reason would overrule what was not shown to whoever gave it."""


def doubts_of(details: Mapping[str, Any]) -> tuple[str, ...]:
    """Return the doubts that a reason overrules, of an entry with these details."""
    against = details.get("against", ())
    return (against,) if isinstance(against, str) else tuple(str(each) for each in against)


def written_although(details: Mapping[str, Any]) -> tuple[str, ...]:
    """Return in words, to whoever gave the reason, each doubt that it overrules.

    Examples
    --------
    >>> written_although({"against": ["Lot 7K4MV is held back: smells sour."], "reason": "washed"})
    ('Written down although: Lot 7K4MV is held back: smells sour.',)
    """
    return tuple(f"Written down although: {each}" for each in doubts_of(details))


def refuse_unseen(details: Mapping[str, Any], shown: str | None) -> None:
    """Refuse an entry of which a reason overrules a doubt that was not shown.

    Parameters
    ----------
    details : mapping
        Of the entry; its ``against`` are the doubts overruled.
    shown : str, optional
        All that was shown of such doubts before; None where the caller gives the reason knowingly.

    Raises
    ------
    UnseenDoubtError
        With what was not shown.
    """
    if shown is None:
        return
    unseen = [each for each in doubts_of(details) if each not in shown]
    if unseen:
        raise UnseenDoubtError(" ".join(unseen), HINT)
