from __future__ import annotations

import pytest

from pinset.chain.phases import children, days_to_end, find_step, made_in, next_phase, phases
from pinset.chain.route_builder import default_route
from pinset.errors import InputError

SHIITAKE = default_route("shiitake")


def test_a_block_goes_through_three_phases() -> None:
    assert [s.code for s in phases(SHIITAKE, "block")] == ["block", "ripening", "fruiting"]
    assert [s.code for s in phases(SHIITAKE, "ripening")] == ["ripening", "fruiting"]
    assert [s.code for s in phases(SHIITAKE, "grain")] == ["grain"]


def test_oyster_has_no_ripening() -> None:
    following = next_phase(default_route("grey oyster"), "block")
    assert following is not None
    assert following.code == "fruiting"


def test_the_last_phase_has_none_after_it() -> None:
    assert next_phase(SHIITAKE, "fruiting") is None


@pytest.mark.parametrize("code", ["block", "ripening", "fruiting"])
def test_units_of_every_phase_were_made_as_blocks(code: str) -> None:
    assert made_in(SHIITAKE, code).code == "block"


def test_children_are_the_steps_that_name_it() -> None:
    assert [s.code for s in children(SHIITAKE, "grain")] == ["sawdust"]
    assert children(SHIITAKE, "fruiting") == ()


def test_days_to_the_end_of_grain_are_those_of_grain_alone() -> None:
    assert days_to_end(SHIITAKE, "grain").mean == pytest.approx((14 + 19 + 24) / 3)


def test_unknown_steps_are_named_with_those_there_are() -> None:
    for call in (find_step, next_phase, phases, made_in, days_to_end):
        with pytest.raises(InputError, match="tube, plate, grain, sawdust, block"):
            call(SHIITAKE, "crate")
