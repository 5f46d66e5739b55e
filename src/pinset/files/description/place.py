"""Where in the farm's files something stands, and the findings made there."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from difflib import get_close_matches

from pinset.errors import Finding, Severity

SHOWN_LETTERS = 60
"""A given value longer than this is cut when it is shown."""

MOST_FINDINGS = 1000
"""Findings kept per file; a closing one says how many more there were."""


@dataclass(frozen=True, slots=True)
class Place:
    """A file, a row in it (counted from 1, as a spreadsheet does), and a column by name."""

    file: str
    row: int | None = None
    column: str = ""

    def __str__(self) -> str:
        """Return ``lots.csv row 7 column made_on``."""
        parts = [self.file]
        if self.row is not None:
            parts.append(f"row {self.row}")
        if self.column:
            parts.append(f"column {self.column}")
        return " ".join(parts)

    def at(self, column: str) -> Place:
        """Return the same row at another column; inside a table of TOML, at its name there."""
        return Place(self.file, self.row, f"{self.column}.{column}" if self.column else column)


class Report:
    """Findings gathered while files are read; nothing stops at the first one."""

    def __init__(self) -> None:
        self._findings: list[Finding] = []
        self._count: dict[str, int] = {}

    def add(
        self, severity: Severity, name: str, place: Place, sentence: str, hint: str = ""
    ) -> None:
        """Keep one finding; ``name`` is the part of its id after ``load.``."""
        self._count[place.file] = self._count.get(place.file, 0) + 1
        if self._count[place.file] <= MOST_FINDINGS:
            self._findings.append(Finding(f"load.{name}", severity, str(place), sentence, hint))

    def wrong(self, name: str, place: Place, sentence: str, hint: str = "") -> None:
        """Keep something that cannot be used."""
        self.add(Severity.WRONG, name, place, sentence, hint)

    def warn(self, name: str, place: Place, sentence: str, hint: str = "") -> None:
        """Keep something that is usable but should be looked at."""
        self.add(Severity.WARNING, name, place, sentence, hint)

    def note(self, name: str, place: Place, sentence: str, hint: str = "") -> None:
        """Keep something worth knowing."""
        self.add(Severity.NOTE, name, place, sentence, hint)

    def extend(self, findings: Iterable[Finding]) -> None:
        """Keep findings made elsewhere."""
        self._findings.extend(findings)

    @property
    def has_wrong(self) -> bool:
        """True if anything found so far cannot be used."""
        return any(finding.severity is Severity.WRONG for finding in self._findings)

    def findings(self) -> tuple[Finding, ...]:
        """Return everything found, the gravest first, otherwise in the order of finding."""
        closing = [
            Finding(
                "load.and-more",
                Severity.WRONG,
                file,
                f"{count - MOST_FINDINGS} more problems of this file are not listed.",
                "Mend the listed ones and load again.",
            )
            for file, count in self._count.items()
            if count > MOST_FINDINGS
        ]
        order = list(Severity)
        return tuple(
            sorted([*self._findings, *closing], key=lambda finding: order.index(finding.severity))
        )


def shown(value: object) -> str:
    """Return a given value as it is quoted in a sentence, control signs made visible."""
    text = value if isinstance(value, str) else str(value)
    if len(text) > SHOWN_LETTERS:
        text = text[:SHOWN_LETTERS] + "…"
    safe = "".join(sign if sign.isprintable() else f"\\x{ord(sign):02x}" for sign in text)
    return f"“{safe}”"


def nearest(given: str, known: Iterable[str]) -> str:
    """Return the known word most like the given one, or an empty text."""
    found = get_close_matches(given.casefold(), list(known), n=1, cutoff=0.6)
    return found[0] if found else ""


def listed(words: Iterable[str], *, most: int = 12) -> str:
    """Return words joined by commas, cut after ``most`` with the number left out."""
    items = list(words)
    if len(items) <= most:
        return ", ".join(items)
    return f"{', '.join(items[:most])} and {len(items) - most} more"
