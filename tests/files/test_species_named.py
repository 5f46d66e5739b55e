"""A species the tables do not know is told: as a slip where it reads like one."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from pinset.errors import Finding, Severity
from pinset.files.description.example import example_book
from pinset.files.description.folder import read_folder
from pinset.files.description.writing import write_folder

TODAY = date(2026, 3, 12)


def told(folder: Path, species: str) -> list[Finding]:
    """Return what is told of a species of the example farm; it is taken all the same."""
    write_folder(example_book(TODAY), folder)
    path = folder / "varieties.csv"
    before = path.read_text("utf-8-sig")
    head, sign, rows = before.rpartition("code,name,species")
    path.write_text(head + sign + rows.replace("Pleurotus ostreatus", species), "utf-8")
    book, findings = read_folder(folder, today=TODAY)
    assert book is not None
    assert book.varieties[0].species == species
    return [each for each in findings if each.id == "load.species-unknown"]


@pytest.mark.parametrize("species", ["Pleurotus ostreatus", "pleurotus ostreatus", "Grey oyster"])
def test_a_known_species_is_not_spoken_of(tmp_path: Path, species: str) -> None:
    assert not told(tmp_path, species)


def test_a_slip_is_told_with_what_was_meant(tmp_path: Path) -> None:
    [found] = told(tmp_path, "Pleurotus ostreatsu")
    assert found.severity is Severity.WARNING
    assert found.record == "varieties.csv row 2 column species"
    assert "“Pleurotus ostreatsu”" in found.sentence
    assert found.hint == "Did you mean Pleurotus ostreatus?"


@pytest.mark.parametrize(
    "species", ["Stropharia rugosoannulata", "Pleurotus ostreatus var. florida"]
)
def test_another_species_is_noted_with_those_that_are_known(tmp_path: Path, species: str) -> None:
    [found] = told(tmp_path, species)
    assert found.severity is Severity.NOTE
    assert "Lentinula edodes" in found.hint
