"""A batch is of one culture: a start whose parents are of several becomes a job for each."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from pinset.planning.plan import LotShare, ParentUse, Start
from pinset.services.book_reader import Reader

Part = tuple[str, Start]  # culture, and the part of the start that is of it


def by_culture(start: Start, cultures: Mapping[str, str], reader: Reader) -> tuple[Part, ...]:
    """Return the parts of a start, one for each culture of its parents, the largest first.

    Parameters
    ----------
    start : Start
        A start of the plan.
    cultures : mapping of lot code to culture
        Of the lots alive. Lots without one go with the largest part.
    reader : Reader
        The farm's book, for how far a parent goes.

    Returns
    -------
    tuple of (culture, Start)
        The start as it is, with no culture, if its parents are of one only. Counts of the parts
        add up to its own; what serves and why stays the same.
    """
    reach = {
        parent.step: parent.units_per_parent
        for parent in reader.step(start.variety, start.step).parents
    }
    weights: dict[str, float] = {}
    for parent in start.parents:
        for share in parent.lots:
            culture = cultures.get(share.lot, "")
            weights[culture] = weights.get(culture, 0.0) + share.units * reach.get(parent.step, 1.0)
    named = {culture: weight for culture, weight in weights.items() if culture and weight > 0}
    if len(named) <= 1 or start.is_purchase:
        return (("", start),)
    ranked = sorted(named, key=lambda culture: (-named[culture], culture))
    counts = _whole([named[culture] for culture in ranked], round(start.count))
    return tuple(
        (culture, _part(start, culture, count, cultures, is_largest=culture == ranked[0]))
        for culture, count in zip(ranked, counts, strict=True)
        if count > 0
    )


def _whole(weights: list[float], total: int) -> list[int]:
    """Return whole numbers in proportion that add up to a total (largest remainders)."""
    shares = [total * weight / sum(weights) for weight in weights]
    counts = [int(share) for share in shares]
    order = sorted(range(len(shares)), key=lambda i: counts[i] - shares[i])
    for i in order[: total - sum(counts)]:
        counts[i] += 1
    return counts


def _part(
    start: Start, culture: str, count: int, cultures: Mapping[str, str], *, is_largest: bool
) -> Start:
    def is_mine(share: LotShare) -> bool:
        own = cultures.get(share.lot, "")
        return own == culture or (not own and is_largest)

    parents = []
    for parent in start.parents:
        lots = tuple(share for share in parent.lots if is_mine(share))
        known = sum(share.units for share in parent.lots)
        units = sum(share.units for share in lots)
        if is_largest:  # parents still to be made go with the largest part
            units += max(0.0, parent.units - known)
        if units > 0:
            parents.append(ParentUse(parent.step, units, lots))
    share = count / max(1.0, start.count)
    return replace(
        start,
        count=float(count),
        parents=tuple(parents),
        expected_usable=start.expected_usable * share,
        at_stake=start.at_stake * share,
    )
