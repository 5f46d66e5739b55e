"""Where a probe stood by the words of its head: in a unit, beside one, in the chamber, elsewhere.

Only what speaks of the inside of a unit makes a core. A unit named together with what is around it
(``between jars``, ``bag surface``) makes none, and with a word that is not known none unasked. The
words are common in the trade and on loggers; common practice, no source.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from enum import Enum
from itertools import pairwise

from pinset.files.logger.insides import (
    CORE,
    FITTING,
    MIDDLE,
    OUTER,
    PLACES_NAMED,
    SHELVES,
    SMALL,
    UNIT,
    VESSEL,
    is_bare_cold_spot,
    is_bare_middle,
    is_end_of_bulk,
    is_plainly_inside,
    without_ledges,
)
from pinset.files.logger.records import ColumnRole
from pinset.files.logger.words import Topic, is_about, tokens, topics_in, unit_in


class Place(Enum):
    """What the head of a column says of where its probe stood."""

    CORE = "core"
    CHAMBER = "chamber"
    OTHER = "other"
    BESIDE = "beside"  # around a unit, not in it: never a core
    AROUND = "around"  # air or water with no unit named: the chamber, or none of the load
    DEVICE = "device"  # the logger itself: never a core
    UNCLEAR = "unclear"  # may be in a unit


_ROLES = {
    Place.CORE: ColumnRole.CORE,
    Place.CHAMBER: ColumnRole.CHAMBER,
    Place.OTHER: ColumnRole.OTHER,
}
NEVER_CORES = frozenset((Place.BESIDE, Place.AROUND, Place.DEVICE))

_OTHER = (
    "ambient amb umgebung ambiente ambiant ambiante ambiance outdoor omgeving otoczenie "
    "coldjunction cj cjc kaltstelle board device gerät setpoint set sollwert soll consigne "
    "consigna sp sv target dewpoint taupunkt room raum kühlwasser"
)
_OUTSIDE = (
    "outside außen aussen aussentemperatur extérieur exterieur exterior esterno "
    "dehors fuera fuori buiten"
)
_OF_LOGGER = "internal intern interne interno"
_LOGGER = "logger datalogger recorder base station gateway receiver"
_DEVICE = (
    f"{_LOGGER} {_OF_LOGGER} main control ctrl display housing cpu ac cooling heating int head"
)
_UNITS = "unit units"  # of the load, or a device
_SUPPLY = "cooling cool cold feed tap boiler supply sump kalt kaltes kühl zulauf"  # water
_STEAM = "steam dampf vapeur vapor vapore stoom para ånga"
_AIR = "air luft lucht aire aria powietrze"
_WATER = "water wasser eau agua acqua woda heißwasser heisswasser"
_SURFACE = (
    "surface surf sfc oberfläche oberflaeche oberfl superficie oppervlak oppervlakte powierzchnia "
    "lid lids deckel couvercle tapa coperchio deksel cap stopper collar neck skin hülle folie "
    "foil film headspace kopfraum hs ullage gap gaps spalt zwischenraum interstice interstitial "
    "holder rack crate shoulder seam"
)
_NOT = (
    "not without ohne nicht kein keine empty leer leere leeres sans sin vacío vuoto loose lose "
    "spare unused dummy free libre lost fallen ext external extern"
)
_NEAR = (  # a unit after it, or nothing
    "between betw btw btwn bet among amongst amid inter above abv over atop below under underneath "
    "beneath beside besides near nr next adjacent adj nearby alongside around against behind "
    "touching zwischen zw neben über ueber oberhalb unter unterhalb außerhalb ausserhalb hinter "
    "nahe entre sur sous dessus dessous près autour sobre bajo encima junto cerca tra fra sopra "
    "sotto vicino tussen naast boven onder interbag interjar między "
    "miedzy obok nad pod mellan mellem bredvid"
)
_ON = "on at by off no auf am bei um outwith"  # a unit after it
_ENDS = "top side bottom edge end face mouth seite boden"
_OF = frozenset(("of", "der", "des", "vom", "von", "de", "du"))
_COMPOUND = 4  # letters from which on a word counts at either end of a longer one
_SPLIT = re.compile(r"\b(head)[-_ ]+space\b|\b(o)/s\b|\b(b)/w\b", re.IGNORECASE)
_NUMBERED = re.compile(r"\bnr[._ -]*(?=\d)", re.IGNORECASE)  # Nr. 2 is a number, nr bag is near it
_JOINED = {"head": "headspace", "o": "outside", "b": "between"}


def place_in(head: str) -> Place | None:
    """Return where a probe stood by the words of its head, or None if they do not say.

    Examples
    --------
    >>> place_in("Bag 3"), place_in("between bags"), place_in("Luft [°C]")
    (<Place.CORE: 'core'>, <Place.BESIDE: 'beside'>, <Place.AROUND: 'around'>)
    """
    head = _SPLIT.sub(lambda found: _JOINED[next(filter(None, found.groups())).casefold()], head)
    head = _NUMBERED.sub("", head)
    words = [word for each in tokens(head) if (word := each.rstrip("0123456789"))]
    if is_about(head, _OTHER) or (is_about(head, _WATER) and _has(words, _SUPPLY)):
        return Place.OTHER
    if _is_device(words, head):
        return Place.DEVICE
    is_unit = is_about(head, UNIT)
    if is_unit or is_about(head, CORE):
        return _of_unit(head, words, is_unit=is_unit)
    return _without_unit(head, words)


def _without_unit(head: str, words: Sequence[str]) -> Place | None:
    """Return the place of a probe whose head names no unit."""
    is_beside = _has(words, f"{_SURFACE} {OUTER}") or _has(words, _NEAR, is_whole=True)
    is_around = _has(words, _AIR) or _has(words, _WATER)
    is_chamber = any(is_about(head, each) for each in (VESSEL, _STEAM, FITTING)) or "bad" in words
    is_middle = is_about(head, MIDDLE)
    is_bare = is_middle and is_bare_middle(tokens(head))
    said = (
        (is_about(head, _OUTSIDE), Place.OTHER),
        (is_chamber, Place.CHAMBER),
        (is_middle and is_beside, Place.BESIDE),
        (is_middle and is_around, Place.AROUND),
        (is_middle, Place.CORE if is_bare else Place.UNCLEAR),
        (_has(words, _OF_LOGGER, is_whole=True), Place.OTHER),
        (is_bare_cold_spot(tokens(head)), Place.CORE),
        (is_beside, Place.BESIDE),
        (is_around, Place.AROUND),
        (_has(words, PLACES_NAMED, is_whole=True), Place.UNCLEAR),
    )
    return next((place for is_so, place in said if is_so), None)


def _of_unit(head: str, words: Sequence[str], *, is_unit: bool) -> Place:
    """Return the place of a probe whose head names a unit or a core."""
    is_core = is_about(head, CORE)
    is_denied = (
        is_about(head, _OUTSIDE)
        or _has(without_ledges(words) if is_core else words, _SURFACE)
        or _has(words, _AIR)
        or _has(words, _NOT, is_whole=True)
        or _is_near(words)
    )
    is_plain = (
        is_plainly_inside(tokens(head))
        and not _has(words, _WATER)
        and not is_end_of_bulk(tokens(head))
    )
    if is_core:
        return Place.CORE if is_plain and not is_denied else Place.UNCLEAR
    if is_denied or _has(words, OUTER) or (is_unit and is_about(head, _STEAM)):
        return Place.BESIDE
    return Place.CORE if is_plain and not _is_vessel_of(words) else Place.UNCLEAR


def _is_device(words: Sequence[str], head: str) -> bool:
    """Return True if a head speaks of the logger itself: ``logger unit``, ``unit temp``.

    A unit with a number or a letter may be one of the load.
    """
    said = [each for each in words if each not in SMALL.split() and each not in "cfk"]
    if any(each.isdigit() or len(each) == 1 for each in tokens(head) if each not in "cfk"):
        return False
    known = (*_UNITS.split(), *_DEVICE.split())
    is_named = any(each in _UNITS.split() or each in _LOGGER.split() for each in said)
    return is_named and all(each in known for each in said) and said != ["units"]


def _has(words: Sequence[str], known: str, *, is_whole: bool = False) -> bool:
    """Return True if one of the words is, begins or ends with one that is known."""
    return any(_is(word, known, is_whole=is_whole) for word in words)


def _is(word: str, known: str, *, is_whole: bool = False) -> bool:
    listed = known.split()
    if word in listed or is_whole:
        return word in listed
    return any(
        len(each) >= _COMPOUND and (word.startswith(each) or word.endswith(each)) for each in listed
    )


def _is_near(words: Sequence[str]) -> bool:
    """Return True if the words speak of a place next to a unit, or at one of its ends."""
    for at, word in enumerate(words):
        later = [each for each in words[at + 1 :] if len(each) > 1 and each not in SMALL.split()]
        has_unit = any(_is(each, UNIT) or _is(each, CORE) for each in later)
        if _is(word, _NEAR, is_whole=True) and (has_unit or not later):
            return True
        if any(word.startswith(each) and _is(word, UNIT) for each in ("zwischen", "between")):
            return True
        if has_unit and _is(word, _ON, is_whole=True):
            return True
        if has_unit and word in _ENDS.split() and words[at + 1] in _OF:
            return True
    return False


def _is_vessel_of(words: Sequence[str]) -> bool:
    """Return True if a unit only says what a vessel is for: a grain cooker, a bag chamber."""
    return any(_is(word, UNIT) and _is(after, VESSEL) for word, after in pairwise(words))


def role_in(head: str) -> ColumnRole | None:
    """Return the role a head names, or None if it leaves that open."""
    place = place_in(head)
    return _ROLES.get(place) if place else None


def names_a_unit(head: str) -> bool:
    """Return True if a head speaks of a unit of the load, in it or not."""
    return is_about(head, UNIT) or is_about(head, CORE)


def names_water(head: str) -> bool:
    """Return True if a head speaks of water."""
    return _has(tokens(head), _WATER)


def names_a_place(head: str) -> bool:
    """Return True if a head speaks of any place where probes stand."""
    known = (_OTHER, _OUTSIDE, _OF_LOGGER, CORE, MIDDLE, UNIT, VESSEL, _STEAM, FITTING, _WATER)
    return any(is_about(head, each) for each in known) or is_bare_cold_spot(tokens(head))


def is_of_log(head: str) -> bool:
    """Return True if a head speaks of anything that logs hold."""
    units = (Topic.TEMPERATURE, Topic.PRESSURE, Topic.TIME)
    named = any(unit_in(head, topic) for topic in units)
    return named or bool(topics_in(head)) or names_a_place(head)


def is_of_shelves(head: str, others: Sequence[str]) -> bool:
    """Return True if a middle stands among a top and a bottom, and may be one of the chamber."""
    if not is_about(head, MIDDLE) or names_a_unit(head):
        return False
    return any(
        bool(words) and all(word in SHELVES.split() for word in words)
        for words in (
            [each for each in tokens(other) if len(each) > 1 and each not in SMALL.split()]
            for other in others
        )
    )
