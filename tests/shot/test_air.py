"""Air compared with published values and reference libraries."""

from math import log

import numpy as np
import pandas as pd
import pytest
from ambiance import Atmosphere
from CoolProp.CoolProp import HAPropsSI
from windpowerlib.wind_speed import hellman, logarithmic_profile

from holesim.shot.air import ROUGHNESS, air_viscosity, make_air, moist_air_density, standard_pressure
from holesim.units import FOOT, MPH
from tests.agreement.table import Agreement


def test_pressure_is_the_standard_atmosphere(agree: Agreement) -> None:
    # ISO 2533:1975, table of the standard atmosphere at geopotential heights (from memory).
    for height, pascals in ((0, 101325.0), (1000, 89874.6), (2000, 79495.2), (5000, 54019.9)):
        assert standard_pressure(height) == pytest.approx(pascals, rel=1e-4)
    heights = np.linspace(0, 3000, 31)
    reference = Atmosphere(heights)
    ours = np.array([standard_pressure(h) for h in reference.H])
    agree.below(
        "air",
        "pressure to 3,000 m: largest difference",
        float(abs(ours / reference.pressure - 1).max() * 100),
        0.01,
        unit=" %",
        source="ICAO standard atmosphere by the library ambiance",
    )


def test_density_meets_a_reference_library(agree: Agreement) -> None:
    worst = max(
        abs(moist_air_density(t, p, h) * HAPropsSI("Vha", "T", t, "P", p, "R", h) - 1)
        for t in (263.0, 283.0, 297.0, 313.0)
        for p in (75000.0, 90000.0, 101325.0)
        for h in (0.0, 0.5, 1.0)
    )
    agree.below(
        "air",
        "density of moist air, -10 to 40 °C and to 8,000 ft: largest difference",
        worst * 100,
        0.1,
        unit=" %",
        source="real-gas humid air (ASHRAE RP-1485) by the library CoolProp",
    )


def test_viscosity_meets_a_reference_library() -> None:
    reference = Atmosphere([0.0, 1000.0, 3000.0])
    ours = [air_viscosity(t) for t in reference.temperature]
    np.testing.assert_allclose(ours, reference.dynamic_viscosity, rtol=1e-4)


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


@pytest.mark.parametrize("height_ft", [6.0, 33.0])
def test_wind_profile_meets_a_reference_library(height_ft: float) -> None:
    air = make_air(wind_mph=20, wind_from_deg=200, wind_height_ft=height_ft)
    stated = pd.Series([20 * MPH])
    for z in (0.05, 0.5, 2.0, 10.0, 30.0, 60.0):
        expected = logarithmic_profile(stated, height_ft * FOOT, z, ROUGHNESS).iloc[0]
        assert air.wind_at(z) == pytest.approx(expected, rel=1e-9)


def test_wind_profile_is_near_the_power_law(agree: Agreement) -> None:
    air = make_air(wind_mph=10)
    power = hellman(pd.Series([1.0]), 10.0, 40.0, hellman_exponent=1 / 7).iloc[0]
    agree.percent(
        "air",
        "wind at 40 m, the height of a drive's apex, over that at 10 m",
        air.wind_at(40.0) / air.wind_speed,
        float(power),
        5,
        source="the 1/7 power law by the library windpowerlib; its log profile is met to 1e-9",
    )
    assert air.wind_at(40.0) / air.wind_speed == pytest.approx(log(40 / ROUGHNESS) / log(10 / ROUGHNESS))
