"""Whether every word beside a unit is known to say which unit it is, or that a probe is in it.

A word that is not known may speak of a place beside the unit (``jar ring``, ``bag shelf``), so it
is asked about. The words are common in the trade and on loggers; common practice, no source.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import pairwise, product

CORE = (
    "core cores coretemp kern kerne kerntemp coeur cœur nucleo núcleo cuore kärna rdzeń rdzen "
    "jádro jadro ydin kjerne wnętrze"
)
MIDDLE = "centre center mitte centro middle środek srodek"
UNIT = (
    "bag bags beutel beuteln sack säcke säcken sac sacs bolsa bolsas sacco jar jars glas gläser "
    "gläsern bocal bocaux frasco frascos barattolo bottle bottles flasche flaschen load ladung "
    "charge carga carico product produkt produit producto prodotto produto substrate substrat "
    "substrato sustrato block blocks bloc blocs bloque blöcke blöcken grain korn getreide spawn "
    "brut worek zak zakken pot pots straw stroh paille paja sawdust spore unit units"
)
VESSEL = (
    "chamber kammer chambre cámara camara câmara camera kamer komora kammare kammio autoclave "
    "autoklav autoclaaf autoklaw retort retorte vessel kessel behälter steamer dämpfer tank "
    "enceinte cuve canner cooker drum steriliser sterilizer sterilisator bath wasserbad bain"
)
FITTING = "drain abfluss kondensat jacket mantel headspace"
OUTER = (  # also said of which unit it is
    "outer outermost äußere äußerer äusserer äusserem edge edges rim rand beutelrand glasrand wall "
    "walls wand wände paroi pared parete bord borde"
)
SMALL = (
    "the a an of and or two both der die das dem den des ein eine einem einen zwei und le la les "
    "un une los las el de du il lo gli temp temperature temperatur probe sensor fühler sonde tc "
    "degc degf degk celsius fahrenheit kelvin"
)
SHELVES = "top bottom upper lower left right front back rear oben unten links rechts vorne hinten"
_WITHIN = (
    "in inside within im innen innere inneres innerer inner interior interieur intérieur internal "
    "intern interne interno into dentro dans dedans all deepest tiefste tiefster "
    "innermost innerster innerste innerstes "
    "coldest slowest cold slow last spot point worst kältester kälteste kältestes langsamster "
    "langsamste langsamstes punkt stelle"
)
_WHICH = (
    "no nr num number nummer numéro número id lot pos position posición first second third "
    "one three four eins drei vier # s big small large half full new old groß klein "
    "großer kleiner großes kleines biggest bigger largest larger heaviest thickest "
    "gross grosser grosses grösster grösste grösstes "
    "gal gallon kg lb lbs oz qt quart quarts pint pints liter litre "
    "liters litres ml test sample each single same"
)
_PROBES = (
    "temps tmp temperaturen température temperatuur teplota probes needle nadel penetration spike "
    "einstechfühler stichfühler fuehler sonda thermocouple thermoelement tk pt rtd ntc ch channel "
    "kanal canal logger reading value wert measured f k type typ lgr sen lbl label serial gmt utc"
)
_FILLINGS = (
    "rye roggen oat oats hafer wheat weizen millet hirse sorghum milo corn popcorn mais barley "
    "gerste rice reis bird seed wbs dung manure compost coir hardwood oak beech buche sawdust "
    "sägemehl pellet pellets hull hulls soy mix"
)
_GOODS = (
    f"{_FILLINGS} mushroom oyster oysters shiitake reishi king lion lions mane enoki austernpilz "
    "seitling mason masters filled wet dry heavy supplemented "
    "tube tubes röhrchen reagenzglas agar flask flasks"  # units only beside a word for a core
)
_MATERIALS = "plastic pp kraft glass"  # of a unit that is named after it: ``glass jar``
_CORNERS = "corner ecke"  # of the chamber, where a unit is named after it: ``corner bag``
_BULK = (  # has ends and sides of its own, between its units or above them
    "load ladung charge carga carico straw stroh paille paja sawdust substrate substrat substrato "
    "sustrato grain korn getreide"
)
_PLACED = (
    "rearmost topmost lowest highest uppermost bottommost furthest farthest "
    "mid unterer unterster unterste untere oberer oberster oberste obere hinterer hintere "
    "hinterster hinterste vorderer vordere vorderster vorderste linker linke rechter rechte "
    "mittlerer mittlere north south east west nord süd ost arriba abajo izquierda derecha haut bas "
    "gauche droite alto basso sinistra destra"
)
_LEDGES = "shelf shelves rack racks row rows tier tiers level layer stack side regal reihe lage"
_GIVEN = (  # what a unit may stand at, after a word such as ``near``
    "door doors tür tuer porte puerta floor ground boden window fenster corner ecke inlet outlet "
    "load side seite entrance fan wall wand valve ventil middle centre center mitte"
)
PLACES_NAMED = (  # where a probe may stand as well as a unit
    f"{_LEDGES} {_GIVEN} ceiling decke roof dach tray trays trolley basket korb post pipe "
    "rohr coil manifold vent lüfter pallet palette oven ofen boiler kettle kiln tunnel barrel fass "
    "pan trivet"
)
_AT = "in at on by near next against im am an bei neben nahe vor zum zur from auf"
_SIDES = "side end seite"
_ENDS = f"{SHELVES} {_PLACED} {_SIDES} {OUTER} edge"
_CHAMBER = "chamber kammer chambre cámara camara câmara camera kamer komora kammare"
_INSIDE = f"{UNIT} {CORE} {MIDDLE} {SMALL} {_WITHIN} {_PROBES}"
_KNOWN = frozenset(f"{_INSIDE} {SHELVES} {OUTER} {_WHICH} {_GOODS} {_PLACED}".split())
_BARE = frozenset(f"{CORE} {MIDDLE} {UNIT} {SMALL} {_PROBES} {_FILLINGS}".split())
_PLACES = frozenset(f"{VESSEL} {FITTING} {_GIVEN} {_LEDGES} {SHELVES}".split())
_BEFORE_PLACES = frozenset((*SMALL.split(), "to"))
_SLOWEST = frozenset(product(("cold", "coldest", "slowest"), ("spot", "point")))
_SLOW_WORDS = frozenset(each for pair in _SLOWEST for each in pair)
_PROBE_WORDS = frozenset(f"{SMALL} {_PROBES} c".split())
_PART = 3  # letters that a part of a compound has at the least
_LINKS = ("", "n", "s", "en")  # between the parts of a German compound
_NAME = re.compile(
    r"[^\Won\d_]\d*|[^\W\d_]{2,4}\d{2,}|\d+"
)  # A, B2, GR12, 3; an O may be outer, an N near


def is_plainly_inside(words: Sequence[str]) -> bool:
    """Return True if every word of a head that names a unit or core is known to leave it inside.

    Parameters
    ----------
    words : sequence of str
        In small letters, with their numbers.

    Examples
    --------
    >>> is_plainly_inside(["jar", "3", "top", "left"]), is_plainly_inside(["jar", "ring"])
    (True, False)
    """
    at = 0
    while at < len(words):
        length = _known_from(words, at)
        if not length:
            return False
        at += length
    return True


def without_ledges(words: Sequence[str]) -> list[str]:
    """Return a head without the shelf its unit stood on: ``bottom rack``."""
    said = f"{SHELVES} {MIDDLE} {_PLACED}".split()
    return [
        word
        for place, word in enumerate(words)
        if not (place and _bare(word) in _LEDGES.split() and words[place - 1] in said)
    ]


def is_bare_middle(words: Sequence[str]) -> bool:
    """Return True if a head of a middle says of what, if of anything, and nothing else.

    ``center`` and ``rye middle`` do; ``middle shelf``, ``center fan`` and ``tunnel center`` speak
    of a place.
    """
    return all(
        _is_known(_bare(word), _BARE) or (bool(_NAME.fullmatch(word)) and word != "o")
        for word in words
    )


def is_bare_cold_spot(words: Sequence[str]) -> bool:
    """Return True if a head speaks of the slowest place of a load, and of nothing else.

    ``Cold spot`` does; ``cold spot drain`` is one of the chamber.
    """
    known = [_bare(word) for word in words]
    is_named = any(each in _SLOWEST for each in pairwise(known))
    rest = [each for each in known if each not in _SLOW_WORDS]
    return is_named and all(each in _PROBE_WORDS or each.isdigit() for each in rest)


def is_end_of_bulk(words: Sequence[str]) -> bool:
    """Return True if the only units are what fills many and a side or an end is named.

    ``load end`` may be that of the vessel, ``straw top`` the air above it.
    """
    known = [_bare(word) for word in words]
    units = [word for word in known if word in UNIT.split() or word in CORE.split()]
    is_bulk = bool(units) and all(word in _BULK.split() for word in units)
    return is_bulk and any(word in _ENDS.split() for word in known)


def _known_from(words: Sequence[str], at: int) -> int:
    """Return how many words from here on are known together; 0: this one is not."""
    word = _bare(words[at])
    before = _bare(words[at - 1]) if at else ""
    after = [_bare(each) for each in words[at + 1 :]]
    following = after[0] if after else ""
    length = _length_of_place(word, after)
    if length:
        return length
    if word in _LEDGES.split() and before not in f"{UNIT} {CORE}".split():
        return 2 if following.isdigit() else 0
    if word in VESSEL.split():
        is_whose = before in CORE.split() and word not in _CHAMBER.split()
        return int(is_whose or following in UNIT.split())
    alone = _by_neighbours(word, before, after)
    return int(_is_known(word) or bool(_NAME.fullmatch(words[at])) if alone is None else alone)


def _by_neighbours(word: str, before: str, after: Sequence[str]) -> bool | None:
    """Return whether a word is known by those around it; None: it does not hang on them."""
    following = after[0] if after else ""
    if word == "n" and before == "s":  # a serial number
        return True
    if word in _CORNERS.split():
        return following in UNIT.split()
    if word in _MATERIALS.split():
        return any(each in UNIT.split() for each in after)
    return following.isalpha() if word == "of" else None  # "OF" at the end is a surface


def _length_of_place(word: str, after: Sequence[str]) -> int:
    """Return how many words say at what place of a chamber a unit stands; 0: none do."""
    if word in _AT.split():
        to = next((i for i, each in enumerate(after) if each not in _BEFORE_PLACES), len(after))
        if to < len(after) and after[to] in _PLACES:
            is_longer = after[to + 1 : to + 2] and after[to + 1] in _LEDGES.split()
            return to + (3 if is_longer else 2)
    following = after[0] if after else ""
    is_side = following in _SIDES.split() and word in _PLACES
    is_ledge = following in _LEDGES.split() and word in f"{SHELVES} {MIDDLE} {_PLACED}".split()
    return 2 if is_side or is_ledge else 0


def _bare(word: str) -> str:
    return word.rstrip("0123456789") or word


def _is_known(word: str, known: frozenset[str] = _KNOWN) -> bool:
    """Return True if a word is known, or made of two that are."""
    if word in known:
        return word != "an"  # on, in German
    for cut in range(_PART, len(word) - _PART + 1):
        first, last = word[:cut], word[cut:]
        if last in known and any(first.removesuffix(link) in known for link in _LINKS):
            return True
    return False
