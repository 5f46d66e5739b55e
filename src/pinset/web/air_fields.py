"""What the page of a grow room's air asks for."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from pinset.errors import InputError
from pinset.services.air.room_asked import KINDS, RoomHere
from pinset.web.formats import system, weighed_in
from pinset.web.forms import Field, refused

BREATHERS = {
    "oyster": gettext_lazy("oyster"),
    "shiitake": gettext_lazy("shiitake"),
    "agaricus": gettext_lazy("button mushroom, with its bed"),
    "unknown": gettext_lazy("another, or not known"),
}


@dataclass(frozen=True, slots=True)
class Part:
    """Fields that belong together; folded away unless they are needed."""

    title: str
    fields: tuple[Field, ...]
    is_folded: bool = False

    @property
    def is_open(self) -> bool:
        """Whether it is shown unasked: not folded, or something in it was refused."""
        return not self.is_folded or any(each.wrong for each in self.fields)


def room_parts(here: RoomHere, typed: Mapping[str, str]) -> tuple[Part, ...]:
    """Return the fields of a room, filled with what was typed."""
    return (
        Part(_("What hangs in it"), tuple(_hanging(here, typed))),
        Part(_("The room and the weather"), (*_wanted(typed), *_outside(typed))),
        Part(_("Walls, wetting and cooling"), tuple(_building(typed)), is_folded=True),
        Part(_("Fan, plant and prices"), tuple(_plant(here, typed)), is_folded=True),
    )


def refused_parts(
    parts: tuple[Part, ...], typed: Mapping[str, str], problem: InputError
) -> tuple[tuple[Part, ...], str]:
    """Return the parts with the sentence at the field that was refused, and the sentence."""
    every = tuple(each for part in parts for each in part.fields)
    marked, wrong = refused(every, typed, problem, problem.field)
    by_name = {each.name: each for each in marked}
    found = (replace(p, fields=tuple(by_name[each.name] for each in p.fields)) for p in parts)
    return tuple(found), wrong


def field(
    typed: Mapping[str, str], name: str, label: str, help_: str = "", **more: object
) -> Field:
    """Return a field with what was typed into it."""
    return Field(name, label, value=typed.get(name, ""), help=help_, **more)  # type: ignore[arg-type]


def _hanging(here: RoomHere, typed: Mapping[str, str]) -> list[Field]:
    unit = weighed_in()
    found = [field(typed, group.key, group.words, unit=unit) for group in here.groups]
    kinds = tuple((kind, _kind_words(kind)) for kind in KINDS)
    return [
        *found,
        field(typed, "other-kg", _("Other substrate, wet"), unit=unit),
        field(typed, "other", _("What it is"), kind="choice", choices=kinds),
        field(
            typed,
            "growing",
            _("Mushrooms on the blocks"),
            _("What the next pick may weigh; empty: left out."),
            unit=unit,
        ),
        field(
            typed,
            "own",
            _("CO2 given off, measured (g/h)"),
            _("From a closed-vent test: 45, or 38-52. It replaces all of the above."),
        ),
    ]


def _kind_words(kind: str) -> str:
    breather, _dot, stage = kind.partition(".")
    does = _("in spawn run") if stage == "spawn_run" else _("ripening or fruiting")
    return f"{BREATHERS[breather]}, {does}"


def _wanted(typed: Mapping[str, str]) -> list[Field]:
    volume = "ft³" if system() == "us" else "m³"
    return [
        field(
            typed,
            "volume",
            _("Air in the room"),
            _("Length by width by height, less what stands in it."),
            unit=volume,
        ),
        field(typed, "temperature", _("Temperature wanted")),
        field(typed, "humidity", _("Humidity wanted")),
        field(typed, "co2", _("CO2 at most (ppm)")),
    ]


def _outside(typed: Mapping[str, str]) -> list[Field]:
    return [
        field(typed, "outside", _("Temperature outside")),
        field(typed, "outside-humidity", _("Humidity outside")),
        field(typed, "outdoor-co2", _("CO2 outside (ppm)")),
        field(typed, "altitude", _("Altitude")),
    ]


def _building(typed: Mapping[str, str]) -> list[Field]:
    mists = (("cold", _("cold mist")), ("steam", _("steam")))
    return [
        field(typed, "surface", _("Coldest surface, measured"), _("Empty: by its U value.")),
        field(typed, "u-value", _("U value of the coldest wall"), unit="W/(m² K)"),
        field(
            typed,
            "walls",
            _("Heat through the walls"),
            _("U value times area of walls, roof and door. Empty: left out."),
            unit="W/K",
        ),
        field(typed, "others", _("Lights and fans inside")),
        field(typed, "least-fresh", _("Fresh air at least"), _("Empty: as CO2 asks.")),
        field(typed, "mist", _("Wetted by"), kind="choice", choices=mists, required=True),
        field(typed, "mist-water", _("Mist water")),
        field(typed, "coil", _("Surface of the cooler")),
    ]


def _plant(here: RoomHere, typed: Mapping[str, str]) -> list[Field]:
    money = here.book.farm.currency
    guess = _("A first guess: put your plant's own in.")
    return [
        field(typed, "fan-pressure", _("Fan pressure, filters dirty"), guess),
        field(typed, "fan-share", _("Efficiency of fan and motor"), guess),
        field(typed, "heat-share", _("Efficiency of the heating"), guess),
        field(typed, "cop", _("Cold for a unit of power (COP)"), guess),
        field(typed, "mist-share", _("Mist that is taken up"), guess),
        field(typed, "heat-price", _("Heat, a kWh"), unit=money),
        field(typed, "power-price", _("Power, a kWh"), unit=money),
        field(typed, "water-price", _("Water, a m³"), unit=money),
        field(typed, "picked", _("Picked here a day"), unit=weighed_in()),
    ]
