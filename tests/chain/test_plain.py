from __future__ import annotations

import json
from dataclasses import dataclass, field, replace
from datetime import UTC, date, datetime
from enum import StrEnum

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chain.book import BOOK
from pinset.chain.plain import from_plain, to_plain
from pinset.chain.register import FarmBook, Parent, Spread, Step
from pinset.errors import InputError


class Colour(StrEnum):
    RED = "red"
    BLUE = "blue"


@dataclass(frozen=True, slots=True)
class Leaf:
    size: float
    name: str = ""
    tags: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Tree:
    leaves: tuple[Leaf, ...]
    colour: Colour
    planted: date
    seen: datetime | None = None
    count: int = 0
    alive: bool = True
    best: Leaf | None = None
    extra: tuple[Leaf, ...] = field(default=())


TREES = st.builds(
    Tree,
    leaves=st.lists(
        st.builds(
            Leaf,
            st.floats(allow_nan=False, allow_infinity=False),
            st.text(max_size=5),
            st.lists(st.text(max_size=3), max_size=3).map(tuple),
        ),
        max_size=3,
    ).map(tuple),
    colour=st.sampled_from(Colour),
    planted=st.dates(),
    seen=st.none() | st.datetimes(timezones=st.just(UTC)),
    count=st.integers(),
    alive=st.booleans(),
    best=st.none() | st.builds(Leaf, st.just(1.0)),
)


@given(TREES)
def test_records_come_back_unchanged_through_json(tree: Tree) -> None:
    assert from_plain(Tree, json.loads(json.dumps(to_plain(tree)))) == tree


def test_a_whole_book_comes_back_unchanged() -> None:
    assert from_plain(FarmBook, json.loads(json.dumps(to_plain(BOOK)))) == BOOK


def test_defaults_are_left_out_but_not_values_that_only_look_like_them() -> None:
    assert to_plain(Parent("grain", 8.0)) == {"step": "grain", "units_per_parent": 8.0}
    assert to_plain(Leaf(1.0)) == {"size": 1.0}
    zero_that_is_no_default = replace(Tree((), Colour.RED, date(2026, 1, 1)), count=False)
    assert to_plain(zero_that_is_no_default)["count"] is False


def test_whole_numbers_are_taken_for_fractions_but_not_the_other_way() -> None:
    assert from_plain(Spread, {"low": 1, "mode": 2, "high": 3}) == Spread(1.0, 2.0, 3.0)
    with pytest.raises(InputError, match="a whole number"):
        from_plain(Tree, _tree(count=1.5))


def _tree(**changes: object) -> dict[str, object]:
    good = {"leaves": [], "colour": "red", "planted": "2026-01-01"}
    return {**good, **changes}


@pytest.mark.parametrize(
    ("changes", "path", "accepted"),
    [
        ({"height": 3}, "Tree.height", "one of leaves"),
        ({"colour": "green"}, "Tree.colour", "one of red, blue"),
        ({"planted": "12.3.2026"}, "Tree.planted", "a date such as"),
        ({"planted": 20260312}, "Tree.planted", ""),
        ({"leaves": {}}, "Tree.leaves", "a list"),
        ({"leaves": [{"size": "big"}]}, "Tree.leaves[0].size", ""),
        ({"leaves": [3]}, "Tree.leaves[0]", "a table of named values"),
        ({"leaves": [{}]}, "Tree.leaves[0].size", "required"),
        ({"leaves": [{"size": 1.0, "name": 5}]}, "Tree.leaves[0].name", "text"),
        ({"leaves": [{"size": True}]}, "Tree.leaves[0].size", ""),
        ({"alive": 1}, "Tree.alive", "bool"),
    ],
)
def test_what_is_not_understood_names_its_path(
    changes: dict[str, object], path: str, accepted: str
) -> None:
    with pytest.raises(InputError) as caught:
        from_plain(Tree, _tree(**changes))
    assert caught.value.field == path
    assert accepted in caught.value.accepted


def test_a_missing_field_is_named() -> None:
    with pytest.raises(InputError, match=r"Step\.kind"):
        from_plain(Step, {"code": "grain"})


def test_the_path_can_be_given() -> None:
    with pytest.raises(InputError, match=r"farm\.toml"):
        from_plain(Spread, 3, path="farm.toml")
