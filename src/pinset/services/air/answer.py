"""What a sum about air answers: the verdict first, then the numbers, then where they come from."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Fact:
    """A number with its name."""

    name: str
    value: str
    detail: str = ""


@dataclass(frozen=True, slots=True)
class Sheet:
    """A table of words."""

    title: str
    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True, slots=True)
class Answer:
    """The answer, as it is read."""

    sentence: str
    flags: tuple[str, ...] = ()  # what speaks against it, gravest first
    facts: tuple[Fact, ...] = ()
    sheets: tuple[Sheet, ...] = ()
    points: tuple[str, ...] = ()
    narrows: str = ""  # the one measurement that narrows it most
    cautions: tuple[str, ...] = ()
    inputs: tuple[str, ...] = ()
    method: tuple[str, ...] = ()
    ending: str = "A prediction and no proof."
