"""Words in the heads of logger files: what a column holds, its unit, what it counts.

The words are common in the trade and on loggers; common practice, no source.
"""

from __future__ import annotations

import re
import unicodedata
from enum import StrEnum
from itertools import pairwise

from pinset.files.logger.records import Basis


class Topic(StrEnum):
    """What the words of a head are about."""

    TIME = "time"
    ELAPSED = "elapsed"
    INDEX = "index"
    TEMPERATURE = "temperature"
    PRESSURE = "pressure"
    NUMBER = "number"


_TOPICS = {
    Topic.PRESSURE: (
        "pressure druck dampfdruck pression presion presión pressione pressão pressao tryck trykk "
        "ciśnienie cisnienie tlak paine press manometer überdruck p"
    ),
    Topic.NUMBER: (
        "humidity feuchte humidité humedad umidità umidade rh rf battery batterie batería bateria "
        "bat volt volts voltage spannung tension strom power leistung status valve ventil flow co2 "
        "lux f0 fo lethality pu rssi"
    ),
    Topic.ELAPSED: (
        "elapsed dauer laufzeit duration durée runtime versuchszeit écoulé verstrichen since"
    ),
    Topic.TIME: (
        "time zeit uhrzeit datum date datetime timestamp zeitstempel zeitpunkt moment temps heure "
        "horodatage tiempo hora fecha tempo ora data tijd tid czas godzina čas cas aika clock"
    ),
    Topic.TEMPERATURE: (
        "temperature temperatur température temperatura temperatuur temp temps tmp thermocouple "
        "thermoelement tc rtd pt100 pt1000 ntc ds18b20 probe sonde sonda fühler fuehler sensor "
        "channel kanal canal canale ch teplota lämpötila"
    ),
    Topic.INDEX: (
        "no nr num number nummer numéro numero index idx row record rec scan sample reading # n id "
        "lp pos"
    ),
}
_STATES = frozenset(
    ("door", "doors", "tür", "light", "alarm", "rate", "open", "closed", "switch", "contact")
)
"""What a column of states or counts is about, if its head says nothing else."""

_SET_POINT_WORDS = "sv sp setpoint setvalue setvalues sollwert solltemperatur consigne consigna"
_SET_POINTS = frozenset((*_SET_POINT_WORDS.split(), "soll"))
_SET_PAIRS = frozenset(
    (a, b) for a in ("set", "target") for b in ("point", "value", "temp", "temperature")
)
_PROCESS_VALUES = frozenset(("pv", "process value", "istwert", "ist", "actual value"))
_TEMPERATURE_WORDS = frozenset(("", "temp", "temperature", "temperatur"))

_DEGREE_WORDS = "temperature temperatur température temperatura temperatuur temp temps tmp teplota"
_PRESSED_VESSEL = re.compile(
    r"\bpressure (?:cooker|canner|vessel|pot|steriliser|sterilizer|autoclave|kettle|drum)s?\b"
    r"|\bunder pressure\b|\bdruck(?:kessel|topf|behälter|kochtopf)\b"
)
"""A vessel named by its pressure: what was read in it may be anything."""

_LONG = 5  # letters from which on a word counts inside a longer one

_UNITS = {
    Topic.TEMPERATURE: {
        "°C": "degc celsius gradc gradcelsius grad_c",
        "°F": "degf fahrenheit",
        "K": "degk kelvin",
    },
    Topic.PRESSURE: {
        "bar": "bar",
        "mbar": "mbar millibar hpa",
        "kPa": "kpa",
        "MPa": "mpa",
        "Pa": "pa",
        "psi": "psi lbf/in2 lb/in2",
        "kgf/cm²": "kgf/cm2 kgf/cm² kg/cm2 kg/cm²",
        "atm": "atm",
        "mmHg": "mmhg torr",
        "inHg": "inhg",
    },
    Topic.TIME: {
        "s": "s sec secs second seconds sekunde sekunden sek segundos secondes secondi",
        "min": "min mins minute minutes minuten minutos minuti minuty",
        "h": "h hr hrs hour hours stunde stunden std heures horas ore godziny",
        "d": "d day days tag tage",
        "ms": "ms msec millisecond milliseconds",
        "h:mm": "h:mm hh:mm h:mm:ss hh:mm:ss",
        "mm:ss": "m:ss mm:ss",
    },
}
_SPELLED = {
    topic: {word: unit for unit, words in units.items() for word in words.split()}
    for topic, units in _UNITS.items()
}
_OTHER_UNITS = frozenset(("%", "v", "mv", "-", "%rh", "%rf", "a", "ma", "hz", "ppm"))
_LETTERS = {"c": "°C", "f": "°F", "k": "K"}
_MARK = re.compile(
    r"(?P<unit>m?bar|[hkm]?pa|psi)[-_ ]?[(]?(?P<mark>g|a|ü|abs|absolute?|rel|gauge)?[)]?"
)
_GAUGE = re.compile(
    r"\b(?:gauge|gage|rel|relative?|relativ[oa]?|überdruck|ueberdruck|manom\w*|ü)\b"
    r"|\b(?:m?bar|[hkm]?pa|psi)[-_ ]?(?:\(\s*)?(?:g|ü)(?![^\W\d_])"
)
_ABSOLUTE = re.compile(
    r"\b(?:abs|absolute?|absolut[oa]?|absolu|assolut[oa]|absolutdruck)\b"
    r"|\b(?:m?bar|[hkm]?pa|psi)[-_ ]?(?:\(\s*)?a(?![^\W\d_])"
)
_BRACKETS = re.compile(r"[\[({<]([^\[\](){}<>]{1,24})[\])}>]")
_WORD = re.compile(r"[^\W\d_]+\d*|#|\d+")
_CAMEL = re.compile(r"(?<=[a-zß-ÿ]{2})(?=[A-Z])")
_TYPE = re.compile(r"\b(?:type|typ|tc|thermocouple|thermoelement)[-_ ]?k\b|\bk[-_ ]?typ")
_EVENT = re.compile(
    r"\b(?:coupler|host) (?:attached|detached|connected|disconnected)\b|\bend of file\b|\bstopped\b"
    r"|\bstarted\b|\b(?:good|bad) battery\b|\bbutton (?:up|down)\b|\bevents?\b"
)
_INSTRUMENT = re.compile(r"\(instrument: [^()\[\]]*\)", re.IGNORECASE)
"""The name of an instrument in the head of a watched cook's column: it speaks of no place."""
_DEGREES = ("Â°", "°", "º", "˚", "\ufffd", "degrees ", "deg. ", "deg.", "deg ", "Deg ")


def plain(head: str) -> str:
    """Return a head in small letters, with ``deg`` for degree signs of all kinds."""
    text = _INSTRUMENT.sub(" ", unicodedata.normalize("NFC", head))
    text = text.replace("℃", "degC").replace("℉", "degF")
    for sign in _DEGREES:
        text = text.replace(sign, "deg")
    return text.replace("deg ", "deg").strip().casefold()


def tokens(head: str) -> list[str]:
    """Return the words of a head: ``coreTemp_1 [°C]`` is core, temp, 1, degc."""
    return _WORD.findall(plain(_CAMEL.sub(" ", head)))


def is_about(head: str, words: str) -> bool:
    """Return True if a head holds one of the words; long ones count inside others too."""
    whole = "".join(tokens(head))
    parts = {*tokens(head), *(part.rstrip("0123456789") for part in tokens(head))}
    known = words.split()
    return any(word in parts for word in known) or any(
        word in whole for word in known if len(word) >= _LONG
    )


def is_set_point(head: str) -> bool:
    """Return True if a head is of what a controller is set to: no probe read that.

    Examples
    --------
    >>> is_set_point("SV"), is_set_point("Chamber set point [°C]"), is_set_point("set 2 core")
    (True, True, False)
    """
    words = [word.rstrip("0123456789") for word in tokens(without_unit(head))]
    return any(word in _SET_POINTS for word in words) or any(
        pair in _SET_PAIRS for pair in pairwise(words)
    )


def is_process_value(head: str) -> bool:
    """Return True if a head is of what a controller reads, and of nothing else.

    Examples
    --------
    >>> is_process_value("PV"), is_process_value("Process value [°C]"), is_process_value("PV core")
    (True, True, False)
    """
    words = [word.rstrip("0123456789") for word in tokens(without_unit(head))]
    return " ".join(word for word in words if word not in _TEMPERATURE_WORDS) in _PROCESS_VALUES


def is_event(head: str) -> bool:
    """Return True if a head is of a column in which a logger marks what was done to it."""
    return bool(_EVENT.search(plain(head)))


def topics_in(head: str) -> frozenset[Topic]:
    """Return what the words of a head are about; a head may speak of several things.

    Of pressure and temperature the last one named counts, and a pressure cooker is no pressure.

    Examples
    --------
    >>> [Topic.PRESSURE in topics_in(each) for each in ("pressure_cooker_core", "core_pressure")]
    [False, True]
    """
    found = {topic for topic, known in _TOPICS.items() if is_about(head, known)}
    if Topic.PRESSURE in found and not _ends_in_pressure(head):
        found.discard(Topic.PRESSURE)
    parts = [part for part in tokens(without_unit(head)) if not part.isdigit()]
    if parts and _STATES.issuperset(parts):
        found.add(Topic.NUMBER)
    known_index = _TOPICS[Topic.INDEX].split()
    if not parts or any(part not in known_index for part in parts):
        found.discard(Topic.INDEX)  # a sample number stands alone, ``sample 1 core`` does not
    return frozenset(found)


def without_unit(head: str) -> str:
    """Return a head without what stands in brackets, unless nothing else is left."""
    return _BRACKETS.sub(" ", head).strip() or head


def _ends_in_pressure(head: str) -> bool:
    """Return True if a pressure is named, and no temperature behind it."""
    said = _PRESSED_VESSEL.sub(" ", " ".join(tokens(without_unit(head))))
    last = ""
    for word in said.split():
        if is_about(word, _TOPICS[Topic.PRESSURE]):
            last = Topic.PRESSURE
        elif word.rstrip("0123456789") in _DEGREE_WORDS.split():
            last = Topic.TEMPERATURE
    return last == Topic.PRESSURE


def unit_in(head: str, topic: Topic) -> str:
    """Return the unit of a topic that a head names, or an empty text.

    A single letter (``temp_c``) is not taken here; see :func:`letter_in`.
    """
    known = _SPELLED[topic]
    text = plain(head)
    pieces = [*_BRACKETS.findall(text), re.split(r"[/,]", text)[-1], *tokens(head)[::-1]]
    for piece in pieces:
        word = piece.strip().rstrip(".").removeprefix("in ").replace(" ", "")
        if word in known:
            return known[word]
        if topic is Topic.TEMPERATURE and word in _LETTERS and piece in _BRACKETS.findall(text):
            return _LETTERS[word]
        marked = _MARK.fullmatch(piece.strip())
        if topic is Topic.PRESSURE and marked:
            return known[marked["unit"]]
    if topic is Topic.TIME:
        return ""
    return next(
        (unit for word, unit in known.items() if len(word) >= _LONG - 1 and word in text), ""
    )


def is_unit(cell: str) -> bool:
    """Return True if a cell holds a unit and nothing else."""
    bare = plain(cell).strip("[](){} ")
    word = bare.replace(" ", "")
    marked = _MARK.fullmatch(bare)
    is_spelled = any(word in known for known in _SPELLED.values())
    return is_spelled or word in _LETTERS or word in _OTHER_UNITS or marked is not None


def letter_in(head: str) -> str:
    """Return the single letter a head ends with or is (``temp_c``, ``F``), or an empty text."""
    parts = tokens(without_unit(head))
    if not parts or _TYPE.search(plain(head)):
        return ""
    return parts[-1] if len(parts[-1]) == 1 and parts[-1].isalpha() else ""


def unit_of_letter(letter: str) -> str:
    """Return the unit a letter stands for, or an empty text."""
    return _LETTERS.get(letter, "")


def other_unit(head: str) -> str:
    """Return what stands in the brackets of a head, as written."""
    found = _BRACKETS.search(head)
    return found[1].strip() if found else ""


def basis_in(head: str) -> Basis | None:
    """Return what a pressure is counted from by the words of its head; None: they do not say."""
    text = plain(head).replace("_", " ")
    if _ABSOLUTE.search(text):
        return Basis.ABSOLUTE
    return Basis.GAUGE if _GAUGE.search(text) else None
