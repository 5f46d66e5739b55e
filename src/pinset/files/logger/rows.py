"""Text of a logger's file to rows of cells: finds the separator, sets comment lines aside."""

from __future__ import annotations

import csv
import re
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from enum import StrEnum
from functools import lru_cache

from pinset.files.logger.numbers import is_fault, is_like_number
from pinset.files.logger.records import Guess, LogLimits, Sure
from pinset.files.logger.report import LogReport
from pinset.files.logger.stamps import read_stamp

SEPARATORS = {"\t": "tab", ";": "semicolon", "|": "pipe", ",": "comma"}
COMMENTS = ("#", "//", "%", "!")

_COUNTER = re.compile(r'\s*"?#"?\s*[,;\t|]\s*\S')  # a row of names whose first is a counter's

SAMPLE_HEAD, SAMPLE_LINES = 120, 300
ENOUGH = 100  # lines by which the sign between columns is told
MOST_JOINED = 3  # lines of one quoted cell
LONGEST_LINE = 100_000


class Kind(StrEnum):
    """What a cell looks like by itself."""

    NUMBER = "n"
    TIME = "t"
    BLANK = "b"  # empty, or a word for no reading
    WORDS = "w"


@dataclass(frozen=True, slots=True)
class Grid:
    """Rows of cells with the number each has in the file; comment lines apart."""

    rows: list[list[str]]
    numbers: list[int]
    comments: dict[int, str] = field(default_factory=dict)
    separator: str = ""  # empty: a workbook
    is_ended: bool = True  # the last line has an end


@lru_cache(maxsize=50_000)
def kind_of(cell: str) -> Kind:
    """Return what a cell looks like by itself."""
    text = cell.strip()
    if not text or is_fault(text):
        return Kind.BLANK
    if read_stamp(text) is not None:
        return Kind.TIME
    return Kind.NUMBER if is_like_number(text) else Kind.WORDS


def signature(row: Sequence[str]) -> str:
    """Return the kinds of a row's cells, one letter each, without the empty ones at the end."""
    last = len(row)
    while last and not row[last - 1].strip():
        last -= 1
    return "".join(kind_of(cell) for cell in row[:last])


def weight(kinds: str) -> int:
    """Return how much a row looks like readings: numbers and times less words."""
    return kinds.count("n") + kinds.count("t") - kinds.count("w")


def split_text(
    text: str, held: str, limits: LogLimits, report: LogReport
) -> tuple[Grid, Guess[str]]:
    """Return the rows of a text file and the sign that parts its columns.

    ``held`` is the separator said by hand, or empty.
    """
    lines = text.replace("\r\n", "\n").replace("\r", "\n").split("\n")
    is_ended = not lines[-1]
    first = 0
    named = ""
    head = lines[0].strip().strip('"').casefold()
    if head.startswith("sep=") and len(head) <= len("sep=;"):
        named, first = lines[0].strip('\r\n"')[4:5] or "\t", 1
    if len(lines) - first > limits.most_rows:
        report.wrong(
            "too-large",
            f"The file has {len(lines)} lines; only the first {limits.most_rows} were read.",
            "Is this the right file? Cut it, or have the logger read less often.",
        )
        lines, is_ended = lines[: limits.most_rows], True
    texts, numbers, comments = _without_comments(lines, first)
    if held:
        separator = Guess(held, Sure.GIVEN, "said by hand")
    elif named in SEPARATORS:
        separator = Guess(named, Sure.NAMED, "the first line says so")
    else:
        separator = _guessed(texts)
    rows = _parted(texts, separator.value)
    return Grid(rows, numbers, comments, separator.value, is_ended), separator


def _without_comments(
    lines: Sequence[str], first: int
) -> tuple[list[str], list[int], dict[int, str]]:
    texts: list[str] = []
    numbers: list[int] = []
    comments: dict[int, str] = {}
    joined_until = first
    for index in range(first, len(lines)):
        if index < joined_until:
            continue
        line = lines[index]
        if not line or line.isspace():
            continue
        start = line.lstrip(' "')
        if start.startswith(COMMENTS) and not _COUNTER.match(line):
            comments[index + 1] = line.strip()
            continue
        if '"' in line and line.count('"') % 2:
            line, joined_until = _joined(lines, index)
        texts.append(line[:LONGEST_LINE])
        numbers.append(index + 1)
    return texts, numbers, comments


def _joined(lines: Sequence[str], index: int) -> tuple[str, int]:
    """Join a quoted cell that runs over a few lines; a mark that never closes stays in its line."""
    for later in range(index + 1, min(index + 1 + MOST_JOINED, len(lines))):
        if lines[later].count('"') % 2:
            return " ".join(lines[index : later + 1]), later + 1
    return lines[index], index + 1


def _parted(texts: Sequence[str], separator: str) -> list[list[str]]:
    if not separator:
        return [[text] for text in texts]
    if not any('"' in text for text in texts):
        return [text.split(separator) for text in texts]
    try:
        rows = list(csv.reader(texts, delimiter=separator, skipinitialspace=True))
    except csv.Error:
        rows = []
    # one row a line, or a quotation mark that never closes has swallowed some
    return rows if len(rows) == len(texts) else list(_line_by_line(texts, separator))


def _line_by_line(texts: Sequence[str], separator: str) -> Iterator[list[str]]:
    for text in texts:
        if '"' in text:
            yield next(csv.reader([text], delimiter=separator, skipinitialspace=True))
        else:
            yield text.split(separator)


def sampled(count: int) -> list[int]:
    """Return which of ``count`` rows to look at: the first ones, and some over all the rest."""
    head = min(count, SAMPLE_HEAD)
    step = max(1, (count - head) // (SAMPLE_LINES - SAMPLE_HEAD))
    return [*range(head), *range(head, count, step)]


def _guessed(texts: Sequence[str]) -> Guess[str]:
    chosen = sampled(len(texts))
    sample = [texts[index] for index in chosen[:: 1 + len(chosen) // ENOUGH]]
    scores = {sign: best_shape(_parted(sample, sign))[1] for sign in SEPARATORS}
    best = max(SEPARATORS, key=lambda sign: scores[sign])
    if scores[best] <= 0:
        most = max(SEPARATORS, key=lambda sign: sum(text.count(sign) for text in sample))
        is_there = any(most in text for text in sample)
        return Guess(most if is_there else "", Sure.UNSURE, "no row holds readings")
    if not any(best in text for text in sample):
        return Guess("", Sure.LIKELY, "there is one column only")
    rivals = [sign for sign in SEPARATORS if sign != best and scores[sign] == scores[best]]
    sure = Sure.UNSURE if rivals else Sure.LIKELY
    return Guess(best, sure, f"parted by {SEPARATORS[best]} most cells are numbers or times")


def best_shape(rows: Sequence[Sequence[str]]) -> tuple[str, int]:
    """Return the kinds of the cells that most rows of readings have, and how well they fit."""
    counts = Counter(signature(row) for row in rows)
    fits = {kinds: weight(kinds) * count for kinds, count in counts.items()}
    best = max(fits, key=lambda kinds: fits[kinds], default="")
    return best, fits.get(best, 0)
