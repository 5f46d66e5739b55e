"""Whatever bytes a logger's file holds, reading it ends in a log or in a plain sentence."""

from __future__ import annotations

from typing import Any

import numpy as np
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from files.logger_files import cook, numbers, simple, stamps, workbook
from pinset.errors import InputError
from pinset.files.logger.reader import read_log

COOK = cook(40)
QUICK = settings(deadline=None, suppress_health_check=[HealthCheck.too_slow])
ODD = (
    b'"', b"\n", b"\r", b"\0", b";", b",", b"|", b"\t", b"-1", b"1e999", b"nan", b"#", b"%", b"=",
    b"\xff", b"\xfe", b"\xef\xbb\xbf", b"9" * 400, b"12:00", b"2026-03-14", b"OPEN", b"1372",
    b" ", b"[\xc2\xb0F]", b"sep=;\n", b"bar", b"E+5", b"E+300", b"\xe2\x88\x92",
)  # fmt: skip


def stamped() -> bytes:
    table = simple(COOK, names=["time", "chamber [°C]", "core [°C]", "pressure [bar]"])
    table.columns[0] = stamps("%d/%m/%Y %H:%M:%S", COOK.seconds)
    table.columns.append(numbers(COOK.gauge_kpa / 100.0))
    table.preamble = ["serial,1234", "# by hand"]
    return table.data()


ROWS = [[float(cell) for cell in row] for row in zip(*simple(COOK).columns, strict=True)]
FILES = (
    stamped(),
    simple(COOK).data("utf-16"),
    workbook([["min", "chamber", "core"], *ROWS]),
)


@st.composite
def mutated(draw: Any) -> bytes:
    piece = bytearray(draw(st.sampled_from(FILES)))
    for _ in range(draw(st.integers(1, 8))):
        at = draw(st.integers(0, len(piece)))
        until = min(len(piece), at + draw(st.integers(0, 60)))
        match draw(st.integers(0, 4)):
            case 0:
                del piece[at:until]
            case 1:
                piece[at:until] = draw(st.binary(max_size=12))
            case 2:
                piece[at:at] = piece[at:until] * 2
            case 3:
                del piece[until:]
            case _:
                piece[at:at] = draw(st.sampled_from(ODD))
    return bytes(piece)


def outcome(data: bytes) -> None:
    try:
        log = read_log(data, "log")
    except InputError:
        return
    count = len(log.seconds)
    assert len(log.rows) == count
    assert not np.any(np.isnan(log.seconds))
    assert count == 0 or log.seconds[0] == 0.0
    assert np.all(np.diff(log.seconds) > 0)
    assert np.all(np.isfinite(log.seconds))
    for column in log.columns:
        assert column.values.shape == (count,)
        assert not np.any(np.isinf(column.values))
        if column.use == "temperature":
            known = column.values[~np.isnan(column.values)]
            assert np.all((known >= -30.0) & (known <= 160.0))
    for finding in log.findings:
        assert finding.sentence
        assert finding.id.startswith("log.")


@settings(QUICK, max_examples=300)
@given(mutated())
def test_mutated_files(data: bytes) -> None:
    outcome(data)


@settings(QUICK, max_examples=100)
@given(st.binary(max_size=300))
def test_any_bytes(data: bytes) -> None:
    outcome(data)


@settings(QUICK, max_examples=150)
@given(
    st.lists(
        st.lists(
            st.one_of(
                st.sampled_from(
                    ["", "time", "core", "°C", "1", "2,5", "12:00", "2026-03-14", "OPEN"]
                ),
                st.floats(allow_nan=True).map(str),
                st.text(max_size=6),
            ),
            max_size=6,
        ),
        max_size=12,
    ),
    st.sampled_from([",", ";", "\t", "|"]),
)
def test_any_tables(rows: list[list[str]], separator: str) -> None:
    outcome("\n".join(separator.join(row) for row in rows).encode("utf-8", "replace"))
