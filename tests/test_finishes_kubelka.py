"""Kubelka & Munk (1931), Kubelka (1948) and Saunderson (1942): exact values, limits and laws."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from finishes.kubelka import infinite, layer, outward, ratio_ks, saunderson_inverse
from finishes.spectra import Floats

unit = st.floats(0.0, 1.0)
amount = st.floats(0.0, 8.0)


def number(value: float) -> Floats:
    return np.array([value])


@pytest.mark.parametrize(
    ("ratio", "reflectance"),
    [(0.5, (3 - 5**0.5) / 2), (1.0, 2 - 3**0.5), (2.0, 3 - 2 * 2**0.5), (0.25, 0.5), (9.025, 0.05)],
)
def test_reflectance_of_a_thick_layer_kubelka_munk_1931(ratio: float, reflectance: float) -> None:
    assert infinite(number(ratio))[0] == pytest.approx(reflectance, abs=1e-14)
    assert ratio_ks(number(reflectance))[0] == pytest.approx(ratio, rel=1e-12)


@pytest.mark.parametrize(
    ("absorption", "scattering", "under", "reflectance"),
    [
        (1, 1, 0, 0.260147),
        (1, 1, 1, 0.296761),
        (1, 1, 0.5, 0.275717),
        (0.5, 0.1, 0.6, 0.246923),
        (0.2, 2, 0.3, 0.600125),
    ],
)
def test_finite_layers_by_the_form_that_kubelka_published_in_1948(
    absorption: float, scattering: float, under: float, reflectance: float
) -> None:
    found = layer(number(absorption), number(scattering), number(under))[0]
    # six digits: computed elsewhere from a - b coth(bSX), which is also evaluated here
    assert found == pytest.approx(reflectance, abs=5e-7)
    a = (absorption + scattering) / scattering
    b = (a * a - 1) ** 0.5
    coth = 1 / np.tanh(b * scattering)
    assert found == pytest.approx((1 - under * (a - b * coth)) / (a - under + b * coth), abs=1e-12)


def test_saunderson_1942_worked_values() -> None:
    inner = np.array([0.1, 0.5, 0.9])
    assert 0.04 + outward(inner, 0.04, 0.6) == pytest.approx([0.080851, 0.314286, 0.791304], abs=5e-7)
    assert 0.04 + outward(inner, 0.04, 0.4) == pytest.approx([0.1, 0.4, 0.85], abs=1e-14)


@given(inner=unit, internal=st.floats(0.0, 0.9))
def test_saunderson_and_its_inverse_undo_each_other(inner: float, internal: float) -> None:
    measured = 0.04 + outward(number(inner), 0.04, internal)
    assert saunderson_inverse(measured, 0.04, internal)[0] == pytest.approx(inner, abs=1e-12)


@given(absorption=amount, under=unit)
def test_a_dye_without_scattering_is_two_passes_of_beer(absorption: float, under: float) -> None:
    found = layer(number(absorption), number(0.0), number(under))[0]
    assert found == pytest.approx(under * np.exp(-2 * absorption), abs=1e-12)


@given(under=unit)
def test_no_layer_shows_the_ground(under: float) -> None:
    assert layer(number(0.0), number(0.0), number(under))[0] == under


@given(scattering=amount)
def test_a_layer_that_absorbs_nothing_over_white_is_white(scattering: float) -> None:
    assert layer(number(0.0), number(scattering), number(1.0))[0] == pytest.approx(1.0, abs=1e-12)


@given(absorption=amount, scattering=amount, under=unit)
def test_two_half_layers_are_one(absorption: float, scattering: float, under: float) -> None:
    half = layer(number(absorption / 2), number(scattering / 2), number(under))
    both = layer(number(absorption / 2), number(scattering / 2), half)
    assert both[0] == pytest.approx(
        layer(number(absorption), number(scattering), number(under))[0], abs=1e-12
    )


@given(ratio=st.floats(0.01, 20.0), under=unit)
def test_a_thick_layer_hides_the_ground(ratio: float, under: float) -> None:
    deep = layer(number(ratio * 400.0), number(400.0), number(under))[0]
    assert deep == pytest.approx(infinite(number(ratio))[0], abs=1e-9)


@given(ratio=st.floats(0.01, 20.0), scattering=amount)
def test_a_layer_over_itself_is_itself(ratio: float, scattering: float) -> None:
    ground = infinite(number(ratio))
    assert layer(number(ratio * scattering), number(scattering), ground)[0] == pytest.approx(
        ground[0], abs=1e-12
    )
