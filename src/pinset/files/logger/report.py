"""Findings gathered while a logger's file is read, each kind cut after so many."""

from __future__ import annotations

from collections.abc import Sequence

from pinset.errors import Finding, Severity
from pinset.files.description.place import Place

MOST_OF_A_KIND = 20
"""Findings of one id that are listed; a closing one says how many more there were."""


class LogReport:
    """Findings about one file; nothing stops at the first one."""

    def __init__(self, file: str) -> None:
        self.file = file
        self._findings: list[Finding] = []
        self._count: dict[str, int] = {}
        self._doubts: dict[int, list[str]] = {}

    def _add(self, name: str, finding: Finding) -> None:
        self._count[name] = self._count.get(name, 0) + 1
        if self._count[name] <= MOST_OF_A_KIND:
            self._findings.append(finding)

    def wrong(
        self,
        name: str,
        sentence: str,
        hint: str = "",
        *,
        row: int | None = None,
        column: str = "",
        say: Sequence[str] = (),
    ) -> None:
        """Keep something that cannot be used; ``name`` is the part of its id after ``log.``."""
        place = str(Place(self.file, row, column))
        self._add(name, Finding(f"log.{name}", Severity.WRONG, place, sentence, hint, tuple(say)))

    def warn(
        self,
        name: str,
        sentence: str,
        hint: str = "",
        *,
        row: int | None = None,
        column: str = "",
        say: Sequence[str] = (),
    ) -> None:
        """Keep something that is usable but should be looked at."""
        place = str(Place(self.file, row, column))
        self._add(name, Finding(f"log.{name}", Severity.WARNING, place, sentence, hint, tuple(say)))

    def note(
        self,
        name: str,
        sentence: str,
        hint: str = "",
        *,
        row: int | None = None,
        column: str = "",
        say: Sequence[str] = (),
    ) -> None:
        """Keep something worth knowing."""
        place = str(Place(self.file, row, column))
        self._add(name, Finding(f"log.{name}", Severity.NOTE, place, sentence, hint, tuple(say)))

    def doubt(self, index: int, name: str) -> None:
        """Mark a column, by its place in the file, as one a finding speaks against."""
        doubts = self._doubts.setdefault(index, [])
        if f"log.{name}" not in doubts:
            doubts.append(f"log.{name}")

    def doubts(self, index: int) -> tuple[str, ...]:
        """Return the ids of findings that speak against a column."""
        return tuple(self._doubts.get(index, ()))

    def findings(self) -> tuple[Finding, ...]:
        """Return everything found, the gravest first, otherwise in the order of finding."""
        closing = [
            Finding(
                f"log.{name}",
                next(each.severity for each in self._findings if each.id == f"log.{name}"),
                self.file,
                f"{count - MOST_OF_A_KIND} more of this kind are not listed.",
            )
            for name, count in self._count.items()
            if count > MOST_OF_A_KIND
        ]
        order = list(Severity)
        return tuple(
            sorted([*self._findings, *closing], key=lambda finding: order.index(finding.severity))
        )
