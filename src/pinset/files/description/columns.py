"""What a table is: its columns, what each holds and means, and which of them are the key."""

from __future__ import annotations

from dataclasses import dataclass

from pinset.files.description.cells import Kind


@dataclass(frozen=True, slots=True)
class Column:
    """One column of a table."""

    name: str
    kind: Kind
    meaning: str
    required: bool = False
    field: str = ""  # name in the record, where it differs
    refers: str = ""  # what its codes name: "routes", "shelves" ...
    empty: str = ""  # what an empty cell means, in words

    @property
    def record_field(self) -> str:
        """Name in the record."""
        return self.field or self.name


@dataclass(frozen=True, slots=True)
class Table:
    """One table of the farm's description."""

    name: str
    title: str
    columns: tuple[Column, ...]
    key: tuple[str, ...]  # columns that together are unique; none: no two rows are the same
    required: bool = False  # the file must be there

    def column(self, name: str) -> Column:
        """Return the column of that name."""
        return next(column for column in self.columns if column.name == name)

    @property
    def names(self) -> tuple[str, ...]:
        """The names of all columns, in order."""
        return tuple(column.name for column in self.columns)
