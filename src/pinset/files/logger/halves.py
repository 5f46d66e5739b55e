"""AM and PM in a column of their own, put behind the clocks they belong to."""

from __future__ import annotations

from dataclasses import replace

from pinset.files.logger.block import Block
from pinset.files.logger.rows import Kind

_HALVES = {"am": "AM", "a.m.": "AM", "pm": "PM", "p.m.": "PM"}


def with_halves(block: Block) -> Block:
    """Return a block whose clocks of twelve hours carry their AM or PM.

    The column of clocks is the nearest one before the halves, else the nearest one behind them.
    """
    for index, kind in enumerate(block.kinds):
        cells = [cell.strip().lower() for cell in block.columns[index]]
        if kind != Kind.WORDS or not cells or not all(cell in _HALVES for cell in cells):
            continue
        clocks = [at for at, each in enumerate(block.kinds) if each == Kind.TIME]
        clocks = [at for at in clocks if ":" in block.columns[at][0]]
        clocks.sort(key=lambda at: (at > index, abs(at - index)))
        if not clocks or block.columns[clocks[0]][0].strip().lower().endswith("m"):
            return block
        columns = list(block.columns)
        columns[clocks[0]] = [
            f"{clock.strip()} {_HALVES[cell]}"
            for clock, cell in zip(columns[clocks[0]], cells, strict=True)
        ]
        return replace(block, columns=columns)
    return block
