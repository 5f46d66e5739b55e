"""Grain and agar: rows of properties.csv, a jar that is weighed, bounds of a bed."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pinset.errors import InputError
from pinset.science.heating.fractions import (
    Composition,
    mixture_conductivity,
    mixture_density,
    mixture_heat_capacity,
)
from pinset.science.heating.grain import (
    DryGrain,
    agar,
    bed_conductivity,
    dry_grain,
    kernel,
    void_of_grain,
)
from pinset.science.heating.headspace import air_conductivity
from science.check_rows import Property, properties

ROWS = properties()
GRAINS = {
    "soft white wheat": DryGrain.WHEAT,
    "yellow dent maize": DryGrain.MAIZE,
    "sorghum": DryGrain.SORGHUM,
}


@pytest.mark.parametrize(
    "row", [r for r in ROWS if r.quantity.startswith("bulk cp; k")], ids=lambda r: r.id
)
def test_grain_as_it_is_stored(row: Property) -> None:
    kind = GRAINS[row.quantity.removeprefix("bulk cp; k of ")]
    conductivity, capacity = dry_grain(kind, row["M"] / 100.0)
    row.check([capacity / 1000.0, conductivity])


def test_kernels_and_agar_are_the_reference_s_mixtures() -> None:
    expected = Composition(0.48, protein=0.07, carbohydrate=0.4, fibre=0.04, ash=0.01)
    assert kernel(0.48).shares() == pytest.approx(expected.shares())
    assert mixture_conductivity(kernel(0.48), 100.0) == pytest.approx(0.52194, rel=1e-4)
    assert mixture_density(kernel(0.48), 100.0) == pytest.approx(1182.8, rel=1e-4)
    assert mixture_heat_capacity(agar(0.02), 100.0) == pytest.approx(4171.1, rel=1e-4)
    assert kernel(0.6).water == 0.6
    assert sum(kernel(0.6).shares().values()) == pytest.approx(1.0, abs=1e-12)


def test_grain_weighed_in_its_jar() -> None:
    solid = mixture_density(kernel(0.48), 25.0)
    assert void_of_grain(solid, kernel(0.48)) == 0.0
    for bulk in (700.0, 850.0):
        void = void_of_grain(bulk, kernel(0.48))
        assert (1.0 - void) * solid == pytest.approx(bulk)
        assert 0.3 < void < 0.43


@given(st.floats(0.3, 0.9), st.floats(0.0, 0.9), st.floats(0.0, 130.0))
def test_a_bed_lies_between_air_and_kernels(moisture: float, void: float, celsius: float) -> None:
    band = bed_conductivity(kernel(moisture), void, celsius)
    solid, air = mixture_conductivity(kernel(moisture), celsius), air_conductivity(celsius)
    assert air - 1e-12 <= band.low <= band.likely + 1e-12
    assert band.likely <= band.high + 1e-12
    assert band.high <= solid + 1e-12


def test_a_bed_without_air_conducts_as_its_kernels() -> None:
    band = bed_conductivity(kernel(0.48), 0.0, 25.0)
    solid = mixture_conductivity(kernel(0.48), 25.0)
    assert [band.low, band.likely, band.high] == pytest.approx([solid] * 3)


def test_bounds_are_those_of_two_phases_by_another_form() -> None:
    """Hashin and Shtrikman as usually written: k1 + f2 / (1/(k2 - k1) + f1/(3 k1))."""
    band = bed_conductivity(kernel(0.48), 0.4, 60.0)
    solid, air = mixture_conductivity(kernel(0.48), 60.0), air_conductivity(60.0)
    low = air + 0.6 / (1.0 / (solid - air) + 0.4 / (3.0 * air))
    high = solid + 0.4 / (1.0 / (air - solid) + 0.6 / (3.0 * solid))
    assert [band.low, band.high] == pytest.approx([low, high])


NAN = float("nan")


@pytest.mark.parametrize(
    ("call", "field"),
    [
        (lambda: dry_grain(DryGrain.WHEAT, 0.45), "moisture_wet"),
        (lambda: kernel(1.0), "moisture_wet"),
        (lambda: agar(0.5), "dissolved"),
        (lambda: void_of_grain(1400.0, kernel(0.48)), "bulk"),
        (lambda: void_of_grain(NAN, kernel(0.48)), "bulk"),
        (lambda: bed_conductivity(kernel(0.48), 1.0, 20.0), "void"),
        (lambda: bed_conductivity(kernel(0.48), 0.4, 500.0), "temperature_c"),
    ],
)
def test_what_is_refused(call, field: str) -> None:  # noqa: ANN001
    with pytest.raises(InputError, match=field):
        call()
