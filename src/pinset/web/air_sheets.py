"""What the smaller pages of Air ask for: the clean room and the closed-vent test."""

from __future__ import annotations

from collections.abc import Mapping

from django.utils.translation import gettext as _

from pinset.web.air_fields import Part, field
from pinset.web.formats import system, weighed_in

FILTERS = (
    ("filter.e12", "E12, 99.5 %"),
    ("filter.us-hepa", "HEPA, 99.97 %"),
    ("filter.h13", "H13, 99.95 %"),
    ("filter.h14", "H14, 99.995 %"),
    ("filter.u15", "U15, 99.9995 %"),
)


def clean_parts(typed: Mapping[str, str], currency: str) -> tuple[Part, ...]:
    """Return the fields of a clean room, filled with what was typed."""
    us = system() == "us"
    flow, volume, area = ("cfm", "ft³", "ft²") if us else ("m³/h", "m³", "m²")
    clothes = (("own-clothes", _("own indoor clothes")), ("clean-clothes", _("clean-room clothes")))
    return (
        Part(
            _("The room"),
            (
                field(typed, "volume", _("Air in the room"), unit=volume),
                field(
                    typed, "fresh", _("Blown in from outside, through the last filter"), unit=flow
                ),
                field(typed, "again", _("Room air through such a filter and back"), unit=flow),
                field(
                    typed, "filter", _("Last filter"), kind="choice", choices=FILTERS, required=True
                ),
                field(typed, "leak-in", _("Leaks in, unfiltered"), unit=flow),
                field(typed, "exhaust", _("Drawn off"), unit=flow),
                field(typed, "gap", _("All gaps together"), _("Empty: no pressure."), unit=area),
                field(typed, "people", _("People at work")),
                field(
                    typed, "clothes", _("They wear"), kind="choice", choices=clothes, required=True
                ),
                field(typed, "mixing", _("Mixing"), _("1 perfect to 10 very poor.")),
                field(typed, "target", _("ISO class wanted")),
                field(
                    typed,
                    "counted",
                    _("Counted outside the door (a m³)"),
                    _("Particles of 0.5 um and larger. Empty: ISO 8 to ISO 9 air."),
                ),
            ),
        ),
        Part(
            _("What changes cost"),
            (
                field(typed, "cost-leak", _("Close half the leaks"), unit=currency),
                field(typed, "cost-fresh", _("Blow half as much again in"), unit=currency),
                field(typed, "cost-people", _("Half the people"), unit=currency),
                field(typed, "cost-filter", _("A filter that lets a tenth through"), unit=currency),
            ),
            is_folded=True,
        ),
    )


def vent_parts(typed: Mapping[str, str]) -> tuple[Part, ...]:
    """Return the fields of a closed-vent test, filled with what was typed."""
    volume = "ft³" if system() == "us" else "m³"
    return (
        Part(
            _("The test"),
            (
                field(
                    typed,
                    "readings",
                    _("Minutes and ppm, a line each"),
                    _("Vents shut, circulation fan on, nobody inside: ten to fifteen minutes."),
                    kind="rows",
                    rows=8,
                ),
                field(
                    typed,
                    "volume",
                    _("Air in the room"),
                    _("Length by width by height, less what stands in it."),
                    unit=volume,
                ),
                field(typed, "temperature", _("Temperature of the room")),
                field(typed, "outdoor-co2", _("CO2 outside (ppm)")),
                field(typed, "altitude", _("Altitude")),
                field(typed, "substrate", _("Wet substrate in it"), unit=weighed_in()),
            ),
        ),
    )


def bench_parts(typed: Mapping[str, str]) -> tuple[Part, ...]:
    """Return the fields of a bench, filled with what was typed."""
    speed, length, drop = ("fpm", "ft", "in wg") if system() == "us" else ("m/s", "m", "Pa")
    return (
        Part(
            _("The face"),
            (
                field(
                    typed,
                    "speeds",
                    _("Speeds over the face (%(unit)s)") % {"unit": speed},
                    _("At the place of work, row by row, a blank between them."),
                    kind="rows",
                ),
                field(typed, "width", _("Width of the face"), _("Empty: no fan."), unit=length),
                field(typed, "height", _("Height of the face"), unit=length),
                field(typed, "filter-pressure", _("Main filter when dirty"), unit=drop),
                field(typed, "pre-pressure", _("Pre-filter when dirty"), unit=drop),
                field(typed, "casing-pressure", _("Grilles and casing"), unit=drop),
                field(typed, "fan-share", _("Efficiency of fan and motor"), _("A first guess.")),
            ),
        ),
    )
