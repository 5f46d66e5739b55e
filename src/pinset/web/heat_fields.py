"""What the page before a cook asks for."""

from __future__ import annotations

from collections.abc import Mapping

from django.utils.translation import gettext as _

from pinset.services.cooks.ahead.planning import targets
from pinset.web.formats import system
from pinset.web.forms import Field

DEFAULT = "geobacillus-stearothermophilus"


def load_fields(typed: Mapping[str, str]) -> tuple[Field, ...]:
    """Return the fields that say what is cooked, filled with what was typed."""
    us = system() == "us"

    def field(name: str, label: str, usual: str = "", help_: str = "", **more: object) -> Field:
        value = typed.get(name, usual)
        return Field(name, label, value=value, help=help_, **more)  # type: ignore[arg-type]

    heats = (
        ("pressure", _("steam under pressure")),
        ("open", _("open steam")),
        ("water", _("hot water")),
    )
    fillings = (
        ("sawdust", _("sawdust or chips")),
        ("grain", _("boiled grain")),
        ("straw", _("straw")),
        ("agar", _("agar or another liquid")),
    )
    return (
        field("heat", _("What heats it"), "pressure", kind="choice", choices=heats, required=True),
        field(
            "rating",
            _("Most the plate allows"),
            "",
            _("Gauge pressure on the vessel's plate, such as 1.1 bar or 15 psi. None: open steam."),
        ),
        field(
            "filling", _("What is in it"), "sawdust", kind="choice", choices=fillings, required=True
        ),
        field("units", _("How many"), "1", kind="whole"),
        field("mass", _("What fills one weighs"), "5 lb" if us else "2.3 kg"),
        field(
            "size",
            _("Size of the filled part"),
            "6 x 8 in" if us else "15 x 20 cm",
            _("Diameter x height, or length x width x height of a bag pressed square. Measure it."),
        ),
        field("moisture", _("Moisture"), "60 %", _("Water per wet weight.")),
        field("start", _("Load when it goes in"), "68 F" if us else "20 C"),
        field("temperature", _("Chamber wanted"), "250 F" if us else "121.1 C"),
        field("come-up", _("Until the chamber is hot"), "30 min"),
        field(
            "rule",
            _("What a core is to reach"),
            "f0=15",
            _("f0=15 for sterilising; hold=70C/120 for so many minutes at a temperature."),
        ),
        field("altitude", _("Altitude"), ""),
        field("air", _("Where it cools"), "68 F" if us else "20 C"),
        field("inoculate", _("Cool enough to inoculate"), "86 F" if us else "30 C"),
        field(
            "organism",
            _("Reckoned against"),
            DEFAULT,
            kind="choice",
            choices=targets(),
            required=True,
        ),
        field("count", _("Of it, in one unit"), "1000000"),
        field(
            "conductivity",
            _("Conductivity"),
            "",
            _("From a fit to your own log, with its surface. Empty: three cases."),
        ),
        field("surface", _("Surface coefficient"), ""),
        field("free-air", _("Free air"), "", _("From the same fit: what vapour carries.")),
    )
