"""Logs of one reading a row, with a column that names the probe, put side by side.

Many recorders and data bases export so (long form, tidy). Readings of the same moment come into one
row. Where most probes were read at times of their own, as where each is written when its value
changes, every moment has its row, and a probe's cell is empty at the moments of the others; see
:mod:`pinset.files.logger.between`.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
from numpy import bool_, float64
from numpy.typing import NDArray

from pinset.files.description.place import listed
from pinset.files.logger.block import Block
from pinset.files.logger.numbers import read_numbers
from pinset.files.logger.report import LogReport
from pinset.files.logger.rows import Kind, sampled
from pinset.files.logger.words import Topic, is_unit, tokens, topics_in, unit_in

Values = NDArray[float64]

MOST_PROBES = 64
FEWEST_EACH = 3  # readings of a name, for it to be a probe's
SWITCHES = 0.2  # of the rows: so often the name changes from row to row where probes are mixed
FEWEST_MIXED = 10  # steps by which that is told
LEAST_MIXED, LEAPS = (
    2.0,
    2.0,
)  # in a column's unit, and of the steps of one name: leaps of a mixture
TOGETHER = 0.8  # of the rows of the rarest probe: so many moments it has in common with others
_NAMING_WORDS = (
    "probe sonde sonda fühler fuehler sensor channel kanal canal canale ch series serie name "
    "naam nom nombre nome tag point messstelle messpunkt location place position measurement "
    "variable device entity topic signal thermocouple tc logger input"
)
_NAMING = frozenset(_NAMING_WORDS.split())


@dataclass(frozen=True, slots=True)
class _Long:
    """Which columns of a table of one reading a row hold what."""

    times: tuple[int, ...]
    names: int
    values: int
    units: int | None
    probes: tuple[str, ...]  # in the order of the file
    is_named: bool  # the head of the names says so


def side_by_side(block: Block, report: LogReport) -> Block:
    """Return a block with a column for each probe, if each row holds one reading of one of them.

    Any other block is returned as it is. One whose rows are plainly of several probes, but not to
    be parted, is too, and that is said: its columns pass nothing.
    """
    long = _recognised(block)
    if long is None:
        _say_mixed(block, report)
        return block
    block = _of_probes(block, long, report)
    rows = _by_moment(block, long)
    is_together = _is_together(rows, long, len(block.numbers))
    if not is_together and not long.is_named:
        _say_mixed(block, report)
        return block
    report.note(
        "one-reading-a-row",
        f"Each row holds one reading; those of {listed(_names(block, long))} were put side by "
        f"side by column {long.names + 1}, {block.names[long.names] or 'which names them'}"
        f"{'' if is_together else ', each with its own times'}.",
        "Columns are counted as they stand now: the times first, then a probe each.",
    )
    wide = _wide(block, long, rows)
    return wide if is_together else _apart(wide, block, long, rows)


def _recognised(block: Block) -> _Long | None:
    times = _times(block)
    if not times or not block.numbers:
        return None
    for index, kind in enumerate(block.kinds):
        is_named = bool(_naming(block.heads[index]))
        if index in times or not (kind == Kind.WORDS or (kind == Kind.NUMBER and is_named)):
            continue
        probes = _probes(block.columns[index], is_number=kind == Kind.NUMBER)
        if not probes or len({cell.strip() for cell in block.columns[index]}) < 2:  # noqa: PLR2004
            continue  # one probe stands side by side with nothing
        others = [at for at, each in enumerate(block.kinds) if each == Kind.NUMBER and at != index]
        values = _values(block, [at for at in others if at not in times])
        if values is None:
            continue
        units = next(
            (
                at
                for at, each in enumerate(block.columns)
                if at not in {index, values, *times} and each and all(map(is_unit, set(each)))
            ),
            None,
        )
        return _Long(times, index, values, units, probes, is_named)
    return None


def _naming(head: str) -> set[str]:
    """Return the words of a head that say that names of probes stand below it."""
    return {each.rstrip("0123456789") for each in tokens(head)} & _NAMING


def _times(block: Block) -> tuple[int, ...]:
    """Return the columns by which rows of one moment are told."""
    stamps = tuple(index for index, kind in enumerate(block.kinds) if kind == Kind.TIME)
    if stamps:
        return stamps
    for index, kind in enumerate(block.kinds):
        head = block.heads[index]
        is_time = topics_in(head) & {Topic.TIME, Topic.ELAPSED} or unit_in(head, Topic.TIME)
        if kind == Kind.NUMBER and is_time:
            return (index,)
    return ()


def _probes(cells: Sequence[str], *, is_number: bool) -> tuple[str, ...]:
    """Return the names in a column in their order, or nothing if they are none of probes.

    A name may hold any sign (``sensor.core``, ``a/b``, ``T: 1``); only one that is a number is none
    unless it is whole. Names of fewer than three readings are left out.
    """
    some = {cells[at].strip() for at in sampled(len(cells))}
    if len(some) > MOST_PROBES or all(map(is_unit, some)):
        return ()
    if is_number and not all(each.isdigit() for each in some):
        return ()
    counts = Counter(cell.strip() for cell in cells)
    if len(counts) > MOST_PROBES or "" in counts:
        return ()
    return tuple(name for name, count in counts.items() if count >= FEWEST_EACH)


def _say_mixed(block: Block, report: LogReport) -> None:
    """Say that readings of several probes stand in one column, where the names beside it show it.

    They do where readings move little from one of a name to the next of that name, and much
    from row to row.
    """
    for index, kind in enumerate(block.kinds):
        names = [cell.strip() for cell in block.columns[index]]
        if kind != Kind.WORDS or not 1 < len(set(names)) <= MOST_PROBES:
            continue
        is_other = np.array([a != b for a, b in pairwise(names)])
        if np.mean(is_other) < SWITCHES:
            continue
        for at, each in enumerate(block.kinds):
            cells = block.columns[at]
            decimal = "," if any("," in cell for cell in cells[:FEWEST_EACH]) else "."
            if each != Kind.NUMBER or not _is_mixed(read_numbers(cells, decimal).values, names):
                continue
            named = listed(list(dict.fromkeys(names)), most=4)
            report.wrong(
                "names-mixed",
                f"{block.names[at] or f'Column {at + 1}'} holds readings of several probes, named "
                f"in {block.names[index] or f'column {index + 1}'} ({named}), and could not be "
                "parted by it; so nothing is passed or failed.",
                "Export the log with a column for each probe, or with one column of readings only.",
            )
            return


def _is_mixed(values: Values, names: Sequence[str]) -> bool:
    """Return whether readings leap where the name changes, not along one name."""
    last: dict[str, float] = {}
    along: list[float] = []
    across: list[float] = []
    before = ""
    for name, value in zip(names, map(float, values), strict=True):
        if np.isnan(value):
            continue
        if name in last:
            along.append(abs(value - last[name]))
        if before and before != name:
            across.append(abs(value - last[before]))
        last[name], before = value, name
    if len(along) < FEWEST_MIXED or len(across) < FEWEST_MIXED:
        return False
    return float(np.mean(across)) > max(LEAST_MIXED, LEAPS * float(np.mean(along)))


def _of_probes(block: Block, long: _Long, report: LogReport) -> Block:
    """Return the block without rows of names that are left out for too few readings."""
    cells = block.columns[long.names]
    kept = [at for at, cell in enumerate(cells) if cell.strip() in set(long.probes)]
    if len(kept) == len(cells):
        return block
    left = list(dict.fromkeys(cell.strip() for cell in cells if cell.strip() not in long.probes))
    report.note(
        "too-few-of-a-name",
        f"{listed(left)} {'has' if len(left) == 1 else 'have'} fewer than {FEWEST_EACH} readings "
        "and were left out.",
    )
    return replace(
        block,
        columns=[[column[at] for at in kept] for column in block.columns],
        numbers=[block.numbers[at] for at in kept],
    )


def _values(block: Block, numbers: Sequence[int]) -> int | None:
    """Return the column of readings: the only one of numbers, or the only one of temperatures."""
    measured = [
        at
        for at in numbers
        if Topic.NUMBER not in topics_in(block.heads[at])
        and not _has_unit_of_number(block.heads[at])
    ]
    if len(measured) != 1:
        measured = [at for at in measured if Topic.INDEX not in topics_in(block.heads[at])]
    return measured[0] if len(measured) == 1 else None


def _has_unit_of_number(head: str) -> bool:
    return bool({"v", "mv", "rh", "dbm"} & set(tokens(head)[1:]))


def _by_moment(block: Block, long: _Long) -> list[dict[str, int]]:
    """Return which row of the file holds each probe's reading at each moment."""
    rows: dict[tuple[str, ...], list[dict[str, int]]] = {}
    order: list[dict[str, int]] = []
    moments = zip(*(block.columns[index] for index in long.times), strict=True)
    for at, (moment, name) in enumerate(zip(moments, block.columns[long.names], strict=True)):
        probe = name.strip()
        of_moment = rows.setdefault(moment, [])
        found = next((row for row in of_moment if probe not in row), None)
        if found is None:
            found = {}
            of_moment.append(found)
            order.append(found)
        found[probe] = at
    return order


def _is_together(order: Sequence[dict[str, int]], long: _Long, count: int) -> bool:
    """Return whether most rows hold the readings of several probes."""
    alone = sum(len(row) == 1 for row in order)
    return alone <= (1.0 - TOGETHER) * count / len(long.probes)


def _apart(wide: Block, block: Block, long: _Long, rows: Sequence[dict[str, int]]) -> Block:
    """Return the wide block with which of its rows are each probe's own."""
    own = [np.array([probe in row for row in rows], dtype=bool_) for probe in long.probes]
    cells = [cell.strip() for cell in block.columns[long.names]]
    switches = sum(a != b for a, b in pairwise(cells))
    return replace(
        wide,
        own=(*([None] * len(long.times)), *own),
        is_by_probe=switches == len(long.probes) - 1,
    )


def _wide(block: Block, long: _Long, rows: Sequence[dict[str, int]]) -> Block:
    """Return the block with the times first, then a column for each probe."""
    firsts = [min(row.values()) for row in rows]
    columns = [[block.columns[index][at] for at in firsts] for index in long.times]
    values = block.columns[long.values]
    columns += [
        [values[row[probe]] if probe in row else "" for row in rows] for probe in long.probes
    ]
    names = _names(block, long)
    units = [_unit(block, long, probe) for probe in long.probes]
    heads = [f"{name} [{unit}]" if unit else name for name, unit in zip(names, units, strict=True)]
    return replace(
        block,
        columns=columns,
        numbers=[block.numbers[at] for at in firsts],
        kinds="".join(block.kinds[index] for index in long.times)
        + Kind.NUMBER.value * len(long.probes),
        names=(*(block.names[index] for index in long.times), *names),
        heads=(*(block.heads[index] for index in long.times), *heads),
    )


def _names(block: Block, long: _Long) -> list[str]:
    """Return the probes' names; one that is a number alone stands behind the word for it."""
    word = block.names[long.names].strip()
    return [f"{word} {probe}" if probe.isdigit() else probe for probe in long.probes]


def _unit(block: Block, long: _Long, probe: str) -> str:
    """Return the unit of a probe's readings, if one is named."""
    if long.units is not None:
        of_probe = zip(block.columns[long.names], block.columns[long.units], strict=True)
        units = {unit.strip(" []()") for each, unit in of_probe if each.strip() == probe}
        return units.pop() if len(units) == 1 else ""
    if topics_in(probe) & {Topic.PRESSURE, Topic.NUMBER}:
        return ""
    return unit_in(block.heads[long.values], Topic.TEMPERATURE)
