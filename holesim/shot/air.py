"""The air a drive flies through: its density, and a wind that grows with height."""

from dataclasses import dataclass
from math import exp, log
from typing import Final

from holesim.units import DEGREE, FOOT, MPH, kelvin

ROUGHNESS: Final = 0.03
"""Aerodynamic roughness length [m] of open ground with low grass: the Davenport classification in
Wieringa, J. Wind Eng. Ind. Aerodyn. 41, 1992, class 3."""

FORECAST_HEIGHT: Final = 10.0
"""Height [m] at which weather services state the wind: WMO Guide No. 8, ch. 5."""


@dataclass(frozen=True, kw_only=True)
class Air:
    """The air over the course.

    Attributes
    ----------
    density
        [kg/m³].
    viscosity
        Dynamic [Pa s]; with the density it sets the Reynolds number.
    wind_speed
        [m/s] at `wind_height`.
    wind_from
        Direction the wind comes from [rad], clockwise from true north.
    wind_height
        Height above ground [m] at which `wind_speed` holds.
    """

    density: float
    viscosity: float
    wind_speed: float = 0.0
    wind_from: float = 0.0
    wind_height: float = FORECAST_HEIGHT

    def wind_at(self, height: float) -> float:
        """Return the wind's speed [m/s] at a height [m], by the log law; 0 below the roughness length."""
        return self.wind_speed * log(max(height / ROUGHNESS, 1.0)) / log(self.wind_height / ROUGHNESS)


def make_air(
    *,
    temperature_f: float = 75.0,
    altitude_ft: float = 0.0,
    humidity: float = 0.5,
    wind_mph: float = 0.0,
    wind_from_deg: float = 0.0,
    wind_height_ft: float = FORECAST_HEIGHT / FOOT,
) -> Air:
    """Make the air from the numbers of a forecast.

    Parameters
    ----------
    temperature_f
        Air temperature [°F].
    altitude_ft
        Height of the course above sea level [ft].
    humidity
        Relative humidity, 0 to 1.
    wind_mph, wind_from_deg, wind_height_ft
        Wind speed [mph], the true direction it comes from [deg], and the height it is stated for [ft].

    Examples
    --------
    >>> make_air().density > make_air(altitude_ft=5000).density
    True
    >>> air = make_air(wind_mph=10, wind_from_deg=270)
    >>> f"{air.wind_at(40.0) / air.wind_speed:.2f} times the wind at 10 m"
    '1.24 times the wind at 10 m'
    """
    pressure = standard_pressure(altitude_ft * FOOT)
    return Air(
        density=moist_air_density(kelvin(temperature_f), pressure, humidity),
        viscosity=air_viscosity(kelvin(temperature_f)),
        wind_speed=wind_mph * MPH,
        wind_from=wind_from_deg * DEGREE,
        wind_height=wind_height_ft * FOOT,
    )


def standard_pressure(altitude: float) -> float:
    """Return the pressure [Pa] of the standard atmosphere (ISO 2533:1975) at `altitude` [m], below 11 km."""
    return float(101325.0 * (1 - 0.0065 * altitude / 288.15) ** 5.255876)


def air_viscosity(temperature: float) -> float:
    """Return air's dynamic viscosity [Pa s] at `temperature` [K]: Sutherland's formula, ISO 2533:1975."""
    return float(1.458e-6 * temperature**1.5 / (temperature + 110.4))


def moist_air_density(temperature: float, pressure: float, humidity: float) -> float:
    """Return the density of moist air [kg/m³] by the CIPM-2007 equation.

    Parameters
    ----------
    temperature
        [K].
    pressure
        [Pa].
    humidity
        Relative, 0 to 1.

    Notes
    -----
    With 400 ppm of carbon dioxide. The equation is stated for 600-1100 hPa and 15-27 °C; outside that range
    it stays smooth and within 0.1 % of the ideal-gas value.

    References
    ----------
    Picard, Davis, Gläser and Fujii, "Revised formula for the density of moist air (CIPM-2007)",
    Metrologia 45, 2008, appendix A.1.
    """
    T, p, t = temperature, pressure, temperature - 273.15
    saturation = exp(1.2378847e-5 * T**2 - 1.9121316e-2 * T + 33.93711047 - 6.3431645e3 / T)
    enhancement = 1.00062 + 3.14e-8 * p + 5.6e-7 * t**2
    x = humidity * enhancement * saturation / p
    compressibility = (
        1
        - p / T
        * (
            1.58123e-6 - 2.9331e-8 * t + 1.1043e-10 * t**2
            + (5.707e-6 - 2.051e-8 * t) * x
            + (1.9898e-4 - 2.376e-6 * t) * x**2
        )
        + (p / T) ** 2 * (1.83e-11 - 0.765e-8 * x**2)
    )  # fmt: skip
    dry_mass, water_mass, gas_constant = 28.96546e-3, 18.01528e-3, 8.314472
    return p * dry_mass / (compressibility * gas_constant * T) * (1 - x * (1 - water_mass / dry_mass))
