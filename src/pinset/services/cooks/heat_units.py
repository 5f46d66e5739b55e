"""Sentences about heat in the farm's own units: degrees Fahrenheit, psi, feet, pounds on a US farm.

Sentences are made, kept and printed by programs with °C, bar, m and kg, so that a verdict is the
same wherever it is read. On a US farm what stands in them is turned into the farm's units when it
is shown, differences in kelvins into differences in degrees Fahrenheit.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping

PSI_OF_BAR = 14.5037738  # 1 psi is 6894.757 Pa (NIST SP 811)
FEET_OF_METRE = 1.0 / 0.3048
POUNDS_OF_KG = 1.0 / 0.45359237

_SIZE = re.compile(r"(?<![\w.,])[\d.]+(?: x [\d.]+)+ cm(?![\w/])")
_NUMBER = r"(?<![\w.,])(-?\d+(?:\.\d+)?)\s{unit}(?![\w/])"


def _turned(
    factor: float, unit: str, *, decimals: int = 0, offset: float = 0.0, least: int = 0
) -> Callable[[re.Match[str]], str]:
    """Return how a found number is written in a US unit, with so many decimals more or fewer.

    There are ``least`` decimals at the least.
    """

    def write(found: re.Match[str]) -> str:
        places = max(least, len(found[1].partition(".")[2]) + decimals)
        return f"{float(found[1]) * factor + offset:.{places}f} {unit}"

    return write


_US = tuple(
    (re.compile(_NUMBER.replace("{unit}", metric)), write)
    for metric, write in (
        ("°C", _turned(1.8, "°F", offset=32.0)),
        ("K", _turned(1.8, "°F", least=1)),
        ("bar", _turned(PSI_OF_BAR, "psi", decimals=-1)),
        ("m", _turned(FEET_OF_METRE, "ft")),
        ("kg", _turned(POUNDS_OF_KG, "lb")),
    )
)


def in_farm_units(sentence: str, system: str) -> str:
    """Return a sentence about heat in the units of a farm.

    Parameters
    ----------
    sentence : str
        With temperatures as ``121.1 °C``, their differences as ``0.5 K``, pressures as
        ``1.03 bar``, altitudes as ``300 m``, weights as ``2.3 kg`` and sizes as ``15 x 20 cm``;
        names of columns such as ``core [°C]`` stay.
    system : str
        ``metric`` or ``us``.

    Examples
    --------
    >>> in_farm_units("Hold 90 min at 1.03 bar gauge (121.1 °C).", "us")
    'Hold 90 min at 14.9 psi gauge (250.0 °F).'
    """
    if system != "us":
        return sentence
    sentence = _SIZE.sub(lambda found: _typed(found[0], 3), sentence)
    for found, write in _US:
        sentence = found.sub(write, sentence)
    return sentence


_TYPED = re.compile(r"([\d.]+(?: x [\d.]+)*) (bar|m|kg|cm)")
_TYPED_US = {
    "bar": (PSI_OF_BAR, "psi"),
    "m": (FEET_OF_METRE, "ft"),
    "kg": (POUNDS_OF_KG, "lb"),
    "cm": (1.0 / 2.54, "in"),
}


def typed_in_farm_units(typed: Mapping[str, str], system: str) -> dict[str, str]:
    """Return what a form is filled with in the units of a farm; what is no quantity stays.

    Examples
    --------
    >>> typed_in_farm_units({"size": "15.0 x 20.0 cm", "mass": "2.3 kg", "units": "12"}, "us")
    {'size': '5.906 x 7.874 in', 'mass': '5.071 lb', 'units': '12'}
    """
    return {name: _typed(text) if system == "us" else text for name, text in typed.items()}


def _typed(text: str, digits: int = 4) -> str:
    found = _TYPED.fullmatch(text)
    if found is None:
        return text
    factor, unit = _TYPED_US[found[2]]
    turned = (f"{float(each) * factor:.{digits}g}" for each in found[1].split(" x "))
    return f"{' x '.join(turned)} {unit}"
