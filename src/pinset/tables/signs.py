"""Signs that are looked for in vessels and grow rooms: what they look like and usually mean.

A sign is what a person sees, never a finding of a laboratory: what it usually means is said with
where that is known from, and how long it takes to show is a range, not a day.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from functools import cache

from pinset.errors import InputError
from pinset.tables.cautions import caution
from pinset.tables.loader import Quality, Value, packaged_rows, sources, table

_SIGNS = "signs.csv"
_PLACES = "sign_places.csv"
_READINGS = "sign_readings.csv"
_DAYS = "sign_days.csv"
_WORDS = "sign_words.csv"
_KNOWN = ("source", "place", "quality")
_SIGN_COLUMNS = (
    "key",
    "name",
    "looks_like",
    "seen_in",
    "takes_units",
    "means",
    *_KNOWN,
    "caution",
)
_PLACE_COLUMNS = ("key", "name", "seen_in")
_WORD_COLUMNS = ("word", "sign")
_READING_COLUMNS = ("key", "means", *_KNOWN, "points_to")
POINTS_TO = ("cook", "parent", "line", "mix", "session", "person", "place", "vessel", "room")
"""What a sign at a place can point to: what lots share, the single vessel, the grow room."""


class Medium(StrEnum):
    """What is looked at."""

    PLATE = "plate"  # tubes, too
    LIQUID = "liquid"
    GRAIN = "grain"
    SAWDUST = "sawdust"
    BLOCK = "block"  # bottles and beds, too
    ROOM = "room"  # what fruits in a grow room


class Out(StrEnum):
    """As what units are taken out that show a sign."""

    LOST = "lost"  # contaminated
    CULLED = "culled"  # for another cause


@dataclass(frozen=True, slots=True)
class Said:
    """What something usually means, and where that is known from."""

    means: str
    source: str  # key of a source
    place: str  # in it; "-": none
    quality: Quality

    @property
    def flag(self) -> str:
        """Return how it is known, in words that stand beside it."""
        if self.quality is Quality.COMMON_PRACTICE:
            return "common practice, no source"
        if self.quality is Quality.MEMORY:
            return "from memory"
        source = sources()[self.source]
        if source.authors == "-":
            return f"{source.title}, {source.seen}"
        return f"{source.authors} {source.year}, {self.place}"


@dataclass(frozen=True, slots=True)
class Sign:
    """One sign that can be seen."""

    key: str
    name: str
    looks_like: str
    seen_in: tuple[Medium, ...]
    out: Out
    usual: Said
    caution: str  # key of a caution

    def shows_after(self, medium: Medium) -> Value | None:
        """Return the days from inoculation after which it shows; None where none are known."""
        return table(_DAYS).get(f"{self.key}.{medium}", "shows_after")


@dataclass(frozen=True, slots=True)
class SignPlace:
    """A place in a vessel or a room where a sign is seen."""

    key: str
    name: str
    seen_in: tuple[Medium, ...]


def _media(cell: str, where: str) -> tuple[Medium, ...]:
    unknown = [word for word in cell.split() if word not in set(Medium)]
    if unknown:
        raise InputError(where, " ".join(unknown), f"one or more of {', '.join(Medium)}")
    return tuple(Medium(word) for word in cell.split())


def _said(row: Mapping[str, str], where: str) -> Said:
    if row["quality"] not in set(Quality):
        raise InputError(f"{where} column quality", row["quality"], f"one of {', '.join(Quality)}")
    if row["source"] not in sources():
        raise InputError(f"{where} column source", row["source"], "a key of sources.csv")
    quality = Quality(row["quality"])
    if quality is Quality.READ and not sources()[row["source"]].is_publication:
        raise InputError(f"{where} column quality", quality.value, "read only of a publication")
    return Said(row["means"], row["source"], row["place"], quality)


@cache
def signs() -> Mapping[str, Sign]:
    """Return every sign by its key, in the order of the table.

    Raises
    ------
    InputError
        If a row names an unknown medium, source, quality or caution.
    """
    found = {}
    for row in packaged_rows(_SIGNS, _SIGN_COLUMNS):
        where = f"{_SIGNS} {row['key']}"
        if row["takes_units"] not in set(Out):
            raise InputError(where, row["takes_units"], f"one of {', '.join(Out)}")
        found[row["key"]] = Sign(
            key=row["key"],
            name=row["name"],
            looks_like=row["looks_like"],
            seen_in=_media(row["seen_in"], where),
            out=Out(row["takes_units"]),
            usual=_said(row, where),
            caution=caution(row["caution"]).key,
        )
    return found


@cache
def sign_places() -> Mapping[str, SignPlace]:
    """Return every place a sign is seen at, by its key."""
    return {
        row["key"]: SignPlace(
            row["key"], row["name"], _media(row["seen_in"], f"{_PLACES} {row['key']}")
        )
        for row in packaged_rows(_PLACES, _PLACE_COLUMNS)
    }


@cache
def _readings() -> Mapping[str, Said]:
    found = {}
    for row in packaged_rows(_READINGS, _READING_COLUMNS):
        sign_key, _, place = row["key"].partition(".")
        if sign_key not in signs() or place not in sign_places():
            raise InputError(f"{_READINGS} column key", row["key"], "a sign, a point and a place")
        found[row["key"]] = _said(row, f"{_READINGS} {row['key']}")
    return found


def sign(key: str) -> Sign:
    """Return one sign.

    Raises
    ------
    InputError
        If there is none of that key.
    """
    found = signs().get(key)
    if found is None:
        raise InputError("sign", key, f"one of {', '.join(signs())}")
    return found


@cache
def _pointing() -> Mapping[str, frozenset[str]]:
    found = {}
    for row in packaged_rows(_READINGS, _READING_COLUMNS):
        kinds = frozenset(row["points_to"].split())
        if not kinds or not kinds <= set(POINTS_TO):
            where = f"{_READINGS} {row['key']} column points_to"
            raise InputError(where, row["points_to"], f"one or more of {', '.join(POINTS_TO)}")
        found[row["key"]] = kinds
    return found


def points_to(sign_key: str, place: str) -> frozenset[str]:
    """Return what a sign at a place points to, by what it usually means; empty: to nothing.

    The words are those of :data:`POINTS_TO`. Common practice, no source, and no more than that.
    """
    return _pointing().get(f"{sign_key}.{place}", frozenset())


@cache
def _words() -> Mapping[str, str]:
    """Return the signs by what growers call them: their names, and other words for them."""
    found = {each.name: each.key for each in signs().values()}
    for row in packaged_rows(_WORDS, _WORD_COLUMNS):
        found[row["word"]] = sign(row["sign"]).key
    return found


def sign_of_word(word: str) -> str:
    """Return the key of the sign that a word means, be it a key, a name or another word for it.

    Empty where it means none.
    """
    said = " ".join(word.split()).lower()
    return said if said in signs() else _words().get(said, "")


def sign_place(key: str) -> SignPlace:
    """Return one place in a vessel or room.

    Raises
    ------
    InputError
        If there is none of that key.
    """
    found = sign_places().get(key)
    if found is None:
        raise InputError("where", key, f"one of {', '.join(sign_places())}")
    return found


def signs_of(medium: Medium) -> tuple[Sign, ...]:
    """Return the signs that are looked for in a medium, in the order of the table."""
    return tuple(each for each in signs().values() if medium in each.seen_in)


def places_in(medium: Medium) -> tuple[SignPlace, ...]:
    """Return the places that are asked for in a medium."""
    return tuple(each for each in sign_places().values() if medium in each.seen_in)


def reading_of(sign_key: str, place: str) -> Said:
    """Return what a sign at a place usually means; where nothing more is known, the sign itself.

    Raises
    ------
    InputError
        If there is no such sign.
    """
    return _readings().get(f"{sign_key}.{place}") or sign(sign_key).usual


def shown_by(medium: Medium) -> float:
    """Return the days after which even the slowest sign of a medium usually shows.

    Until then a unit on which nothing is seen is not known to be clean; afterwards it is only less
    likely to hold something.
    """
    highs = [
        value.high
        for each in signs_of(medium)
        if (value := each.shows_after(medium)) is not None and value.high is not None
    ]
    return max(highs, default=0.0)
