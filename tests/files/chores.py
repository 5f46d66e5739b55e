"""Random chores and instructions for the round trip of a farm."""

from __future__ import annotations

from datetime import date
from typing import Any

from hypothesis import strategies as st

from pinset.chain.upkeep import INSTRUCTED, Chore, ChoreAt, ChoreKind, Instruction, Reads


@st.composite
def chores(
    draw: Any, codes: list[str], done_at: dict[ChoreAt, list[str]], workers: list[str]
) -> tuple[Chore, ...]:
    """Draw a chore for each code, at something that is there."""
    readings = st.none() | st.floats(0, 200_000)
    places = [(at, which) for at, found in done_at.items() for which in found]
    found = []
    for code in codes:
        at, which = draw(st.sampled_from(places))
        found.append(
            Chore(
                code,
                draw(st.sampled_from(["Clean it", "=1+1", 'Lüfter, Dichtung; "Ventil"'])),
                draw(st.sampled_from(ChoreKind)),
                at,
                which,
                draw(st.none() | st.integers(1, 3650)),
                draw(st.none() | st.integers(1, 10_000)),
                draw(st.sampled_from(Reads)),
                draw(readings),
                draw(st.none() | st.floats(1.05, 10)),
                draw(readings),
                draw(st.none() | st.dates(date(2000, 1, 1), date(2026, 1, 1))),
                draw(st.none() | st.floats(-5_000, 200_000)),
                draw(st.sampled_from(["", "Riss; links", "two lines\nof it"])),
                draw(st.sampled_from(["", *workers])),
                draw(st.integers(0, 1440)),
                draw(st.sampled_from([(), ("uv-c",), ("disinfectants", "pressure")])),
                draw(st.sampled_from(["", "two lines\nof it"])),
            )
        )
    return tuple(found)


@st.composite
def instructions(draw: Any, texts: st.SearchStrategy[str]) -> tuple[Instruction, ...]:
    """Draw instructions for some kinds of job."""
    kinds = draw(st.lists(st.sampled_from(INSTRUCTED), unique=True, max_size=3))
    return tuple(Instruction(kind, draw(texts)) for kind in kinds)
