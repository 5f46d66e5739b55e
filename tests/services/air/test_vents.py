"""A closed-vent test typed by hand, beside hand computation."""

from __future__ import annotations

import pytest

from pinset.errors import InputError
from pinset.services.air.typed import Typed
from pinset.services.air.vents import vents_answer

FORM = {"volume": "60", "temperature": "20 C", "outdoor-co2": "420"}
# 200 g/h in 60 m3 of 20 degC: 1 820 ppm an hour (reference/air.md, 5.3)
READINGS = "\n".join(f"{minute} {800 + 1820 * minute / 60:.0f}" for minute in range(0, 16, 2))


def test_a_known_source_is_found_again() -> None:
    found = vents_answer(Typed({**FORM, "readings": READINGS, "substrate": "1000 kg"}, "metric"))
    facts = {fact.name: fact.value for fact in found.facts}
    low, high = facts["CO2 given off"].split("(")[1].rstrip(")").split(" to ")
    assert float(low) < 200.0 < float(high)
    assert facts["Rise"].startswith("1,820")
    assert "closed" in found.cautions[0] or found.cautions
    assert found.narrows


def test_lines_may_carry_units_and_semicolons() -> None:
    text = READINGS.replace(" ", " min; ").replace("\n", " ppm\n")
    same = vents_answer(Typed({**FORM, "readings": text}, "metric"))
    assert same.sentence == vents_answer(Typed({**FORM, "readings": READINGS}, "metric")).sentence


@pytest.mark.parametrize(
    ("field", "text"),
    [
        ("readings", ""),
        ("readings", "0 800\n2 high"),
        ("readings", "0 800\n1 900"),
        ("readings", "\n".join(f"{n} 800" for n in range(10))),
        ("volume", ""),
        ("volume", "-4"),
        ("temperature", "warm"),
    ],
)
def test_what_is_refused_names_its_field(field: str, text: str) -> None:
    with pytest.raises(InputError) as caught:
        vents_answer(Typed({**FORM, "readings": READINGS, field: text}, "metric"))
    assert caught.value.field == field
