"""Whatever bytes a folder holds, reading it ends in findings, never in an error."""

from __future__ import annotations

import tempfile
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pinset.files.description.example import example_book
from pinset.files.description.folder import read_folder
from pinset.files.description.writing import write_folder

TODAY = date(2026, 3, 12)
CSV_NAMES = ("farm.toml", "routes.csv", "lots.csv", "promises.csv", "varieties.csv", "flushes.csv")


ODD = (
    *(b'"', b"\n", b"\r", b"\0", b";", b",", b"-1", b"1e999", b"nan", b"[[", b"{", b"\xff", b"='"),
    *(b"%", b"1,234", b"\xef\xbb\xbf", b"9" * 5000, b"0x" + b"f" * 5000),
)


def whole(*, as_xlsx: bool) -> dict[str, bytes]:
    with tempfile.TemporaryDirectory() as folder:
        write_folder(example_book(TODAY), Path(folder), as_xlsx=as_xlsx)
        return {path.name: path.read_bytes() for path in Path(folder).iterdir()}


FILES = whole(as_xlsx=False)
WORKBOOKS = whole(as_xlsx=True)


def outcome(files: dict[str, bytes]) -> None:
    with tempfile.TemporaryDirectory() as folder:
        for name, data in files.items():
            (Path(folder) / name).write_bytes(data)
        book, findings = read_folder(Path(folder), today=TODAY)
    assert book is not None or findings
    for finding in findings:
        assert finding.sentence
        assert finding.sentence.isprintable() or "\n" not in finding.sentence


@st.composite
def mutated(draw: Any, data: bytes) -> bytes:
    """Cut, overwrite, repeat and insert bytes."""
    piece = bytearray(data)
    for _ in range(draw(st.integers(1, 6))):
        at = draw(st.integers(0, len(piece)))
        until = min(len(piece), at + draw(st.integers(0, 30)))
        match draw(st.integers(0, 4)):
            case 0:
                del piece[at:until]
            case 1:
                piece[at:until] = draw(st.binary(max_size=12))
            case 2:
                piece[at:at] = piece[at:until] * 2
            case 3:
                del piece[at:]
            case _:
                piece[at:at] = draw(st.sampled_from(ODD))
    return bytes(piece)


@settings(max_examples=100)
@given(st.sampled_from(CSV_NAMES).flatmap(lambda n: st.tuples(st.just(n), mutated(FILES[n]))))
def test_mutated_text_files(change: tuple[str, bytes]) -> None:
    outcome({**FILES, change[0]: change[1]})


@settings(max_examples=40)
@given(mutated(WORKBOOKS["lots.xlsx"]))
def test_mutated_workbooks(data: bytes) -> None:
    files = {name: content for name, content in FILES.items() if name != "lots.csv"}
    outcome({**files, "lots.xlsx": data})


@settings(max_examples=40)
@given(st.sampled_from(CSV_NAMES), st.binary(max_size=300))
def test_any_bytes(name: str, data: bytes) -> None:
    outcome({**FILES, name: data})


@settings(max_examples=40)
@given(st.text(max_size=200))
def test_any_text_as_toml(text: str) -> None:
    outcome({**FILES, "farm.toml": text.encode("utf-8", "surrogatepass")})


@pytest.mark.parametrize(
    "text",
    [
        "farm = 1",
        "farm = []",
        "[[farm]]\nname = 1",
        "rooms = 3\n[farm]\nname = 'x'",
        "[farm]\nname = {a = 1}\nworking_days = [1, [2], {a = 3}]\naltitude_m = nan",
        "[farm]\nname = 'x'\naltitude_m = inf\nlatitude = 0xffffffffffffffffffffffffffffffffffff",
        "[farm]\nname = 1979-05-27\ntime_zone = 07:32:00\ndays_off = 5",
        "x = " + "[" * 3000,
        "[[rooms]]\nshelves = [1, 2]\n[[people]]\nhours = [8, 8]",
        "[[rooms]]\nshelves = 'a'\n[[people]]\nhours = {mon = 'eight', xyz = 3}",
    ],
)
def test_odd_shapes_of_toml(text: str) -> None:
    outcome({**FILES, "farm.toml": text.encode()})
