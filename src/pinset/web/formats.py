"""How pages show days, amounts and lots: plain functions used as template filters."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from datetime import date, datetime

from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext
from markupsafe import Markup, escape

from pinset.services import words
from pinset.services.cooks.heat_units import in_farm_units
from pinset.units import Quantity, show, show_grams

_SYSTEM = ContextVar("system", default="metric")

GRAMS = 1000
EXACT_BELOW_KG = 10
HOUR = 60
WORD = re.compile(r"\w+")
RAISED = str.maketrans("-0123456789", "⁻⁰¹²³⁴⁵⁶⁷⁸⁹")
NO_BREAK = "\N{NO-BREAK SPACE}"

WEEKDAYS = (
    gettext_lazy("Monday"),
    gettext_lazy("Tuesday"),
    gettext_lazy("Wednesday"),
    gettext_lazy("Thursday"),
    gettext_lazy("Friday"),
    gettext_lazy("Saturday"),
    gettext_lazy("Sunday"),
)
MONTHS = (
    gettext_lazy("January"),
    gettext_lazy("February"),
    gettext_lazy("March"),
    gettext_lazy("April"),
    gettext_lazy("May"),
    gettext_lazy("June"),
    gettext_lazy("July"),
    gettext_lazy("August"),
    gettext_lazy("September"),
    gettext_lazy("October"),
    gettext_lazy("November"),
    gettext_lazy("December"),
)

STAGE_PLACES = {
    "tube": 1,
    "plate": 2,
    "liquid": 2,
    "grain": 3,
    "sawdust": 4,
    "block": 5,
    "bottle": 5,
    "bed": 5,
}
"""Where a stage stands in the row from culture to picked weight; 0: nothing living yet."""
GROWING_PLACE = 6
PICKED_PLACE = 7


def spoken(sentence: str) -> str:
    """Return a sentence about heat in the farm's own units."""
    return in_farm_units(sentence, system())


def day(value: date) -> str:
    """Return ``Thursday 12 March``."""
    return f"{WEEKDAYS[value.weekday()]} {short_day(value)}"


def short_day(value: date) -> str:
    """Return ``12 March``."""
    return f"{value.day}{NO_BREAK}{MONTHS[value.month - 1]}"


def dated(value: date) -> str:
    """Return ``12 March 2026``; of a moment its day by the farm's clock."""
    local = timezone.localtime(value) if isinstance(value, datetime) else value
    return f"{short_day(local)} {local.year}"


def moment(value: datetime) -> str:
    """Return ``12 March 2026, 07:40`` by the farm's clock."""
    return f"{dated(value)}, {timezone.localtime(value):%H:%M}"


def clock(value: datetime) -> str:
    """Return ``07:40`` by the farm's clock."""
    return f"{timezone.localtime(value):%H:%M}"


def typed_moment(value: datetime) -> str:
    """Return a moment by the farm's clock as a field for day and time takes it."""
    return f"{timezone.localtime(value):%Y-%m-%dT%H:%M}"


def moment_of(iso: str) -> str:
    """Return an ISO 8601 moment as :func:`moment`; one without a zone is shown as it is."""
    value = datetime.fromisoformat(iso)
    local = value if value.tzinfo is None else timezone.localtime(value)
    return f"{short_day(local.date())} {local.year}, {local:%H:%M}"


F_PER_K = 1.8  # exact


@contextmanager
def shown_in(units: str) -> Iterator[None]:
    """Show masses and temperatures in the farm's choice of units: ``metric`` or ``us``."""
    token = _SYSTEM.set(units)
    try:
        yield
    finally:
        _SYSTEM.reset(token)


def system() -> str:
    """Return the choice of units that holds now."""
    return _SYSTEM.get()


def weighed_in() -> str:
    """Return the unit that mushrooms are weighed in: ``kg`` or ``lb``."""
    return words.weighed_in(_SYSTEM.get())


def temperature(value_c: float) -> str:
    """Return a temperature with its unit."""
    return show(Quantity.TEMPERATURE, value_c, _SYSTEM.get())


def difference(kelvin: float, sign: str = "") -> str:
    """Return a difference of temperatures with its unit, to a tenth; ``sign`` is ``+`` or none."""
    if _SYSTEM.get() == "us":
        return f"{kelvin * F_PER_K:{sign}.1f} °F"
    return f"{kelvin:{sign}.1f} K"


def gauge(bar: float) -> str:
    """Return a gauge pressure, given in bar, with its unit."""
    return show(Quantity.GAUGE_PRESSURE, bar * 1e5, _SYSTEM.get())


def few(number: float | None) -> str:
    """Return a number that may be very small or large: ``0.4``, ``3 × 10⁻⁸``; None: nothing."""
    if number is None:
        return ""
    if number == 0.0 or 1e-3 <= abs(number) < 1e4:  # noqa: PLR2004  (easy to read)
        return f"{number:.2g}" if abs(number) < GRAMS else f"{number:.0f}"
    factor, power = f"{number:.0e}".split("e")
    return f"{factor} × 10{str(int(power)).translate(RAISED)}"


def weight(grams: float) -> str:
    """Return a mass in the farm's units; kilograms with one decimal below ten, none above."""
    if _SYSTEM.get() != "metric":
        return show_grams(round(grams), _SYSTEM.get())
    value = grams / GRAMS
    if abs(value) >= EXACT_BELOW_KG or value == int(value):
        return f"{whole(round(value))}{NO_BREAK}kg"
    return f"{value:.1f}{NO_BREAK}kg"


def amount(quantity: float, measure: str) -> str:
    """Return an amount of a promise: kilograms for grams, else units."""
    if measure == "gram":
        return weight(quantity)
    count = round(quantity)
    return ngettext("%(count)s unit", "%(count)s units", count) % {"count": whole(count)}


def average(quantity: float, measure: str) -> str:
    """Return an average amount; few units with a tenth, since 0.4 of a unit is not none."""
    count = round(quantity, 1)
    if measure == "gram" or quantity >= EXACT_BELOW_KG or count == int(count):
        return amount(quantity, measure)
    return _("%(count)s units") % {"count": f"{count:.1f}"}


def whole(value: float) -> str:
    """Return a whole number with its thousands set apart: ``12,400``."""
    return f"{round(value):,}"


def percent(fraction: float) -> str:
    """Return a fraction as a percentage with one decimal where it is small."""
    value = fraction * 100
    return f"{value:.1f}{NO_BREAK}%" if abs(value) < EXACT_BELOW_KG else f"{value:.0f}{NO_BREAK}%"


def minutes(value: float) -> str:
    """Return ``25 min`` or ``2 h 35 min``."""
    hours, rest = divmod(round(value), HOUR)
    if not hours:
        return _("%(minutes)s min") % {"minutes": rest}
    if not rest:
        return _("%(hours)s h") % {"hours": hours}
    return _("%(hours)s h %(minutes)s min") % {"hours": hours, "minutes": rest}


def mark_lots(text: str, lots: Iterable[str]) -> Markup:
    """Return the text with the codes of these lots in bold, everything else escaped."""
    known = {str(escape(lot)) for lot in lots if lot}
    marked = WORD.sub(
        lambda found: f'<b class="lot">{found[0]}</b>' if found[0] in known else found[0],
        str(escape(text)),
    )
    return Markup(marked)  # noqa: S704  (both text and codes were escaped above)


def stage_place(stage: str, kind: str = "") -> int:
    """Return the place 1 to 7 of a stage from culture to picked weight, 0 if nothing lives yet.

    ``kind`` is the kind of room or job: units in a grow room stand at 6, picked weight at 7.
    """
    if kind in {"pick", "pack", "deliver", "give", "dry", "waste"}:
        return PICKED_PLACE
    if kind in {"growing", "fruit", "fruiting"}:
        return GROWING_PLACE
    return STAGE_PLACES.get(stage, 0)


def first_upper(text: str) -> str:
    """Return the text with its first letter upper-case, the rest untouched."""
    return text[:1].upper() + text[1:]
