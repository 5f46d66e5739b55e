"""Ingredients of a mix, by what is in their dry matter.

Nitrogen of woods is the weakest number of all and decides the rest, so it is a range everywhere.
"""

from __future__ import annotations

from dataclasses import dataclass

from pinset.errors import InputError
from pinset.science.air.ranges import Range

MOST_CARBON = 0.60
"""No food of fungi holds more of it in its dry matter."""

CARBON_SHARES = (0.35, 0.58)
"""Carbon of plant matter, of its dry mass; a nitrogen and a ratio that say otherwise were averaged
over different samples."""

PROTEIN_PER_NITROGEN = 6.25
ORGANIC_PER_CARBON = 1.8
"""Gotaas 1956, Composting: right to 2 to 10 percent."""


@dataclass(frozen=True, slots=True)
class Ingredient:
    """One ingredient.

    Raises
    ------
    InputError
        If a share is none, or carbon and nitrogen and ash are together more than all.
    """

    name: str
    carbon: float  # of its dry mass
    nitrogen: Range  # of its dry mass
    ash: float  # of its dry mass
    moisture_wet: float  # as it usually comes, of its whole mass
    bulk_kg_m3: float | None = None  # as it usually comes; None: not known
    is_supplement: bool = False

    def __post_init__(self) -> None:
        """Refuse what cannot be."""
        if not self.name.strip():
            raise InputError("ingredient", self.name, "a name")
        checked_moisture(self.name, self.moisture_wet)
        if not 0.0 <= self.carbon <= MOST_CARBON:
            raise InputError(f"carbon of {self.name}", self.carbon, "0 to 0.6 of dry mass")
        if not 0.0 <= self.nitrogen.low <= self.nitrogen.high <= 0.5:  # noqa: PLR2004 - urea has 0.47
            raise InputError(f"nitrogen of {self.name}", self.nitrogen.ends, "0 to 0.5 of dry mass")
        if not 0.0 <= self.ash <= 1.0 or self.carbon + self.ash > 1.0 + 1e-9:
            raise InputError(f"ash of {self.name}", self.ash, "0 to what carbon leaves of dry mass")
        if self.bulk_kg_m3 is not None and not 5.0 <= self.bulk_kg_m3 <= 3000.0:  # noqa: PLR2004
            raise InputError(f"bulk of {self.name}", self.bulk_kg_m3, "5 to 3000 kg/m3")


def checked_moisture(name: str, moisture_wet: float) -> float:
    """Return a moisture on the wet basis, refused unless it is one.

    Raises
    ------
    InputError
        Unless it is 0 or more and less than 1.
    """
    if not 0.0 <= moisture_wet < 1.0:
        hint = "Give it of the whole wet mass: 39 % is 0.39." if moisture_wet >= 1.0 else ""
        raise InputError(f"moisture of {name}", moisture_wet, "0 up to below 1 of wet mass", hint)
    return moisture_wet


def carbon_from_ash(ash: float) -> float:
    """Return the carbon of plant matter of which only the ash is known, of its dry mass.

    Raises
    ------
    InputError
        If ash is no share.

    Notes
    -----
    C % = (100 - ash %) / 1.8 [1]_; right to 2 to 10 percent. Not for limestone or gypsum.

    References
    ----------
    .. [1] Gotaas 1956, Composting, World Health Organization monograph 31.

    Examples
    --------
    >>> round(carbon_from_ash(0.10), 3)
    0.5
    """
    if not 0.0 <= ash <= 1.0:
        raise InputError("ash", ash, "0 to 1 of dry mass")
    return (1.0 - ash) / ORGANIC_PER_CARBON


def nitrogen_from_protein(protein: float) -> float:
    """Return the nitrogen of a feed from its crude protein, both of dry mass.

    Raises
    ------
    InputError
        If protein is no share.

    Examples
    --------
    >>> nitrogen_from_protein(0.175)
    0.028
    """
    if not 0.0 <= protein <= 1.0:
        raise InputError("crude protein", protein, "0 to 1 of dry mass")
    return protein / PROTEIN_PER_NITROGEN


def carbon_of_ratio(nitrogen: float, carbon_to_nitrogen: float) -> float:
    """Return the carbon that a printed nitrogen and C:N mean together, of dry mass.

    Raises
    ------
    InputError
        If they mean a carbon that no plant matter has: such tables average the two over different
        samples. Take nitrogen and carbon instead.

    Examples
    --------
    >>> carbon_of_ratio(0.0275, 16.36)
    0.4499
    """
    carbon = nitrogen * carbon_to_nitrogen
    low, high = CARBON_SHARES
    if not low <= carbon <= high:
        raise InputError(
            "nitrogen and C:N",
            (nitrogen, carbon_to_nitrogen),
            f"a pair whose product is a carbon of {low:g} to {high:g}",
            "Printed tables average them over different samples; give nitrogen and carbon.",
        )
    return carbon
