"""The two ways pinset says that something is not right.

A **wrong call** (a program or a form passed nonsense) raises an :class:`InputError`, which carries
the field, what was given and what is accepted, and builds its sentence from them.

**Wrong farm data** (a lot used before it was made, a table with a negative count) never raises:
it becomes a :class:`Finding`, so that all can be shown at once, each pointing at its record.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum


class PinsetError(Exception):
    """Base of everything pinset raises on purpose; its text is fit to be shown to the grower."""


class InputError(PinsetError, ValueError):
    """A value that is not accepted.

    Parameters
    ----------
    field : str
        The input by the name the reader knows (screen name, column, parameter).
    given : object
        What was received; always shown.
    accepted : str
        What would have been accepted, with unit and range.
    hint : str
        What to do about it; may be empty.
    """

    def __init__(self, field: str, given: object, accepted: str, hint: str = "") -> None:
        self.field = field
        self.given = (
            float(f"{given:.9g}") if isinstance(given, float) else given
        )  # 15, not 15.0..02
        self.accepted = accepted
        self.hint = hint
        what = "nothing is given" if given is None else f"{self.given!r} is not accepted"
        text = f"{field}: {what}; accepted is {accepted}."
        super().__init__(f"{text} {hint}".strip())


class RefusedError(PinsetError):
    """Something the farm's own rules do not allow now, with what to do instead."""

    def __init__(self, sentence: str, hint: str = "") -> None:
        self.sentence = sentence
        self.hint = hint
        super().__init__(f"{sentence} {hint}".strip())


class Severity(StrEnum):
    """How much a finding matters."""

    WRONG = "wrong"  # the record cannot be true or cannot be used
    WARNING = "warning"  # usable, but somebody should look
    NOTE = "note"  # worth knowing


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing that is not right in the farm's data, said so that it can be mended.

    ``id`` is stable and dotted (``load.column-missing``); ``record`` names the record (a lot code,
    ``lots.csv row 7 column made_on``); ``sentence`` is complete; ``hint`` says what to do.
    """

    id: str
    severity: Severity
    record: str
    sentence: str
    hint: str = ""
    say: tuple[str, ...] = ()  # what said of a log by hand settles it: column.2.role=core

    def __str__(self) -> str:
        """Return the finding as one line."""
        return f"{self.record}: {self.sentence} {self.hint}".strip()


def worst(findings: Iterable[Finding]) -> Severity | None:
    """Return the gravest severity present, or None if there is no finding."""
    present = {finding.severity for finding in findings}
    for severity in Severity:
        if severity in present:
            return severity
    return None
