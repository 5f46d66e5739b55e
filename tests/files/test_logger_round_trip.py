"""The same log written in random layouts reads back to the same numbers within rounding."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

import numpy as np
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from numpy import float64
from numpy.typing import NDArray

from files.logger_files import Table, decimal, h_mm_ss, workbook
from pinset.errors import Severity
from pinset.files.logger.corrections import corrected, said_by_hand
from pinset.files.logger.reader import read_log
from pinset.files.logger.records import Basis, ColumnRole, CookLog, LogLayout

Values = NDArray[float64]

ROUNDS = settings(deadline=None, max_examples=100, suppress_health_check=[HealthCheck.too_slow])
AIR_KPA = 101.325

STAMPS = (
    "%Y-%m-%d %H:%M:%S",
    "%Y-%m-%dT%H:%M:%SZ",
    "%Y/%m/%d %H:%M:%S",
    "%Y%m%dT%H%M%S",
    "%d.%m.%Y %H:%M:%S",
    "%d.%m.%y %H:%M:%S",
    "%d/%m/%Y %H:%M:%S",
    "%m/%d/%Y %H:%M:%S",
    "%m/%d/%Y %I:%M:%S %p",
    "%d-%b-%Y %H:%M:%S",
    "%b %d, %Y %H:%M:%S",
)
NAMES = {
    "en": ("time", "elapsed", "chamber", "core", "pressure"),
    "de": ("Zeit", "Laufzeit", "Kammer", "Kern", "Druck"),
    "fr": ("heure", "durée", "enceinte", "cœur", "pression"),
    "es": ("fecha", "tiempo", "cámara", "núcleo", "presión"),
    "it": ("ora", "tempo", "autoclave", "cuore", "pressione"),
}
UNIT_STYLES = (
    "{name} [{unit}]",
    "{name} ({unit})",
    "{name} {unit}",
    "{name}, {unit}",
    "{name}/{unit}",
)
KPA = {"bar": 100.0, "mbar": 0.1, "kPa": 1.0, "MPa": 1000.0, "psi": 6.894757293168361}


@dataclass(frozen=True)
class Truth:
    """What was written."""

    seconds: Values
    chamber_c: Values
    cores_c: list[Values]
    gauge_kpa: Values


@st.composite
def truths(draw: Any) -> Truth:
    count = draw(st.integers(8, 60))
    step = draw(st.sampled_from([1.0, 2.0, 5.0, 10.0, 30.0, 60.0, 120.0]))
    rng = np.random.default_rng(draw(st.integers(0, 2**32 - 1)))
    top = draw(st.floats(62.0, 134.0))
    rise = np.linspace(0.0, 1.0, count)
    start = draw(st.floats(4.0, 45.0))
    chamber = start + (top - start) * np.minimum(1.0, rise * 3.0) + rng.normal(0.0, 0.2, count)
    cores = [
        start + (top - start) * rise ** float(rng.uniform(1.0, 3.0)) + rng.normal(0.0, 0.1, count)
        for _ in range(draw(st.integers(1, 4)))
    ]
    gauge = np.maximum(0.0, (chamber - 95.0) * 3.0)
    return Truth(np.arange(count) * step, chamber, cores, gauge)


@dataclass(frozen=True)
class Written:
    """A file, and what may be lost by rounding in it."""

    data: bytes
    text: str
    within_k: float
    within_kpa: float
    within_s: float
    basis: Basis | None


@st.composite
def written(draw: Any, truth: Truth) -> Written:
    language = draw(st.sampled_from(sorted(NAMES)))
    stamp_name, elapsed_name, chamber_name, core_name, pressure_name = NAMES[language]
    separator = draw(st.sampled_from([",", ";", "\t", "|"]))
    quote = draw(st.sampled_from(["", "", '"']))
    sign = draw(st.sampled_from([".", ","])) if separator != "," or quote else "."
    places = draw(st.integers(1, 3))
    unit = draw(st.sampled_from(["°C", "°F", "K"]))
    style = draw(st.sampled_from(UNIT_STYLES))
    has_units_row = draw(st.booleans())
    factor, offset = {"°C": (1.0, 0.0), "°F": (1.8, 32.0), "K": (1.0, 273.15)}[unit]

    def column(values: Values) -> list[str]:
        return [decimal(float(each) * factor + offset, places, sign) for each in values]

    def head(name: str, of: str) -> str:
        if has_units_row or not of:
            return name
        return style.format(name=name, unit=of)

    times, time_name, time_unit, within_s, needs_quotes = draw(time_columns(truth, sign))
    if separator == "," and (needs_quotes or ("," in style and not has_units_row)):
        quote = '"'
    names = [stamp_name if not time_unit else head(elapsed_name, time_unit)]
    names = names if time_name is None else time_name
    units = [time_unit if time_unit in {"s", "min", "h"} else "" for _ in names]
    columns = list(times)
    probes = [(head(chamber_name, unit), column(truth.chamber_c), unit)]
    for at, core in enumerate(truth.cores_c):
        probes.append((head(f"{core_name} {at + 1}", unit), column(core), unit))
    basis = draw(st.sampled_from([None, Basis.GAUGE, Basis.ABSOLUTE]))
    within_kpa = 0.0
    if basis is not None:
        of = draw(st.sampled_from(sorted(KPA)))
        word = draw(
            st.sampled_from({Basis.GAUGE: ["gauge", "g"], Basis.ABSOLUTE: ["abs", "a"]}[basis])
        )
        true = truth.gauge_kpa + (AIR_KPA if basis is Basis.ABSOLUTE else 0.0)
        cells = [decimal(float(each) / KPA[of], 4, sign) for each in true]
        within_kpa = 0.6e-4 * KPA[of] + 1e-9
        probes.append((head(pressure_name, f"{of} {word}"), cells, f"{of} {word}"))
    if draw(st.booleans()):
        probes.append((head("humidity", "%"), [decimal(50.0, 1, sign)] * len(truth.seconds), "%"))
    for name, cells, of in draw(st.permutations(probes)):
        names.append(name)
        columns.append(cells)
        units.append(of)
    preamble = draw(
        st.lists(
            st.sampled_from(
                ["Serial: 1234", "# a comment", f"Model{separator}X1", "", "Cook 7", "// by hand",
                 f"Start{separator}here", "=====", f"Probes{separator}2{separator}ok"]
            ),
            max_size=5,
        )
    )  # fmt: skip
    table = Table(
        names, columns, separator=separator, preamble=preamble,
        units=units if has_units_row else [],
        end=draw(st.sampled_from(["\n", "\r\n", "\r"])),
        quote=quote,
        trailing=draw(st.booleans()),
        is_ended=draw(st.booleans()),
    )  # fmt: skip
    lines = table.lines()
    for at in draw(st.lists(st.integers(0, len(lines) - 1), max_size=2)):
        lines.insert(at, draw(st.sampled_from(["", "# a remark"])))
    text = table.end.join(lines) + (table.end if table.is_ended else "")
    is_latin = text.isascii() or all(ord(letter) < 256 for letter in text)
    encodings = ["utf-8", "utf-8-sig", "utf-16", *(["latin-1"] if is_latin else [])]
    return Written(
        data=text.encode(draw(st.sampled_from(encodings))),
        text=text,
        within_k=0.51 * 10.0**-places / factor + 1e-9,
        within_kpa=within_kpa,
        within_s=within_s,
        basis=basis,
    )


@st.composite
def time_columns(
    draw: Any, truth: Truth, sign: str
) -> tuple[list[list[str]], list[str] | None, str, float, bool]:
    """Return columns of times, their names if not the usual, unit, rounding, whether to quote."""
    kind = draw(st.sampled_from(["stamp", "two", "s", "min", "h", "clock", "serial"]))
    minutes = draw(st.integers(0, 60 * 24 * 365 * 20))
    start = datetime(2016, 1, 1) + timedelta(minutes=minutes)  # noqa: DTZ001
    moments = [start + timedelta(seconds=float(each)) for each in truth.seconds]
    if kind == "stamp":
        form = draw(st.sampled_from(STAMPS))
        return [[each.strftime(form) for each in moments]], None, "", 1e-3, "," in form
    if kind == "two":
        date, clock = draw(st.sampled_from(["%d.%m.%Y", "%m/%d/%Y", "%Y-%m-%d"])), "%H:%M:%S"
        columns = [[each.strftime(form) for each in moments] for form in (date, clock)]
        return columns, ["Date", "Time"], "", 1e-3, False
    if kind == "clock":
        return [[h_mm_ss(float(each)) for each in truth.seconds]], None, "h:mm:ss", 1e-3, False
    if kind == "serial":
        days = [(each - datetime(1899, 12, 30)) / timedelta(days=1) for each in moments]  # noqa: DTZ001
        cells = [f"{each:.9f}".replace(".", sign) for each in days]
        return [cells], ["date time"], "", 2e-3, sign == ","
    scale = {"s": 1.0, "min": 60.0, "h": 3600.0}[kind]
    cells = [decimal(float(each) / scale, 6, sign) for each in truth.seconds]
    return [cells], None, kind, 1e-6 * scale, sign == ","


def assert_same(log: CookLog, truth: Truth, file: Written) -> None:
    shown = f"{file.text[:1500]}\n{[str(each) for each in log.findings]}"
    assert len(log.seconds) == len(truth.seconds), shown
    assert np.allclose(log.seconds, truth.seconds, rtol=0, atol=file.within_s), shown
    chamber = log.of_role(ColumnRole.CHAMBER)
    cores = sorted(log.of_role(ColumnRole.CORE), key=lambda column: column.name)
    assert len(chamber) == 1, shown
    assert len(cores) == len(truth.cores_c), shown
    for column, values in zip([*chamber, *cores], [truth.chamber_c, *truth.cores_c], strict=True):
        assert np.allclose(column.values, values, rtol=0, atol=file.within_k), shown
    pressures = log.of_role(ColumnRole.PRESSURE)
    assert len(pressures) == (file.basis is not None), shown
    for column in pressures:
        assert column.basis is file.basis, shown
        kpa = column.absolute_kpa(AIR_KPA)
        assert np.allclose(kpa, truth.gauge_kpa + AIR_KPA, rtol=0, atol=file.within_kpa), shown
    assert all(finding.severity is not Severity.WRONG for finding in log.findings), shown


@ROUNDS
@given(truths().flatmap(lambda truth: st.tuples(st.just(truth), written(truth))))
def test_random_layouts_read_to_the_same_log(case: tuple[Truth, Written]) -> None:
    truth, file = case
    assert_same(read_log(file.data, "log", atmosphere_kpa=AIR_KPA), truth, file)


@settings(ROUNDS, max_examples=40)
@given(truths().flatmap(lambda truth: st.tuples(st.just(truth), written(truth))))
def test_a_layout_that_is_given_back_changes_nothing(case: tuple[Truth, Written]) -> None:
    truth, file = case
    first = read_log(file.data, "log")
    again = read_log(file.data, "log", layout=first.layout)
    assert again.layout == first.layout
    assert again.findings == first.findings
    assert np.array_equal(again.seconds, first.seconds)
    roles = {f"column.{column.index + 1}.role": column.role.value for column in first.columns}
    said = corrected(first.layout, {**roles, "separator": first.layout.separator.value})
    assert corrected(LogLayout(), said_by_hand(said)).separator == said.separator
    held = read_log(file.data, "log", layout=said)
    assert [column.role for column in held.columns] == [column.role for column in first.columns]
    assert_same(held, truth, file)


@settings(ROUNDS, max_examples=20)
@given(truths(), st.sampled_from(["stamp", "span", "min"]), st.integers(0, 4))
def test_workbooks_read_to_the_same_log(truth: Truth, kind: str, first_row: int) -> None:
    start = datetime(2026, 3, 4, 7, 30)  # noqa: DTZ001
    formats = {"stamp": "dd/mm/yyyy hh:mm:ss", "span": "[h]:mm:ss", "min": "0.000"}
    head = {"stamp": "time", "span": "elapsed", "min": "time [min]"}[kind]
    rows: list[list[Any]] = [[head, "chamber", *(f"core {at}" for at in range(len(truth.cores_c)))]]
    for at, second in enumerate(truth.seconds):
        span = timedelta(seconds=float(second))
        time = {"stamp": start + span, "span": span, "min": float(second) / 60.0}[kind]
        cells = [float(each[at]) for each in (truth.chamber_c, *truth.cores_c)]
        rows.append([time, *cells])
    data = workbook(rows, formats=[formats[kind]], first_row=first_row)
    file = Written(data, str(rows[:3]), 1e-9, 0.0, 2e-3, None)
    log = read_log(data, "log.xlsx")
    assert_same(log, truth, file)
    assert log.rows[0] == first_row + 2
