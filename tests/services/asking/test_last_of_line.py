"""Taking the last tubes or mother spawn of a line out is said before it is done."""

from __future__ import annotations

from dataclasses import replace

from farm.small_farm import ROUTE, TODAY
from pinset.chain.living import LivingLot
from pinset.chain.stages import Stage
from pinset.services.asking.last_of_line import last_of_line

TUBES = LivingLot(
    code="AAAAA", variety="grey", step="tube", stage=Stage.TUBE, alive=4, made_on=TODAY,
    step_since=TODAY, place="f-1", room="cold", temperature_c=4.0, route=ROUTE, culture="grey-a",
)  # fmt: skip
GRAIN = replace(TUBES, code="BBBBB", step="grain", stage=Stage.GRAIN, generation=1)


def test_the_only_tubes_and_nothing_else_of_the_culture() -> None:
    other = replace(TUBES, code="CCCCC", culture="grey-b")
    second = replace(GRAIN, code="DDDDD", generation=2)
    mouldy = replace(TUBES, code="EEEEE", contaminated="green-dust")
    assert last_of_line("AAAAA", [TUBES, other, second, mouldy]) == (
        "The last tubes of culture grey-a go with it, and nothing is left to begin it from again."
    )


def test_the_only_tubes_while_mother_spawn_is_left_and_the_other_way_round() -> None:
    living = [TUBES, GRAIN]
    assert last_of_line("AAAAA", living) == "The last tubes of culture grey-a go with it."
    assert last_of_line("BBBBB", living) == "The last mother spawn of culture grey-a goes with it."


def test_where_enough_is_left_nothing_is_said() -> None:
    living = [TUBES, replace(TUBES, code="CCCCC"), replace(GRAIN, generation=2)]
    assert last_of_line("AAAAA", living) == ""
    assert last_of_line("BBBBB", living) == ""
    assert last_of_line("ZZZZZ", living) == ""
