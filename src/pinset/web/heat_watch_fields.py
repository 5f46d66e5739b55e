"""Fields of the form that begins to watch a cook, and of the one for what is read."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from django.http import HttpRequest
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from pinset.services.cooks.usual import UsualLoad
from pinset.services.cooks.watch import view as cook_watch_view
from pinset.services.cooks.watch import watching as cook_watching
from pinset.services.cooks.watch.records import What
from pinset.web.formats import system
from pinset.web.forms import Field

LABELS = {
    What.CHAMBER: gettext_lazy("Chamber"),
    What.GAUGE: gettext_lazy("Gauge"),
    What.CORE: gettext_lazy("Core, by a probe in a unit"),
}
READ_BY = {
    What.CHAMBER: gettext_lazy("Chamber read by"),
    What.GAUGE: gettext_lazy("Gauge"),
    What.CORE: gettext_lazy("Core read by"),
}


@dataclass(frozen=True, slots=True)
class ReadingField:
    """A large field for one value."""

    name: str
    label: str
    unit: str  # typed without one it counts so
    shown: str  # the unit as it is shown
    value: str


def about(chosen: UsualLoad | None, given: Mapping[str, str]) -> tuple[Field, ...]:
    """Return what is asked of the cook itself."""
    usual = f"{chosen.steriliser}:{chosen.cook_kind}" if chosen else ""
    machines = tuple((each.code, each.words) for each in cook_watching.machines())
    cooks = cook_watch_view.cooks_to_choose(chosen.steriliser if chosen else "")
    return (
        Field(
            "machine",
            _("Steriliser and kind of cook"),
            kind="choice",
            value=given.get("machine", usual),
            choices=machines,
            required=True,
        ),
        Field(
            "began",
            _("Heated since"),
            kind="time",
            value=given.get("began", ""),
            help=_("If not just now. What was read before may be typed with its time."),
        ),
        Field(
            "cook",
            _("The cook in the books"),
            kind="choice",
            value=given.get("cook", ""),
            choices=tuple((code, code) for code in cooks),
            help=_("If it was recorded already; otherwise it is looked for when it ends."),
        ),
    )


def read_by(given: Mapping[str, str]) -> tuple[Field, ...]:
    """Return a field for everything of which it is not clear what instrument reads it."""
    return tuple(
        Field(
            f"{what.value}_by",
            str(READ_BY[what]),
            kind="choice",
            value=given.get(f"{what.value}_by", ""),
            choices=choices,
            help=_("Its error and its calibration count, here and in the verdict."),
        )
        for what, choices in cook_watching.to_ask().items()
    )


def reading_fields(request: HttpRequest) -> tuple[ReadingField, ...]:
    """Return a large field for everything that may be read."""
    us = system() == "us"
    units = {What.GAUGE: ("psi", "psi") if us else ("bar", "bar")}
    degrees = ("F", "°F") if us else ("C", "°C")
    return tuple(
        ReadingField(
            what.value,
            str(label),
            *units.get(what, degrees),
            request.POST.get(what.value, "") if request.method == "POST" else "",
        )
        for what, label in LABELS.items()
    )
