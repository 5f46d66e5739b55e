"""What the pages of mixes ask for: rows of ingredients, what is filled, limits."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from django.utils.translation import gettext as _

from pinset.services.mixing.aims import aim_choices
from pinset.services.mixing.asked import USUAL, USUAL_MOISTURE
from pinset.services.mixing.rows import MOST_ROWS, OTHER, choices
from pinset.web.formats import system, weighed_in
from pinset.web.forms import Field

ROWS = 4
FRESH = {
    "what-1": "hardwood-sawdust",
    "what-2": "wheat-bran",
    "share-2": "20",
    "what-3": "gypsum",
    "share-3": "1",
}
FRESH_OFFERS = {
    "what-1": "hardwood-sawdust",
    "what-2": "wheat-bran",
    "what-3": "soybean-hulls",
    "what-4": "gypsum",
    "least-4": "1",
    "nitrogen-least": "0.6",
    "nitrogen-most": "1.2",
    "supplement-most": "25",
}
OWN = ("name", "nitrogen", "carbon", "ash")


@dataclass(frozen=True, slots=True)
class RowFields:
    """The fields of one ingredient."""

    number: int
    title: str
    fields: tuple[Field, ...]
    more: tuple[Field, ...]  # folded away
    is_open: bool

    @property
    def all(self) -> tuple[Field, ...]:
        """Return both."""
        return (*self.fields, *self.more)


def row_count(typed: Mapping[str, str]) -> int:
    """Return how many rows the form shows: all that are filled, and as many as were asked for."""
    filled = [n for n in range(1, MOST_ROWS + 1) if typed.get(f"what-{n}", "").strip()]
    wanted = typed.get("rows", "").strip()
    asked = int(wanted[:3]) if wanted.isascii() and wanted.isdigit() else 0
    return min(MOST_ROWS, max([ROWS, asked, *filled]))


def card_rows(typed: Mapping[str, str]) -> tuple[RowFields, ...]:
    """Return the rows of a mixing card."""
    return tuple(_card_row(typed, n) for n in range(1, row_count(typed) + 1))


def offer_rows(typed: Mapping[str, str]) -> tuple[RowFields, ...]:
    """Return the rows of a cheapest blend."""
    return tuple(_offer_row(typed, n) for n in range(1, row_count(typed) + 1))


def _what(typed: Mapping[str, str], number: int) -> Field:
    name = f"what-{number}"
    offered = (*choices(), (OTHER, _("something else")))
    return Field(name, _("Ingredient"), "choice", typed.get(name, ""), choices=offered)


def _moisture(typed: Mapping[str, str], number: int) -> Field:
    name = f"moisture-{number}"
    return Field(
        name, _("Moisture today"), value=typed.get(name, ""), help=_("39 %, or a sample: 120/73")
    )


def _own(typed: Mapping[str, str], number: int) -> tuple[Field, ...]:
    labels = {
        "name": (_("Its name, if it is something else"), ""),
        "nitrogen": (_("Nitrogen, own analysis"), _("% of dry mass, or 16 % protein")),
        "carbon": (_("Carbon, own analysis"), ""),
        "ash": (_("Ash, own analysis"), ""),
    }
    return tuple(
        Field(f"{name}-{number}", label, value=typed.get(f"{name}-{number}", ""), help=help_)
        for name, (label, help_) in labels.items()
    )


def _price(typed: Mapping[str, str], number: int) -> Field:
    name = f"price-{number}"
    label = _("Price a %(unit)s") % {"unit": weighed_in()}
    return Field(
        name,
        label,
        value=typed.get(name, ""),
        help=_("or such as 14/20 %(unit)s") % {"unit": weighed_in()},
    )


def _row(number: int, fields: tuple[Field, ...], more: tuple[Field, ...]) -> RowFields:
    asked = {f"price-{number}"}  # said in the table too
    title = _("Ingredient %(number)s") % {"number": number}
    is_open = any(each.value for each in more if each.name not in asked) or fields[0].value == OTHER
    return RowFields(number, title, fields, more, is_open)


def _card_row(typed: Mapping[str, str], number: int) -> RowFields:
    share = f"share-{number}"
    fields = (
        _what(typed, number),
        Field(share, _("Share"), "number", typed.get(share, "")),
        _moisture(typed, number),
    )
    return _row(number, fields, (_price(typed, number), *_own(typed, number)))


def _offer_row(typed: Mapping[str, str], number: int) -> RowFields:
    def plain(name: str, label: str, unit: str) -> Field:
        return Field(
            f"{name}-{number}", label, "number", typed.get(f"{name}-{number}", ""), unit=unit
        )

    fields = (_what(typed, number), _price(typed, number), _moisture(typed, number))
    more = (
        plain("least", _("At least"), _("% of dry mass")),
        plain("most", _("At most"), _("% of dry mass")),
        plain("stock", _("In stock"), weighed_in()),
        *_own(typed, number),
    )
    return _row(number, fields, more)


def filled_fields(typed: Mapping[str, str]) -> tuple[Field, ...]:
    """Return what is filled and how it is weighed."""
    usual = USUAL[system()]

    def field(name: str, label: str, help_: str = "", **more: object) -> Field:
        value = typed.get(name, usual.get(name, ""))
        return Field(name, label, value=value, help=help_, **more)  # type: ignore[arg-type]

    vessels = (
        ("bags", _("bags")),
        ("jars", _("jars")),
        ("bottles", _("bottles")),
        ("beds", _("beds")),
        ("plates", _("plates")),
    )
    return (
        field("units", _("How many"), kind="whole"),
        field("vessel", _("Of what"), kind="choice", choices=vessels, required=True),
        field("fill", _("What fills one weighs")),
        Field("moisture", _("Moisture wanted"), value=typed.get("moisture", USUAL_MOISTURE)),
        field(
            "gain",
            _("Moisture the cook adds"),
            _("In points, such as 1-4. None where the chamber is drained."),
        ),
        field("step", _("Smallest step of your scale")),
        field("water-step", _("Smallest step of water")),
    )


def share_fields(typed: Mapping[str, str]) -> tuple[Field, ...]:
    """Return what shares are of, and what is aimed for."""
    bases = (
        ("dry", _("% of dry mass")),
        ("weighed", _("% by weight as it lies there")),
        ("dry-parts", _("parts of dry mass")),
        ("weighed-parts", _("parts by weight as it lies there")),
    )
    return (
        Field("basis", _("Shares are"), "choice", typed.get("basis", "dry"), choices=bases,
              help=_("One share in % may stay empty: it gets the rest."), required=True),
        Field("for", _("Aimed for"), "choice", typed.get("for", ""), choices=aim_choices()),
    )  # fmt: skip


def weighed_fields(typed: Mapping[str, str], names: Mapping[int, str]) -> tuple[Field, ...]:
    """Return where the weights that were really weighed go, by the number of their row."""
    unit = weighed_in()
    found = [
        Field(f"weighed-{n}", name, value=typed.get(f"weighed-{n}", ""), unit=unit)
        for n, name in names.items()
    ]
    water = Field(
        "water-in",
        _("Water already in it"),
        value=typed.get("water-in", ""),
        help=_("In litres, gallons or by weight, such as 40 L."),
    )
    return (*found, water)


def limit_fields(typed: Mapping[str, str]) -> tuple[Field, ...]:
    """Return the limits of a cheapest blend."""
    labels = {
        "nitrogen-least": (_("Nitrogen at least"), "%"),
        "nitrogen-most": (_("Nitrogen at most"), "%"),
        "ratio-least": (_("C:N at least"), ""),
        "ratio-most": (_("C:N at most"), ""),
        "supplement-most": (_("Supplement at most"), "%"),
        "ash-most": (_("Ash at most"), "%"),
    }
    return tuple(
        Field(name, label, "number", typed.get(name, ""), unit=unit)
        for name, (label, unit) in labels.items()
    )
