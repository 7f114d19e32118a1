"""Air against published values."""

from math import exp

import pytest

from holesim.air import make_air, moist_air_density, standard_pressure


def test_pressure_is_the_standard_atmosphere() -> None:
    # ISO 2533:1975, table of the standard atmosphere at geopotential heights (from memory).
    for height, pascals in ((0, 101325.0), (1000, 89874.6), (2000, 79495.2), (5000, 54019.9)):
        assert standard_pressure(height) == pytest.approx(pascals, rel=1e-4)


@pytest.mark.parametrize("celsius", [15.0, 20.0, 27.0])
@pytest.mark.parametrize("humidity", [0.0, 0.5, 1.0])
def test_density_is_near_that_of_an_ideal_mixture(celsius: float, humidity: float) -> None:
    # An independent formula: dry air and vapour as ideal gases, saturation by Magnus (WMO Guide No. 8,
    # annex 4.B). Real moist air is denser by under 0.1 %.
    kelvin = celsius + 273.15
    vapour = humidity * 611.2 * exp(17.62 * celsius / (243.12 + celsius))
    ideal = (101325 - vapour) / (287.055 * kelvin) + vapour / (461.52 * kelvin)
    assert moist_air_density(kelvin, 101325, humidity) == pytest.approx(ideal, rel=1e-3)


def test_density_of_dry_air_at_the_standard_atmosphere() -> None:
    # ISO 2533: 1.225 kg/m³ at 15 °C and 1013.25 hPa.
    assert moist_air_density(288.15, 101325, 0.0) == pytest.approx(1.225, rel=1e-3)


def test_default_air_is_that_of_the_golf_standard() -> None:
    # 75 °F, sea level, 50 % humidity: facts of the overall distance standard's conditions.
    assert make_air().density == pytest.approx(1.183, abs=0.004)


def test_air_thins_with_height_heat_and_moisture() -> None:
    base = make_air().density
    assert make_air(altitude_ft=5000).density < base
    assert make_air(temperature_f=95).density < base
    assert make_air(humidity=1.0).density < base
