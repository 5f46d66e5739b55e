"""Logs of one reading a row, with a column that names the probe, put side by side.

Many recorders and data bases export so (long form, tidy). Readings of the same moment come into one
row; those of probes that are read one after the other count as read when the first one was.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace

from pinset.errors import InputError
from pinset.files.description.place import listed
from pinset.files.logger.block import Block
from pinset.files.logger.report import LogReport
from pinset.files.logger.rows import Kind, sampled
from pinset.files.logger.words import Topic, is_unit, tokens, topics_in, unit_in

MOST_PROBES = 64
FEWEST_EACH = 3  # readings of a name, for it to be a probe's
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

    Any other block is returned as it is.

    Raises
    ------
    InputError
        If it is plainly of this form, but the probes have no moments in common.
    """
    long = _recognised(block)
    if long is None:
        return block
    rows = _by_moment(block, long)
    if rows is None:
        rows = _by_turns(block, long)
    if rows is None:
        if not long.is_named:
            return block
        raise InputError(
            report.file,
            f"readings of {listed(long.probes)} one below the other, at moments of their own",
            "a column for each probe, or the same times for all of them",
            "Export the log with a column for each probe.",
        )
    report.note(
        "one-reading-a-row",
        f"Each row holds one reading; those of {listed(_names(block, long))} were put side by "
        f"side by column {long.names + 1}, {block.names[long.names] or 'which names them'}.",
        "Columns are counted as they stand now: the times first, then a probe each.",
    )
    return _wide(block, long, rows)


def _recognised(block: Block) -> _Long | None:
    times = _times(block)
    if not times or not block.numbers:
        return None
    for index, kind in enumerate(block.kinds):
        is_named = bool(
            {each.rstrip("0123456789") for each in tokens(block.heads[index])} & _NAMING
        )
        if index in times or not (kind == Kind.WORDS or (kind == Kind.NUMBER and is_named)):
            continue
        probes = _probes(block.columns[index])
        if len(probes) < 2:  # noqa: PLR2004  (one probe stands side by side with nothing)
            continue
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


def _probes(cells: Sequence[str]) -> tuple[str, ...]:
    """Return the names in a column, or nothing if they are none of probes."""
    some = {cells[at].strip() for at in sampled(len(cells))}
    if len(some) > MOST_PROBES or all(map(is_unit, some)) or any("." in each for each in some):
        return ()
    counts = Counter(cell.strip() for cell in cells)
    if len(counts) > MOST_PROBES or min(counts.values()) < FEWEST_EACH or "" in counts:
        return ()
    return tuple(counts)


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


def _by_moment(block: Block, long: _Long) -> list[dict[str, int]] | None:
    """Return which row of the file holds each probe's reading at each moment; None: no moments."""
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
    return order if _is_together(order, long, len(block.numbers)) else None


def _by_turns(block: Block, long: _Long) -> list[dict[str, int]] | None:
    """Return the same for probes that are read in turns; None: they are not."""
    order: list[dict[str, int]] = [{}]
    for at, name in enumerate(block.columns[long.names]):
        probe = name.strip()
        if probe in order[-1]:
            order.append({})
        order[-1][probe] = at
    return order if long.is_named and _is_together(order, long, len(block.numbers)) else None


def _is_together(order: Sequence[dict[str, int]], long: _Long, count: int) -> bool:
    """Return whether most rows hold the readings of several probes."""
    alone = sum(len(row) == 1 for row in order)
    return alone <= (1.0 - TOGETHER) * count / len(long.probes)


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
