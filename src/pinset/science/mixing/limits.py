"""What a blend must keep to, each limit as a row over shares of dry mass."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from pinset.errors import InputError
from pinset.science.mixing.ingredients import Ingredient, checked_moisture


class Of(StrEnum):
    """What a limit is on."""

    NITROGEN = "nitrogen"  # of dry mass, at middle values
    RATIO = "C:N"
    ASH = "ash"  # of dry mass
    SUPPLEMENT = "supplement"  # share of dry mass that is supplement
    MOISTURE = "moisture"  # of the ingredients alone; water can always be added
    SHARE = "share"  # of dry mass that is one ingredient
    STOCK = "stock"  # kilograms as they lie there


@dataclass(frozen=True, slots=True)
class Offer:
    """An ingredient that may go in."""

    ingredient: Ingredient
    moisture_wet: float  # today's
    price_per_kg: float  # as it is, 0 or more
    least_share: float = 0.0  # of dry mass
    most_share: float = 1.0
    stock_kg: float | None = None  # as it is; None: no limit

    def __post_init__(self) -> None:
        """Refuse what cannot be."""
        name = self.ingredient.name
        checked_moisture(name, self.moisture_wet)
        if not 0.0 <= self.price_per_kg < float("inf"):
            raise InputError(f"price of {name}", self.price_per_kg, "0 or more for a kilogram")
        if not 0.0 <= self.least_share <= self.most_share <= 1.0:
            given = (self.least_share, self.most_share)
            raise InputError(f"least and most of {name}", given, "0 to 1 of dry mass, in order")
        if self.stock_kg is not None and not 0.0 <= self.stock_kg < float("inf"):
            raise InputError(f"stock of {name}", self.stock_kg, "0 kg or more")

    @property
    def wet_per_dry(self) -> float:
        """How many kilograms as it is hold one of dry mass."""
        return 1.0 / (1.0 - self.moisture_wet)


@dataclass(frozen=True, slots=True)
class Limit:
    """A least or a most of something.

    Raises
    ------
    InputError
        If it is below 0, or no number.
    """

    of: Of
    value: float  # share of dry mass, ratio, moisture, or kg of stock
    is_least: bool
    name: str = ""  # of the ingredient, for a share or stock

    def __post_init__(self) -> None:
        """Refuse what cannot be."""
        if not 0.0 <= self.value < float("inf"):
            raise InputError(f"limit of {self.of.value}", self.value, "0 or more")


@dataclass(frozen=True, slots=True)
class Row:
    """A limit over shares x of dry mass: coefficients @ x at most ``bound``."""

    limit: Limit
    coefficients: tuple[float, ...]
    bound: float


def rows_for(offers: Sequence[Offer], limits: Sequence[Limit], dry_kg: float) -> tuple[Row, ...]:
    """Return the rows of the limits on a blend, and of those that the offers carry.

    Parameters
    ----------
    offers : sequence of Offer
        What may go in.
    limits : sequence of Limit
        On nitrogen, C:N, ash, supplement or moisture.
    dry_kg : float
        Of the batch, for what lies in stock. [kg]
    """
    rows = [_row(offers, each) for each in limits]
    for position, offer in enumerate(offers):
        name = offer.ingredient.name
        alone = [float(position == other) for other in range(len(offers))]
        if offer.least_share > 0.0:
            least = Limit(Of.SHARE, offer.least_share, is_least=True, name=name)
            rows.append(Row(least, tuple(-each for each in alone), -offer.least_share))
        if offer.most_share < 1.0:
            most = Limit(Of.SHARE, offer.most_share, is_least=False, name=name)
            rows.append(Row(most, tuple(alone), offer.most_share))
        if offer.stock_kg is not None:
            stock = Limit(Of.STOCK, offer.stock_kg, is_least=False, name=name)
            wet = tuple(each * offer.wet_per_dry * dry_kg for each in alone)
            rows.append(Row(stock, wet, offer.stock_kg))
    return tuple(rows)


def per_dry(offer: Offer, of: Of) -> float:
    """Return what a kilogram of an offer's dry mass adds of something that is summed up.

    Raises
    ------
    InputError
        For a ratio, a share or a stock: they are no such thing.
    """
    own = offer.ingredient
    found = {
        Of.NITROGEN: own.nitrogen.middle,
        Of.ASH: own.ash,
        Of.SUPPLEMENT: float(own.is_supplement),
    }
    if of not in found:
        raise InputError("limit", of.value, "nitrogen, ash or supplement")
    return found[of]


def _row(offers: Sequence[Offer], limit: Limit) -> Row:
    """Return a limit as a row; ratios are multiplied out, so that they stay linear."""
    sign = -1.0 if limit.is_least else 1.0
    if limit.of is Of.RATIO:
        over = [o.ingredient.carbon - limit.value * o.ingredient.nitrogen.middle for o in offers]
        return Row(limit, tuple(sign * each for each in over), 0.0)
    if limit.of is Of.MOISTURE:  # water of the ingredients, against that of the whole mix
        if not limit.value < 1.0:
            raise InputError("moisture wanted", limit.value, "0 up to below 1 of wet mass")
        water = [offer.moisture_wet * offer.wet_per_dry for offer in offers]
        bound = limit.value / (1.0 - limit.value)
        return Row(limit, tuple(sign * each for each in water), sign * bound)
    values = [per_dry(offer, limit.of) for offer in offers]
    return Row(limit, tuple(sign * each for each in values), sign * limit.value)
